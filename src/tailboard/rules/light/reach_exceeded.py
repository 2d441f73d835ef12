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
from tailboard.physics.light import smear_s
from tailboard.rules.light.common import CAUTION, assumed, length_words
from tailboard.units.wording import plain, worded

RULE = Rule("reach-exceeded", "light", Severity.ERROR, __doc__, acceptable=False)
SMEARING_BIT_PER_S = 10e9  # from this rate on the reach is held open: common practice, no source


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand with modules whose reach is known, or matters at their rate."""
    for strand in ask(light).values():
        if strand.length_m is None:
            continue
        known = [beam for beam in strand.beams if beam.sender.reach_m is not None]
        fast = [beam for beam in strand.beams if is_fast(beam)]
        if known:
            yield judged(ask, strand, min(known, key=reach_of), strand.length_m)
        elif fast:
            yield unknown(strand, fast[0])


def is_fast(beam: Beam) -> bool:
    """Return whether dispersion counts at the rate of a beam."""
    return (beam.sender.rate_bit_per_s or 0.0) >= SMEARING_BIT_PER_S


def smear_words(beam: Beam, length_m: float) -> str:
    """Return how far the light of a beam smears over a length, in words."""
    smeared_s = abs(smear_s(beam.sender.tx_nm or 0.0, length_m, 1.0))
    return f"at {beam.sender.tx_nm:g} nm each nm of the light's width smears {plain(smeared_s * 1e12, 1)} ps over it"


def reach_of(beam: Beam) -> float:
    """Return the reach of a beam's module."""
    return beam.sender.reach_m or 0.0


def judged(ask: Ask, strand: Strand, beam: Beam, length_m: float) -> Claim:
    """Return the claim on a strand; `beam` is the one with the shortest reach."""
    reach = worded(reach_of(beam), "m")
    says = f"the modules of {strand.cable} reach over it"
    because = [Because(optic_spot(ask.model, beam.from_port), f"{beam.sender.id} in {beam.from_port} reaches {reach}")]
    if is_fast(beam) and strand.mode == "single-mode":
        because.append(Because(strand.record.at.spot("pieces_m"), smear_words(beam, length_m)))
    if length_m <= reach_of(beam):
        return RULE.holds(strand.cable, says, assumptions=assumed(strand.beams), evidence=because)
    return RULE.broken(
        strand.cable,
        says,
        spot=strand.record.at.spot("pieces_m"),
        message=f"{length_words(strand)}, is longer than the {reach} that {beam.sender.id} in {beam.from_port} reaches",
        because=because,
        fix=f"fit modules that reach {worded(length_m, 'm')} at both ends of {strand.cable}; {CAUTION}",
        breaks=[f"cable {strand.cable}"],
        rests_on=[f"cable {strand.cable}"],
    )


def unknown(strand: Strand, beam: Beam) -> Claim:
    """Return the open claim on a fast module whose reach is not written."""
    spot = beam.sender.at.spot()
    return RULE.open(
        strand.cable,
        f"the modules of {strand.cable} reach over it",
        spot=strand.record.at.spot("pieces_m"),
        missing=f"the reach of the optic {beam.sender.id} is not written; "
        f"at {worded(beam.sender.rate_bit_per_s or 0.0, 'bit/s')} it counts",
        fix=f"write reach at the optic {beam.sender.id} in {spot.file}, from its data sheet",
    )
