"""What is done between two acts: which holes and outputs are re-plugged, and what else is set otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tailboard.answers.ask import Ask
from tailboard.model.acts import ActPlan
from tailboard.model.records import Feed, Line
from tailboard.model.show import Model
from tailboard.text.ranges import compress
from tailboard.units.wording import worded

PLUGGED = frozenset({"hole", "gear", "cable", "output"})


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing to do between two acts.

    table, row  `lines`, `5`; column: what differs; before, after: in words, empty where nothing stands.
    """

    table: str
    row: str
    label: str
    column: str
    before: str
    after: str

    @property
    def replugs(self) -> bool:
        """Whether somebody walks to a hole for it."""
        return self.column in PLUGGED


@dataclass(frozen=True, slots=True)
class Changeover:
    """From one act to the next. `minutes`: how long there is; None: not written."""

    before: str
    after: str
    act: ActPlan
    doings: tuple[Doing, ...]

    @property
    def replugs(self) -> int:
        """How many holes are plugged otherwise."""
        return len({(doing.table, doing.row) for doing in self.doings if doing.replugs})


def changeovers(ask: Ask) -> tuple[Changeover, ...]:
    """Return what is done between the acts of a show, in their order."""
    acts = list(ask.model.acts.values())
    return tuple(
        Changeover(one.record.id, two.record.id, two, tuple(doings(ask.model, one, two))) for one, two in pairwise(acts)
    )


def doings(model: Model, one: ActPlan, two: ActPlan) -> list[Doing]:
    """Return what differs between two acts, lines first, in the order of the show's tables."""
    found = []
    for name, line in model.lines.items():
        found += differing("lines", name, line.label, line_facts(one.lines.get(name)), line_facts(two.lines.get(name)))
    for name, feed in model.feeds.items():
        found += differing("feeds", name, feed.label, feed_facts(one.feeds.get(name)), feed_facts(two.feeds.get(name)))
    return found


def differing(table: str, row: str, label: str, one: dict[str, str], two: dict[str, str]) -> list[Doing]:
    """Return the facts that differ; of a row that one act does not have, only where it is plugged."""
    names = ("hole", "output") if not one or not two else tuple(dict.fromkeys((*one, *two)))
    return [
        Doing(table, row, label, name, one.get(name, ""), two.get(name, ""))
        for name in names
        if one.get(name, "") != two.get(name, "")
    ]


def line_facts(line: Line | None) -> dict[str, str]:
    """Return what of a line is set by hand; empty for one that an act does not have."""
    if line is None:
        return {}
    return {
        "hole": line.hole or "",
        "gear": line.gear or "",
        "cable": line.cable or "",
        "48V": "on" if line.phantom else "off",
        "gain": "" if line.gain_db is None else worded(line.gain_db, "dB"),
        "pad": "" if line.pad_db is None else worded(line.pad_db, "dB"),
        "strip": compress((*line.strips, *line.goes_to)),
        "label": line.label,
        "source": line.source,
    }


def feed_facts(feed: Feed | None) -> dict[str, str]:
    """Return what of a feed is set by hand; empty for one that an act does not have."""
    if feed is None:
        return {}
    return {
        "output": compress(feed.outputs),
        "gear": compress(feed.gear),
        "mix": compress(feed.mix),
        "minus": compress(feed.minus),
        "listener": feed.listener,
        "label": feed.label,
    }
