"""The table of lines as the mixer works from it: number, label, what is plugged where, strip, reserve, how it stands."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import natural
from tailboard.text.ranges import compress
from tailboard.units.wording import worded
from tailboard.views.verdict import CheckView


class LineRowView(TypedDict):
    """One line. `mark`: 'broken' where a finding that is not a note concerns it, 'holds' else; texts as written."""

    line: str
    label: str
    source: str
    place: str
    type: str
    phantom: str
    gain: str
    hole: str
    strip: str
    pair: str
    reserve: str
    spare: bool
    note: str
    mark: str
    reasons: list[str]


def line_rows(ask: Ask, check: CheckView) -> list[LineRowView]:
    """Return every line in the order in which people count."""
    model = ask.model
    suffer: dict[str, list[str]] = {}
    for found in check["findings"]:
        if found["severity"] == "note":
            continue
        named = [name for name in found["id"].split(":")[1:] if name in model.lines]
        for name in dict.fromkeys([*found["also"]["lines"], *named]):
            suffer.setdefault(name, []).append(found["id"])
    return [
        {
            "line": name,
            "label": line.label,
            "source": line.source,
            "place": line.place or "",
            "type": line.type or "",
            "phantom": "" if line.phantom is None else "48 V" if line.phantom else "off",
            "gain": "" if line.gain_db is None else worded(line.gain_db, "dB"),
            "hole": line.hole or "",
            "strip": compress((*line.strips, *line.goes_to)),
            "pair": line.pair or "",
            "reserve": compress(line.reserve),
            "spare": bool(line.spare),
            "note": line.note,
            "mark": "broken" if name in suffer else "holds",
            "reasons": suffer.get(name, []),
        }
        for name, line in sorted(model.lines.items(), key=lambda item: natural(item[0]))
    ]
