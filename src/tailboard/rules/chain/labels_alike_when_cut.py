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
from tailboard.answers.labels import Name, names_for
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Line
from tailboard.rules.chain.common import example_figures
from tailboard.rules.chain.labels_alike import plain

RULE = Rule("labels-alike-when-cut", "chain", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with a display and names."""
    for device in ask.model.devices:
        kind = ask.model.kind_of(device)
        names = names_for(ask, device) if kind.display_length else []
        if not names:
            continue
        says = f"the {len(names)} names of {device} differ in {kind.display_length} characters"
        clashes = clashing(names)
        if clashes:
            yield alike(ask, device, clashes)
        else:
            yield RULE.holds(device, says, assumptions=example_figures(kind))


def clashing(names: list[Name]) -> list[tuple[Name, Name]]:
    """Return the pairs of names of one table that differ in full and are equal when cut."""
    first: dict[tuple[str, str], Name] = {}
    found = []
    for name in names:
        key = (name.table, plain(name.cut))
        other = first.setdefault(key, name)
        if name.full and other.owner != name.owner and plain(other.full) != plain(name.full):
            found.append((other, name))
    return found


def alike(ask: Ask, device: str, clashes: list[tuple[Name, Name]]) -> Claim:
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
