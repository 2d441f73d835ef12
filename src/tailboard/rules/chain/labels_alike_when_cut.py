"""Two labels become the same on a device's display.

What it finds: labels on one device that differ, but not in the characters its display shows.
Why it matters: two names on the screen say the same; the wrong one is opened.
Example: `PRESENTER A` and `PRESENTER B` on a console that shows 8 characters.
Fix: put what tells them apart into the first characters.
Does not find: labels that are equal in full; see labels-alike. One that is only cut; see label-too-long.
Source: the figures of the kinds; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tailboard.answers.ask import Ask
from tailboard.answers.labels import Clash, cut_alike
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Line
from tailboard.rules.chain.common import example_figures

RULE = Rule("labels-alike-when-cut", "chain", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with a display and names."""
    for device, clashes in ask(cut_alike).items():
        if clashes:
            yield alike(ask, device, clashes)
        else:
            kind = ask.model.kind_of(device)
            says = f"the names of {device} differ in {kind.display_length} characters"
            yield RULE.holds(device, says, assumptions=example_figures(kind))


def alike(ask: Ask, device: str, clashes: list[Clash]) -> Claim:
    """Return the claim of a device on which names become equal."""
    kind = ask.model.kind_of(device)
    rows: dict[str, Mapping[str, Line] | Mapping[str, Feed]] = {"line": ask.model.lines, "feed": ask.model.feeds}
    one, other = clashes[0]
    words = "; ".join(f"'{a.full}' and '{b.full}' both read '{b.cut}'" for a, b in clashes)
    return RULE.broken(
        device,
        f"the names of {device} differ in {kind.display_length} characters",
        spot=rows[other.table][other.owner].at.spot("label"),
        message=f"{device} shows {kind.display_length} characters: {words}",
        because=[Because(rows[one.table][one.owner].at.spot("label"), f"{one.table} {one.owner}")],
        fix="put what tells them apart into the first characters",
        lines=dict.fromkeys(name.owner for pair in clashes for name in pair if name.table == "line"),
        feeds=dict.fromkeys(name.owner for pair in clashes for name in pair if name.table == "feed"),
    )
