"""Two level references at one hand-off: how much louder or softer a level is on the other side."""

from tailboard.physics.level import full_scale_dbu
from tailboard.units import Alignment


def tone_difference_db(sends: Alignment, takes: Alignment, *, digital: bool) -> float:
    """Return by how much the alignment level of one side is above that of the other where it arrives. [dB]

        analogue: D = L_sends(dBu) - L_takes(dBu)        digital: D = L_sends(dBFS) - L_takes(dBFS)

    sends, takes  the references of the side that sends and the side that takes. A reference that only says the full
                  scale (0 dBFS) names no alignment level: on an analogue link that level is taken at the digital level
                  of the other side, on a digital link there is no difference.
    digital       the samples pass unchanged; else the signal goes as a voltage, with no gain on the way.

    Above zero it is too loud, below zero too soft.
    Source: EBU R 68 (-18 dBFS is 0 dBu) and SMPTE RP 155 (-20 dBFS is +4 dBu), both second-hand; the rest is arithmetic.
    Check (hand): a tone at 0 dBu meets a system lined up at +4 dBu: 4 dB too soft; -18 dBFS meets one at -20 dBFS: 2 dB
    too loud.
    >>> ebu, other = Alignment(-18.0, 0.0), Alignment(-20.0, 4.0)
    >>> tone_difference_db(ebu, other, digital=False), tone_difference_db(ebu, other, digital=True)
    (-4.0, 2.0)
    """
    if digital:
        return 0.0 if 0.0 in {sends.level_dbfs, takes.level_dbfs} else sends.level_dbfs - takes.level_dbfs
    return level_at_dbu(sends, takes) - level_at_dbu(takes, sends)


def level_at_dbu(reference: Alignment, other: Alignment) -> float:
    """Return the alignment level of a reference; of one that only says the full scale, at the other's digital level. [dBu]

    >>> level_at_dbu(Alignment(0.0, 24.0), Alignment(-18.0, 0.0))
    6.0
    """
    return reference.level_dbu if reference.level_dbfs else reference.level_dbu + other.level_dbfs


def clip_difference_db(sends: Alignment, takes: Alignment) -> float:
    """Return by how much the sending side's full scale is above that of the side that takes it, on an analogue link. [dB]

    Above zero the taking converter clips before the sending one.
    Check (published, second-hand: EBU R 68, SMPTE RP 155): full scale +18 dBu against +24 dBu is 6 dB under.
    >>> clip_difference_db(Alignment(-18.0, 0.0), Alignment(-20.0, 4.0))
    -6.0
    """
    return full_scale_dbu(sends.level_dbu, sends.level_dbfs) - full_scale_dbu(takes.level_dbu, takes.level_dbfs)
