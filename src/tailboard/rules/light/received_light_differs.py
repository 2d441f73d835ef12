"""Light was measured at a receiver, and it is not what a sound strand brings.

What it finds: a received power written in `found/` (`RX power` of a port) under the sensitivity or over the overload of
the module there (error); weaker than the expected window, or moving by more than 1 dB between readings (warning);
stronger than the window (note). The window: weakest and strongest module, usual losses, a fitted attenuator.
Why it matters: a dirty connector or a tight bend takes light today and the link tomorrow.
Example: `SW-B/S1` should get -12.3..-7.3 dBm over `F-01` and was read at -15.8 dBm: 3.5 dB less.
Fix: take the cable out of use, clean and inspect each connector, look for bends, measure again.
Does not find: a fault that was not there when somebody measured; a meter that reads wrongly.
Source: losses as in light-too-weak; 1 dB between readings: common practice, no source; a module's own reading may be off
by 3 dB: SFF-8472, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import Beam, Strand, light
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundPort
from tailboard.physics.light import DRIFT_DB
from tailboard.rules.light.common import CAUTION, assumed, length_words, sides
from tailboard.units.wording import plain, worded

RULE = Rule("received-light-differs", "light", Severity.ERROR, __doc__, acceptable=False)
ROUNDING_DB = 1e-9  # two sums of the same decimal figures may differ by this
CLEAN = "inspect and clean each connector of it, look for tight bends, and measure again"


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a port at which light was measured."""
    read = {name: found for name, found in ask.model.found.ports.items() if found.rx_dbm}
    if not read:
        return
    beams: dict[str, tuple[Strand, Beam]] = {}
    for strand in ask(light).values():
        for beam in strand.beams:
            if beam.expected_dbm is not None:
                beams.setdefault(beam.to_port, (strand, beam))
    for port, found in read.items():
        if port in beams:
            yield judged(ask, found, *beams[port])
        else:
            yield unexpected(found)


def judged(ask: Ask, found: FoundPort, strand: Strand, beam: Beam) -> Claim:
    """Return the claim on one port with its strand."""
    expected_dbm = beam.expected_dbm or (0.0, 0.0)
    window = f"{plain(expected_dbm[0], 2)}..{worded(expected_dbm[1], 'dBm')}"
    says = f"{found.id} gets the light that {strand.cable} brings: {worded(found.rx_dbm[-1], 'dBm')} of {window}"
    spot = found.at.spot("rx_dbm")
    evidence = [
        Because(spot, f"read {', '.join(worded(value, 'dBm') for value in found.rx_dbm)}{signed_words(found)}"),
        Because(strand.record.at.spot("pieces_m"), f"{length_words(strand)}: a sound strand brings {window}"),
    ]
    wrong = fault(found, beam, expected_dbm)
    if wrong is None:
        return RULE.holds(found.id, says, assumptions=assumed([beam]), evidence=evidence)
    severity, words, fix = wrong
    return RULE.broken(
        found.id,
        says,
        spot=spot,
        message=f"{found.id} was read at {worded(found.rx_dbm[-1], 'dBm')} over {strand.cable}, {window} is expected: {words}",
        because=[*evidence, *sides(ask.model, beam, strong=found.rx_dbm[-1] > expected_dbm[1])],
        fix=f"{fix.format(cable=strand.cable, sender=beam.sender.id, port=beam.from_port)}; {CAUTION}",
        severity=severity,
        breaks=[f"cable {strand.cable}"] if severity is Severity.ERROR else [],
        rests_on=[f"cable {strand.cable}"],
    )


def fault(found: FoundPort, beam: Beam, expected_dbm: tuple[float, float]) -> tuple[Severity, str, str] | None:
    """Return what is wrong with a reading: how bad, in words, and its repair; None where it is as expected."""
    read_dbm, drift_db = found.rx_dbm[-1], max(found.rx_dbm) - min(found.rx_dbm)
    under_db, over_db = expected_dbm[0] - read_dbm, read_dbm - expected_dbm[1]
    sensitivity_dbm, overload_dbm = beam.sensitivity_dbm, beam.overload_dbm
    if sensitivity_dbm is not None and read_dbm < sensitivity_dbm - ROUNDING_DB:
        words = f"{plain(sensitivity_dbm - read_dbm, 2)} dB under the sensitivity"
        return Severity.ERROR, words, f"take {{cable}} out of use: {CLEAN}; else use its spare"
    if overload_dbm is not None and read_dbm > overload_dbm + ROUNDING_DB:
        words = f"{plain(read_dbm - overload_dbm, 2)} dB above the overload"
        return Severity.ERROR, words, "put an attenuator into {cable}, and see that {port} has a {sender}"
    if under_db > ROUNDING_DB:
        words = f"{plain(under_db, 2)} dB less than the least of a sound strand; a dirty connector or a bend"
        return Severity.WARNING, words, f"take {{cable}} out of use: {CLEAN}"
    if drift_db > DRIFT_DB + ROUNDING_DB:
        words = f"its readings lie {plain(drift_db, 2)} dB apart; a loose or dirty connector"
        return Severity.WARNING, words, f"take {{cable}} out of use: {CLEAN}"
    if over_db > ROUNDING_DB:
        words = f"{plain(over_db, 2)} dB more than the most; another module, or a shorter strand"
        return Severity.NOTE, words, "see that {port} has a {sender}, and that the length of {cable} is right"
    return None


def signed_words(found: FoundPort) -> str:
    """Return who read it and when, as far as it is written."""
    signed = ", ".join(part for part in (found.by, found.on or "") if part)
    return f" ({signed})" if signed else "; by whom and when is not written"


def unexpected(found: FoundPort) -> Claim:
    """Return the open claim on light read at a port for which nothing can be expected."""
    return RULE.open(
        found.id,
        f"{found.id} gets the light that its strand brings",
        spot=found.at.spot("rx_dbm"),
        missing=f"{found.id} was read at {worded(found.rx_dbm[-1], 'dBm')}, but what to expect there is not known: no strand to it "
        "with its length, mated pairs and the modules at both ends is written",
        fix=f"write the strand that ends at {found.id} with its length and mated pairs, and the optics of both ports",
    )
