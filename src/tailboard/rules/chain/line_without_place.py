"""A line has no place.

What it finds: rows of lines.csv without a place.
Why it matters: no sheet per place, no walking order and no rule on what sounds where can hold the line.
Example: `3,violin,,VLN,condenser`.
Fix: write the place of each source in lines.csv.
Does not find: a place that is written but wrong.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.chain.common import unwritten

RULE = Rule("line-without-place", "chain", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a show with lines."""
    lines = ask.model.lines
    if not lines:
        return
    without = [name for name, line in lines.items() if not line.place]
    if without:
        yield from unwritten(RULE, "line", "place", "place", lines, without, "they are on no sheet of a place")
    else:
        yield RULE.holds(("lines", "place"), "every line has a place")
