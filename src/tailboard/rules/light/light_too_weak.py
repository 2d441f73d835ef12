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
from tailboard.physics.light import RESERVE_DB, most
from tailboard.rules.light.common import CAUTION, length_words, sides
from tailboard.units.wording import plain, worded

RULE = Rule("light-too-weak", "light", Severity.ERROR, __doc__, acceptable=False)
ROUNDING_DB = 1e-9  # two sums of the same decimal figures may differ by this


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand and direction: enough light arrives."""
    for strand in ask(light).values():
        for beam in strand.beams:
            if beam.worst_dbm is not None and beam.sensitivity_dbm is not None:
                yield judged(ask, strand, beam, beam.worst_dbm, beam.sensitivity_dbm)


def judged(ask: Ask, strand: Strand, beam: Beam, worst_dbm: float, sensitivity_dbm: float) -> Claim:
    """Return the claim on one direction of a strand."""
    over_db = worst_dbm - sensitivity_dbm
    subject = (strand.cable, beam.to_port)
    says = (
        f"{beam.to_port} gets at least {worded(worst_dbm, 'dBm')} over {strand.cable}, "
        f"{RESERVE_DB:g} dB or more above its sensitivity {worded(sensitivity_dbm, 'dBm')}"
    )
    evidence = [lost(strand, beam), *sides(ask.model, beam, strong=False)]
    if over_db >= RESERVE_DB - ROUNDING_DB:
        return RULE.holds(subject, says, assumptions=beam.assumptions, evidence=evidence)
    fails = over_db < -ROUNDING_DB
    how = f"{plain(abs(over_db), 2)} dB {'under' if fails else 'over'} the sensitivity {worded(sensitivity_dbm, 'dBm')}"
    kept = "" if fails else f"; {RESERVE_DB:g} dB are to be kept"
    return RULE.broken(
        subject,
        says,
        spot=strand.record.at.spot("mated_pairs" if (strand.record.mated_pairs or 0) > 2 else "pieces_m"),
        message=f"{beam.to_port} may get as little as {worded(worst_dbm, 'dBm')} over {length_words(strand)}: "
        f"{how} of {beam.receiver.id}{kept}",
        because=evidence,
        fix=f"take mated pairs out of {strand.cable}, or fit a pair of modules with at least "
        f"{plain(RESERVE_DB - over_db, 1)} dB more; inspect and clean each connector: {CAUTION}",
        severity=Severity.ERROR if fails else Severity.WARNING,
        breaks=[f"cable {strand.cable}"] if fails else [],
        rests_on=[f"cable {strand.cable}"],
    )


def lost(strand: Strand, beam: Beam) -> Because:
    """Return what the strand may lose, in words."""
    limits = most(beam.sender.tx_nm, strand.mode or beam.sender.mode)
    pairs, splices = strand.record.mated_pairs or 0, strand.record.splices
    spliced = f", {splices} splices at {limits.splice_db:g} dB" if splices else ""
    return Because(
        strand.record.at.spot("mated_pairs"),
        f"{length_words(strand)} at {limits.per_km_db:g} dB/km, {pairs} mated pairs at {limits.pair_db:g} dB{spliced}: "
        f"at most {plain(beam.loss_most_db or 0.0, 2)} dB lost",
    )
