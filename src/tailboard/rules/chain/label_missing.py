"""A line or feed has no label.

What it finds: a row without a label, in a list where others have one. Spares are left to spare-not-usable.
Why it matters: the strip, the lid and the meter stay blank, and nobody finds the line in the dark.
Example: `7,lectern,stage,,gooseneck`.
Fix: write a short label, unique in the list.
Does not find: a label that says nothing.
Source: a unique label for each line, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.records import Feed, Line
from tailboard.rules.chain.common import is_spare, unwritten

RULE = Rule("label-missing", "chain", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line and a feed."""
    lines = {name: line for name, line in ask.model.lines.items() if not is_spare(line)}
    yield from labelled("line", lines)
    yield from labelled("feed", ask.model.feeds)


def labelled(noun: str, rows: Mapping[str, Line] | Mapping[str, Feed]) -> Iterator[Claim]:
    """Yield the claims of one list."""
    if not any(row.label for row in rows.values()):
        yield from unwritten(
            RULE, noun, "label", "label", rows, list(rows), "nothing can be named on a display or a lid"
        )
        return
    for name, row in rows.items():
        says = f"{noun} {name} has a label"
        if row.label:
            yield RULE.holds(f"{noun} {name}", says)
            continue
        words = getattr(row, "source", "") or getattr(row, "listener", "")
        yield RULE.broken(
            f"{noun} {name}",
            says,
            spot=row.at.spot("label"),
            message=f"{noun} {name}{f' ({words})' if words else ''} has no label",
            fix=f"write a label for {noun} {name}",
            lines=[name] if noun == "line" else (),
            feeds=[name] if noun == "feed" else (),
        )
