"""The null of a two-wire bridge is not written.

What it finds: a circuit that is marked as two-wire, or that leaves and comes by one jack, without a word on who nulled it
and when.
Why it matters: a bridge between two and four wires that is badly nulled sends back what it gets: hollow sound, then howl
on every station.
Example: CW-3 leads to the house's two-wire party line by 4W3, and nothing says that it was nulled.
Fix: null the bridge with the far end connected and its stations on, and write who did it and when under nulled.
Does not find: a null that has drifted since, or a far end that was added later.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity

RULE = Rule("bridge-not-nulled", "hearing", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a two-wire circuit."""
    for name, circuit in ask.model.circuits.items():
        one_jack = circuit.two_wire is None and circuit.out is not None and circuit.out == circuit.into
        if not (circuit.two_wire or one_jack):
            continue
        says = f"the two-wire bridge of {name} is nulled"
        if circuit.nulled:
            yield RULE.holds(name, f"{says}: {circuit.nulled}")
            continue
        yield RULE.open(
            name,
            says,
            spot=circuit.at.spot("two_wire" if circuit.two_wire else "out"),
            missing=f"{name} is a two-wire circuit at {circuit.out or circuit.device}, and nothing says that its bridge was nulled",
            fix=f"null the bridge of {name}, then write nulled: who and when at {name} in {circuit.at.spot().file}",
        )
