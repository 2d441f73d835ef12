"""Too much light reaches a receiver.

What it finds: a strand over which the strongest module within its data, with the fibre's least loss and none at the
mated pairs, arrives above the receiver's overload (error) or within 1 dB under it (note).
Why it matters: a long-reach module on a short strand makes errors or gives no link, and may harm the receiver.
Example: a module of 0..+5 dBm on 150 m: +4.9 dBm at SW-B/S1, which takes -3 dBm at most.
Fix: put an attenuator into the strand at the receiver, or fit short-reach modules at both ends.
Does not find: light from a module that is stronger than its data say.
Source: 0.35 dB/km below 1500 nm, 0.20 dB/km above, as planning values, second-hand; power and overload: the module's
own data; the note within 1 dB: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import Beam, Strand, light
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.light import OVERLOAD_NOTE_DB, least
from tailboard.rules.light.common import CAUTION, length_words, sides
from tailboard.units.wording import plain, worded

RULE = Rule("light-too-strong", "light", Severity.ERROR, __doc__, acceptable=False)
ROUNDING_DB = 1e-9  # two sums of the same decimal figures may differ by this


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand and direction: the light is not too strong."""
    for strand in ask(light).values():
        for beam in strand.beams:
            if beam.best_dbm is not None and beam.overload_dbm is not None:
                yield judged(ask, strand, beam, beam.best_dbm, beam.overload_dbm)


def judged(ask: Ask, strand: Strand, beam: Beam, best_dbm: float, overload_dbm: float) -> Claim:
    """Return the claim on one direction of a strand."""
    under_db = overload_dbm - best_dbm
    subject = (strand.cable, beam.to_port)
    says = (
        f"{beam.to_port} gets at most {worded(best_dbm, 'dBm')} over {strand.cable}, "
        f"{plain(abs(under_db), 2)} dB under its overload {worded(overload_dbm, 'dBm')}"
    )
    per_km_db = least(beam.sender.tx_nm, strand.mode or beam.sender.mode).per_km_db
    length = Because(
        strand.record.at.spot("pieces_m"), f"{length_words(strand)} at {per_km_db:g} dB/km, mated pairs taken as 0 dB"
    )
    evidence = [length, *sides(ask.model, beam, strong=True)]
    if under_db >= OVERLOAD_NOTE_DB - ROUNDING_DB:
        return RULE.holds(subject, says, assumptions=beam.assumptions, evidence=evidence)
    above = under_db < -ROUNDING_DB
    how = f"{plain(abs(under_db), 2)} dB {'above' if above else 'under'} the overload {worded(overload_dbm, 'dBm')}"
    needed_db = max(1, math.ceil(OVERLOAD_NOTE_DB - under_db - ROUNDING_DB))
    return RULE.broken(
        subject,
        says,
        spot=evidence[1].spot,
        message=f"{beam.to_port} may get as much as {worded(best_dbm, 'dBm')} over {length_words(strand)}: "
        f"{how} of {beam.receiver.id}",
        because=[evidence[0], evidence[2]],
        fix=f"put an attenuator of {needed_db} dB into {strand.cable} at {beam.to_port}, or fit modules with less power "
        f"at both ends; {CAUTION}",
        severity=Severity.ERROR if above else Severity.NOTE,
        breaks=[f"cable {strand.cable}"] if above else [],
        rests_on=[f"cable {strand.cable}"],
    )
