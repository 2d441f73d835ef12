"""A strand is longer than its modules reach.

What it finds: a strand longer than the reach of a module at one of its ends. At 10 Gb/s and above a module without a
reach leaves the claim open, for there the pulses smear before the light is gone.
Why it matters: a link may have light enough and still make errors.
Example: `F-07` of 12 km between modules that reach 10 km.
Fix: fit modules with a longer reach at both ends.
Does not find: other faults of a long strand; see light-too-weak.
Source: the module's own data; pulses smear by chromatic dispersion, ITU-T G.652, second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import Beam, Strand, light
from tailboard.answers.light import spot_of as optic_spot
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.light.common import CAUTION, length_words
from tailboard.units.wording import worded

RULE = Rule("reach-exceeded", "light", Severity.ERROR, __doc__, acceptable=False)
SMEARING_BIT_PER_S = 10e9  # from this rate on the reach is held open: common practice, no source


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand and direction where the sender's reach is known, or matters at its rate."""
    for strand in ask(light).values():
        for beam in strand.beams:
            if strand.length_m is None:
                continue
            if beam.sender.reach_m is not None:
                yield judged(ask, strand, beam, strand.length_m, beam.sender.reach_m)
            elif (beam.sender.rate_bit_per_s or 0.0) >= SMEARING_BIT_PER_S:
                yield unknown(strand, beam)


def judged(ask: Ask, strand: Strand, beam: Beam, length_m: float, reach_m: float) -> Claim:
    """Return the claim on one direction of a strand."""
    subject = (strand.cable, beam.to_port)
    says = f"{beam.sender.id} in {beam.from_port} reaches over {strand.cable}"
    because = [
        Because(
            optic_spot(ask.model, beam.from_port),
            f"{beam.sender.id} in {beam.from_port} reaches {worded(reach_m, 'm')}",
        )
    ]
    if length_m <= reach_m:
        return RULE.holds(subject, says, assumptions=beam.assumptions[:1], evidence=because)
    return RULE.broken(
        subject,
        says,
        spot=strand.record.at.spot("pieces_m"),
        message=f"{length_words(strand)}, is longer than the {worded(reach_m, 'm')} that {beam.sender.id} "
        f"in {beam.from_port} reaches",
        because=because,
        fix=f"fit modules that reach {worded(length_m, 'm')} at both ends of {strand.cable}; {CAUTION}",
        breaks=[f"cable {strand.cable}"],
        rests_on=[f"cable {strand.cable}"],
    )


def unknown(strand: Strand, beam: Beam) -> Claim:
    """Return the open claim on a fast module whose reach is not written."""
    spot = beam.sender.at.spot()
    return RULE.open(
        (strand.cable, beam.to_port),
        f"{beam.sender.id} in {beam.from_port} reaches over {strand.cable}",
        spot=strand.record.at.spot("pieces_m"),
        missing=f"the reach of the optic {beam.sender.id} is not written; "
        f"at {worded(beam.sender.rate_bit_per_s or 0.0, 'bit/s')} it counts",
        fix=f"write reach at the optic {beam.sender.id} in {spot.file}, from its data sheet",
    )
