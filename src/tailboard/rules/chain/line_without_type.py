"""A line has no type.

What it finds: rows of lines.csv with neither a type of source nor a level.
Why it matters: 48 V, level and headroom at the hole cannot be judged without it.
Example: `3,violin,stage,VLN,`.
Fix: write the kind of each source (condenser, radio receiver, ...) in lines.csv.
Does not find: a type that is written but wrong.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.chain.common import unwritten

RULE = Rule("line-without-type", "chain", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a show with lines."""
    lines = ask.model.lines
    if not lines:
        return
    without = [name for name, line in lines.items() if not line.type and not line.level]
    if without:
        yield from unwritten(RULE, "line", "type", "type", lines, without, "their 48 V and level cannot be judged")
    else:
        yield RULE.holds(("lines", "type"), "every line has a type")
