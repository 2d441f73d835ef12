"""Too little light reaches a receiver.

What it finds: a strand over which the weakest module within its data, with every loss at its limit, arrives under the
receiver's sensitivity (error) or less than 3 dB over it (warning). Capped spares with both modules are proven too.
Why it matters: the link fails, or it works at noon and makes errors in rain, in heat or after a door was closed on it.
Example: `F-01` of 150 m with 14 mated pairs: -21.6 dBm at SW-B/S1, its sensitivity is -19.5 dBm.
Fix: take mated pairs out, clean each connector, or use modules with more power.
Does not find: dirt, bends and bad splices; measure the received power and compare it with the window.
Source: 0.5 dB/km and 3 dB of reserve: common practice, no source; 0.75 dB a mated pair: ANSI/TIA-568, second-hand;
power and sensitivity: the module's own data.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import Beam, Strand, light
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.light import RESERVE_DB
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

RULE = Rule("light-too-weak", "light", Severity.ERROR, __doc__, acceptable=False)
ROUNDING_DB = 1e-9  # two sums of the same decimal figures may differ by this


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand: enough light arrives at both ends."""
    for strand in ask(light).values():
        readings = [
            Reading(beam, beam.worst_dbm, beam.worst_dbm - beam.sensitivity_dbm)
            for beam in strand.beams
            if beam.worst_dbm is not None and beam.sensitivity_dbm is not None
        ]
        if readings:
            yield judged(ask, strand, readings)


def judged(ask: Ask, strand: Strand, readings: list[Reading]) -> Claim:
    """Return the claim on a strand."""
    worst = worst_of(readings)
    beam, over_db = worst.beam, worst.reserve_db
    says = (
        f"enough light arrives over {strand.cable}, {RESERVE_DB:g} dB of reserve kept: at least at {at_ends(readings)}"
    )
    evidence = [lost(strand, beam), *sides(ask.model, beam, strong=False)]
    if over_db >= RESERVE_DB - ROUNDING_DB:
        return RULE.holds(strand.cable, says, assumptions=assumed(strand.beams), evidence=evidence)
    fails = over_db < -ROUNDING_DB
    limit = worded(beam.sensitivity_dbm or 0.0, "dBm")
    how = f"{plain(abs(over_db), 2)} dB {'under' if fails else 'over'} the sensitivity {limit} of {beam.receiver.id}"
    kept = "" if fails else f"; {RESERVE_DB:g} dB are to be kept"
    others = [Because(evidence[0].spot, f"the other way: {other.words}") for other in readings if other is not worst]
    return RULE.broken(
        strand.cable,
        says,
        spot=strand.record.at.spot(dearest(strand, beam)),
        message=f"{beam.to_port} may get as little as {worded(worst.power_dbm, 'dBm')} over {length_words(strand)}: {how}{kept}",
        because=[*evidence, *others],
        fix=f"take mated pairs out of {strand.cable} or shorten it, or fit modules with at least "
        f"{plain(RESERVE_DB - over_db, 1)} dB more at both ends; inspect and clean each connector; {CAUTION}",
        severity=Severity.ERROR if fails else Severity.WARNING,
        breaks=[f"cable {strand.cable}"] if fails else [],
        rests_on=[f"cable {strand.cable}"],
    )


def dearest(strand: Strand, beam: Beam) -> str:
    """Return which written figure costs most: the mated pairs or the length."""
    pairs_db = beam.most.loss_db(0.0, strand.record.mated_pairs or 0, 0)
    return "mated_pairs" if pairs_db > beam.most.loss_db(strand.length_m or 0.0, 0, 0) else "pieces_m"


def lost(strand: Strand, beam: Beam) -> Because:
    """Return what the strand may lose, in words."""
    pairs, splices = strand.record.mated_pairs or 0, strand.record.splices
    spliced = f", {splices} splices at {beam.most.splice_db:g} dB" if splices else ""
    return Because(
        strand.record.at.spot("mated_pairs"),
        f"{length_words(strand)} at {beam.most.per_km_db:g} dB/km, {pairs} mated pairs at {beam.most.pair_db:g} dB{spliced}{attenuator_words(strand)}: "
        f"at most {plain(beam.loss_most_db or 0.0, 2)} dB lost",
    )
