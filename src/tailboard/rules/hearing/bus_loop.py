"""Buses hold one another in a circle.

What it finds: a bus that holds itself, or takes itself out by its minus, directly or by the buses in it.
Why it matters: on a desk that allows it this is a howl; on one that does not, one of the two assignments is missing.
Example: A holds B, and B holds A.
Fix: take one of the buses out of the other.
Does not find: a circle that is closed outside the desk; see feed-loop.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mix, mixing
from tailboard.findings import Because, Claim, Rule, Severity

RULE = Rule("bus-loop", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a bus, and one broken claim a circle."""
    mixes = ask(mixing)
    looped = {name for loop in mixes.loops for name in loop}
    for name, mix in mixes.mixes.items():
        if name.startswith("bus ") and name not in looped:
            yield RULE.holds(mix.record.id, f"{mix.record.id} does not hold itself")
    for loop in mixes.loops:
        yield broken([mixes.mixes[name] for name in loop])


def broken(loop: list[Mix]) -> Claim:
    """Return the claim of one circle."""
    names = [mix.record.id for mix in loop]
    circle = names[0] + "".join(
        f" {'holds' if name in mix.members else 'takes out'} {name}"
        for mix, name in zip(loop, [*names[1:], names[0]], strict=True)
    )
    return RULE.broken(
        tuple(names),
        f"{names[0]} does not hold itself",
        spot=loop[0].record.at.spot(loop[0].attribute),
        message=f"{circle}: a circle of buses",
        because=[Because(mix.record.at.spot(mix.attribute), f"members of {mix.record.id}") for mix in loop],
        fix=f"take {names[1] if len(names) > 1 else names[0]} out of {names[0]}, or break the circle elsewhere",
        breaks=[mix.name for mix in loop],
    )
