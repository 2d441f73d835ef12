"""A spare line cannot be used.

What it finds: a spare without a label, a hole, or a strip or other destination. A row is a spare when its column
`spare` says so, or its source or label begins with the word.
Why it matters: at the moment of need there is no sound, or nobody finds the fader.
Example: line 16 is a spare in SB-1/16 with no label and no strip.
Fix: name and patch the spare like any other line, or delete its row.
Does not find: a spare that was never tested; the line check does. Too few spares; see spares-too-few.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.rules.chain.common import is_spare

RULE = Rule("spare-not-usable", "chain", Severity.WARNING, __doc__)
NEEDS = (("label", "label"), ("hole", "hole"), ("strip", "strips"))


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a spare."""
    lines = ask.model.lines.values()
    spares = [line for line in lines if is_spare(line)]
    if not spares:
        return
    usable = sum(1 for line in spares if not lacking(line))
    working = len(ask.model.lines) - len(spares)
    for line in spares:
        missing = lacking(line)
        says = f"spare line {line.id} can be used"
        if not missing:
            yield RULE.holds(line.id, says)
            continue
        where = f" in {line.hole}" if line.hole else ""
        words = " and ".join(f"no {word}" for word, _ in missing)
        yield RULE.broken(
            line.id,
            says,
            spot=line.at.spot(missing[0][1]),
            message=f"spare line {line.id}{where} has {words}: not usable; spares left {usable} of {working} working lines",
            fix=f"write {' and '.join(word for word, _ in missing)} of line {line.id}, or delete the row",
            breaks=[f"line {line.id}"],
            lines=[line.id],
        )


def lacking(line: Line) -> list[tuple[str, str]]:
    """Return what a spare lacks: (word, attribute)."""
    return [need for need in NEEDS if not getattr(line, need[1]) and not (need[0] == "strip" and line.goes_to)]
