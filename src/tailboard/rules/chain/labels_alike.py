"""Two lines, or two feeds, have the same label.

What it finds: labels of one list that are equal, also where they differ only in capitals and blanks.
Why it matters: two faders or two lids say the same; the wrong one is opened.
Example: lines 3 and 9 are both labelled `VLN`.
Fix: give each a label of its own. Two lines of a pair need at least an L and an R; there it is a note.
Does not find: labels that become equal when a display cuts them; see labels-alike-when-cut.
Source: a unique label for each line, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tailboard.answers.ask import Ask
from tailboard.answers.labels import plain_label
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Line
from tailboard.rules.chain.common import many, natural

RULE = Rule("labels-alike", "chain", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a label."""
    yield from alike("line", ask.model.lines)
    yield from alike("feed", ask.model.feeds)


def alike(noun: str, rows: Mapping[str, Line] | Mapping[str, Feed]) -> Iterator[Claim]:
    """Yield the claims of one list."""
    bearers: dict[str, list[str]] = {}
    for name, row in rows.items():
        if row.label:
            bearers.setdefault(plain_label(row.label), []).append(name)
    for names in bearers.values():
        names.sort(key=natural)
        label = rows[names[0]].label
        if len(names) == 1:
            yield RULE.holds((f"{noun}s", label), f"label {label} is that of {noun} {names[0]} alone")
        else:
            yield shared(noun, rows, label, names)


def shared(noun: str, rows: Mapping[str, Line] | Mapping[str, Feed], label: str, names: list[str]) -> Claim:
    """Return the claim of a label with several bearers."""
    first, *others = names
    a_pair = len(names) == 2 and getattr(rows[first], "pair", None) == others[0]
    forms = dict.fromkeys(rows[name].label for name in names)
    same = (
        f"the label '{label}'"
        if len(forms) == 1
        else f"labels that read alike: {', '.join(repr(form) for form in forms)}"
    )
    return RULE.broken(
        (f"{noun}s", label),
        f"label {label} is that of one {noun}",
        spot=rows[others[0]].at.spot("label"),
        message=f"{many(noun, names)} have {same}",
        because=[Because(rows[name].at.spot("label"), f"{noun} {name}") for name in (first, *others[1:])],
        fix="add what tells left from right"
        if a_pair
        else f"give {many(noun, others)} a label of {'its' if len(others) == 1 else 'their'} own",
        severity=Severity.NOTE if a_pair else None,
        lines=names if noun == "line" else (),
        feeds=names if noun == "feed" else (),
    )
