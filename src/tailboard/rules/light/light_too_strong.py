"""Too much light reaches a receiver.

What it finds: a strand over which the strongest module within its data, with the fibre's least loss and none at the
mated pairs, arrives above the receiver's overload (error) or within 1 dB under it (note).
Why it matters: a long-reach module on a short strand makes errors or gives no link, and may harm the receiver.
Example: a module of 0..+5 dBm on 150 m: +4.9 dBm at SW-B/S1, which takes -3 dBm at most.
Fix: put an attenuator into the strand at the receiver, or fit short-reach modules at both ends.
Does not find: light from a module that is stronger than its data say; an attenuator that takes less than is written on it.
Source: 0.35 dB/km below 1500 nm, 0.20 dB/km above, as planning values, second-hand; power and overload: the module's
own data; the note within 1 dB: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import Strand, light
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.light import OVERLOAD_NOTE_DB
from tailboard.rules.light.common import (
    CAUTION,
    Reading,
    assumed,
    at_ends,
    attenuator_words,
    length_words,
    sides,
    worst_of,
)
from tailboard.units.wording import plain, worded

RULE = Rule("light-too-strong", "light", Severity.ERROR, __doc__, acceptable=False)
ROUNDING_DB = 1e-9  # two sums of the same decimal figures may differ by this


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand: the light is too strong at neither end."""
    for strand in ask(light).values():
        readings = [
            Reading(beam, beam.best_dbm, beam.overload_dbm - beam.best_dbm)
            for beam in strand.beams
            if beam.best_dbm is not None and beam.overload_dbm is not None
        ]
        if readings:
            yield judged(ask, strand, readings)


def judged(ask: Ask, strand: Strand, readings: list[Reading]) -> Claim:
    """Return the claim on a strand."""
    worst = worst_of(readings)
    beam, under_db = worst.beam, worst.reserve_db
    says = f"the light over {strand.cable} is under the overload: at most at {at_ends(readings)}"
    length = Because(
        strand.record.at.spot("pieces_m"),
        f"{length_words(strand)} at {beam.least.per_km_db:g} dB/km, mated pairs taken as 0 dB{attenuator_words(strand)}",
    )
    sent, limit = sides(ask.model, beam, strong=True)
    if under_db >= OVERLOAD_NOTE_DB - ROUNDING_DB:
        return RULE.holds(strand.cable, says, assumptions=assumed(strand.beams), evidence=[length, sent, limit])
    above = under_db < -ROUNDING_DB
    how = f"{plain(abs(under_db), 2)} dB {'above' if above else 'under'} the overload"
    strong = [other.beam.to_port for other in readings if other.reserve_db < OVERLOAD_NOTE_DB - ROUNDING_DB]
    needed_db = max(1, math.ceil(strand.record.attenuator_db + OVERLOAD_NOTE_DB - under_db - ROUNDING_DB))
    others = [Because(length.spot, f"the other way: {other.words}") for other in readings if other is not worst]
    return RULE.broken(
        strand.cable,
        says,
        spot=sent.spot,
        message=f"{beam.to_port} may get as much as {worded(worst.power_dbm, 'dBm')} over {length_words(strand)}: "
        f"{how} {worded(beam.overload_dbm or 0.0, 'dBm')} of {beam.receiver.id}",
        because=[sent, length, limit, *others],
        fix=f"put an attenuator of {needed_db} dB into {strand.cable} at {' and '.join(strong)} "
        f"and write it as attenuator of {strand.cable}, or fit modules with less power at both ends; {CAUTION}",
        severity=Severity.ERROR if above else Severity.NOTE,
        breaks=[f"cable {strand.cable}"] if above else [],
        rests_on=[f"cable {strand.cable}"],
    )
