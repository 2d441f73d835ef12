"""Copper between two earths: how a link is graded, and the hum that a difference between earths makes."""

from __future__ import annotations

from enum import Enum

from tailboard.findings import Severity
from tailboard.physics.level import dbu_from_v

STOP_V = 50.0  # above it: stop, do not touch. Common practice and from memory; local codes decide
REJECTION_DB = 60.0  # a balanced input in the example of the hum: common practice, no source
ASK_V = 1.0  # above it: expect hum, ask the electrician. Common practice, no source


class Way(Enum):
    """How a cable ties two earths together; the value is what a reader sees."""

    NONE = "a transformer or fibre parts the two ends"
    LIFTED = "its screen is lifted at one end"
    DATA = "no screen joins them, only the transformers in its two ports part them"
    SCREEN = "its screen joins them"
    ANALOGUE = "its 0 V or screen joins them"


GRADES = {Way.LIFTED: Severity.WARNING, Way.DATA: Severity.WARNING, Way.SCREEN: Severity.ERROR,
          Way.ANALOGUE: Severity.ERROR}  # fmt: skip


def way_of(medium: str, *, screened: bool, isolated: bool, lifted: bool) -> Way:
    """Return how a cable that runs between two earths ties them.

    medium  medium of the cable's kind: 'fibre', 'copper data', 'digital audio', 'analogue', 'loudspeaker', 'video'.

    Unscreened data pairs end in transformers (IEEE 802.3, from memory); a screen, an analogue return and a coaxial
    cable do not. The grades are common practice, no source.
    """
    if isolated or medium == "fibre":
        return Way.NONE
    if medium in {"copper data", "digital audio"} and not screened:
        return Way.DATA
    if lifted and screened:
        return Way.LIFTED
    return Way.SCREEN if screened else Way.ANALOGUE


def hum_dbu(earth_v: float, rejection_db: float) -> float:
    """Return the hum that a voltage between two earths leaves on a balanced line. [dBu]

        hum = 20 log10(V / 0.7746 V) - rejection

    earth_v       voltage between the earths, above zero. [V]
    rejection_db  common-mode rejection of the input. [dB]
    Source: arithmetic. Check (hand): 1 V and 60 dB -> 1 mV, which is -57.8 dBu.
    >>> round(hum_dbu(1.0, 60.0), 1)
    -57.8
    """
    if earth_v <= 0:
        raise ValueError(f"not above zero: {earth_v} V")
    return dbu_from_v(earth_v) - rejection_db
