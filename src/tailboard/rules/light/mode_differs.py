"""A module and its strand are of different modes.

What it finds: a single-mode module in a multimode strand, or the other way round.
Why it matters: most of the light is lost at the joint, or the link works for some metres and fails beyond.
Example: `F-01` is a multimode strand; SW-T/S1 has a single-mode module.
Fix: plug the strand of the module's mode, or fit modules of the strand's mode at both ends.
Does not find: a short patch lead of the wrong mode within the strand.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.light import light, spot_of
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.light.common import CAUTION

RULE = Rule("mode-differs", "light", Severity.ERROR, __doc__, acceptable=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strand with modules: all are of one mode."""
    model = ask.model
    for strand in ask(light).values():
        fitted = [(port, optic) for port in strand.ports if (optic := model.optic_of(port)) is not None]
        if strand.mode is None or not fitted:
            continue
        says = f"{strand.cable} and its modules are {strand.mode}"
        other = [(port, optic) for port, optic in fitted if optic.mode != strand.mode]
        kind = Because(strand.record.at.spot("kind"), f"{strand.cable} is {strand.mode}")
        if not other:
            yield RULE.holds(strand.cable, says, evidence=[kind])
            continue
        wrong = " and ".join(f"{optic.id} in {port}" for port, optic in other)
        yield RULE.broken(
            strand.cable,
            says,
            spot=strand.record.at.spot("kind"),
            message=f"{wrong} {'is' if len(other) == 1 else 'are'} {other[0][1].mode}, {strand.cable} is {strand.mode}",
            because=[Because(spot_of(model, port), f"{optic.id} in {port}: {optic.mode}") for port, optic in other],
            fix=f"run a {other[0][1].mode} strand, or fit {strand.mode} modules at both ends of {strand.cable}; {CAUTION}",
            breaks=[f"cable {strand.cable}"],
            rests_on=[f"cable {strand.cable}"],
        )
