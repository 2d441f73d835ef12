"""The level of a line is not the level of its type.

What it finds: a level in the list of lines that is not that of the kind of source: a microphone with a line level, a line
output at microphone level (a note where gear that may be switched is written, else a warning). With it the type's highest
peak says nothing of the line, and peak-clips and peak-too-weak do not judge it.
Why it matters: one of the two cells is wrong, and the gain was worked out from one of them.
Example: line 14 is a dynamic, which gives microphone level, and its level says line -10 dBV.
Fix: blank the level, write the type that gives it, or make a kind of source of your own with its highest peak.
Does not find: a level that does not fit the input; see level-class-differs.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import SourceKind
from tailboard.model.records import Line
from tailboard.rules.chain.common import titled

RULE = Rule("level-not-of-type", "level", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line with a level and a known type."""
    for name, line in ask.model.lines.items():
        source = ask.model.source_kind(name)
        if source is None or line.level is None:
            continue
        says = f"the level of line {name} is that of a {source.id}"
        yield RULE.holds(name, says) if line.level == source.level else broken(line, source, says)


def broken(line: Line, source: SourceKind, says: str) -> Claim:
    """Return the claim of a line whose level is not that of its type."""
    return RULE.broken(
        line.id,
        says,
        spot=line.at.spot("level"),
        message=f"{titled(line)} is a {source.id}, which gives {source.level}, and its level says {line.level}; "
        f"the highest peak of a {source.id} says nothing of it",
        because=[Because(line.at.spot("type"), f"line {line.id} is a {source.id}: {source.level}")],
        fix=f"blank the level of line {line.id}, or write a type that gives {line.level}",
        severity=Severity.NOTE if line.gear else None,
        lines=[line.id],
    )
