"""Buses hold one another in a circle.

What it finds: a bus that holds itself, directly or by the buses in it.
Why it matters: on a desk that allows it this is a howl; on one that does not, one of the two assignments is missing.
Example: A holds B, and B holds A.
Fix: take one of the buses out of the other.
Does not find: a circle that is closed outside the desk; see feed-loop.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import mixing
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
        names = [mixes.mixes[name].record.id for name in loop]
        circle = " holds ".join([*names, names[0]])
        first = mixes.mixes[loop[0]]
        yield RULE.broken(
            tuple(names),
            f"{names[0]} does not hold itself",
            spot=first.record.at.spot(first.attribute),
            message=f"{circle}: a circle of buses",
            because=[
                Because(mixes.mixes[name].record.at.spot(mixes.mixes[name].attribute), f"members of {name}")
                for name in loop
            ],
            fix=f"take {names[1] if len(names) > 1 else names[0]} out of {names[0]}, or break the circle elsewhere",
            breaks=loop,
        )
