"""The matrix of who hears whom, cell by cell: always, on key, on cue, never; for paper and workbook, never for a screen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import plain
from tailboard.answers.signal import Signal
from tailboard.answers.signal_edges import Edge
from tailboard.answers.signal_reach import Reach, Terms, spread
from tailboard.answers.wanted import Wanted, wanted_rows

ALWAYS, ON_KEY, ON_CUE, LOST, NEVER = "always", "on key", "on cue", "lost", "never"
MET = {"always": {ALWAYS}, "on key": {ON_KEY, ON_CUE}, "never": {NEVER}, "": {ALWAYS, ON_KEY, ON_CUE, LOST, NEVER}}


@dataclass(frozen=True, slots=True)
class HearingEntry:
    """One cell of the matrix.

    listener, source  the user's own names: a row of hearing.csv, feed or station; a line number, station or OSC.
    heard             'always', 'on key', 'on cue', 'never', or 'lost': meant to be heard, by a way that does not work.
    wish              what hearing.csv says of it: 'always', 'on key', 'never'; empty where it says nothing.
    holds             whether what is heard is what is wished.
    """

    listener: str
    source: str
    heard: str
    wish: str

    @property
    def holds(self) -> bool:
        """Whether the wish is met; a cell without one holds."""
        return self.heard in MET[self.wish]


@dataclass(frozen=True, slots=True)
class ListenerRow:
    """One row of the matrix: sets are bits of the matrix' sources, in their order.

    listener  its name; by: the feeds and stations by which it hears; stated: whether it is a row of hearing.csv.
    heard     set of the sources heard always, on key, on cue, and lost on the way, by these words.
    wishes    what hearing.csv says, as sets by its words.
    """

    listener: str
    by: tuple[str, ...]
    stated: bool
    heard: dict[str, int]
    wishes: dict[str, int]


@dataclass(frozen=True, slots=True)
class HearingTable:
    """Who hears whom in the whole show.

    sources  the names of the columns: lines, stations that talk by no line, OSC.
    rows     the rows of hearing.csv, then each feed, then each station.
    """

    sources: tuple[str, ...]
    rows: tuple[ListenerRow, ...]

    def row(self, listener: str) -> ListenerRow:
        """Return the row of a listener; the row of hearing.csv where several bear the name. Raises KeyError."""
        for row in self.rows:
            if row.listener == listener:
                return row
        raise KeyError(listener)

    def cell(self, listener: str, source: str) -> HearingEntry:
        """Return one cell. Raises KeyError for an unknown listener, ValueError for an unknown source."""
        return entry_of(self.row(listener), source, 1 << self.sources.index(source))

    def cells(self) -> Iterator[HearingEntry]:
        """Yield every cell, row by row."""
        for row in self.rows:
            for number, source in enumerate(self.sources):
                yield entry_of(row, source, 1 << number)


def entry_of(row: ListenerRow, source: str, bit: int) -> HearingEntry:
    """Return the cell of a row for the source with one bit."""
    heard = next((word for word, held in row.heard.items() if held & bit), NEVER)
    wish = next((word for word, held in row.wishes.items() if held & bit), "")
    return HearingEntry(row.listener, source, heard, wish)


def hearing_table(ask: Ask) -> HearingTable:
    """Return the matrix of who hears whom."""
    found, model = ask(hearing), ask.model
    uncued = without_cues(found)
    rows = [stated_row(found, wanted, uncued) for wanted in ask(wanted_rows)]
    rows += [single_row(found, name, (f"ear {name}", f"feed {name}"), uncued) for name in model.feeds]
    rows += [single_row(found, name, (f"ear {name}",), uncued) for name in model.stations]
    return HearingTable(tuple(plain(label) for label in found.mixing.labels), tuple(rows))


def stated_row(found: Hearing, wanted: Wanted, uncued: Reach) -> ListenerRow:
    """Return the row of an entry of hearing.csv."""
    wishes = {"always": wanted.sets["always"], "on key": wanted.sets["on_key"], "never": wanted.sets["never"]}
    heard = heard_at(found, wanted.ears, wanted.points, uncued)
    return ListenerRow(wanted.row.id, wanted.by, True, heard, wishes)


def single_row(found: Hearing, name: str, points: tuple[str, ...], uncued: Reach) -> ListenerRow:
    """Return the row of one feed or station."""
    return ListenerRow(name, (name,), False, heard_at(found, points[:1], points, uncued), {})


def heard_at(found: Hearing, ears: tuple[str, ...], points: tuple[str, ...], uncued: Reach) -> dict[str, int]:
    """Return what comes to some ears, by the words of the matrix; what is meant to come to the points before them, too."""
    arrived, planned = found.at(*ears), found.at(*points)
    by_key = 0
    for ear in ears:
        by_key |= uncued.at.get(ear, 0)
    return {
        ALWAYS: arrived.always,
        ON_KEY: arrived.on_key & by_key,
        ON_CUE: arrived.on_key & ~by_key,
        LOST: (planned.possible | arrived.possible) & ~(arrived.always | arrived.on_key),
    }


def without_cues(found: Hearing) -> Reach:
    """Return what is heard by ways that work, keys pressed, were nothing on cue; the show's own where nothing is."""
    graph = found.graph
    if not any(feed.cues for feed in graph.model.feeds.values()):
        return found.working
    mixes = {name: replace(mix, cue=0) if mix.cue else mix for name, mix in graph.mixing.mixes.items()}
    uncued: Signal = replace(
        graph, mixing=replace(graph.mixing, mixes=mixes), out=dropped(graph.out), into=dropped(graph.into)
    )
    return spread(uncued, Terms(planned=False))


def dropped(edges: dict[str, list[Edge]]) -> dict[str, list[Edge]]:
    """Return edges without those by which a feed is heard on cue in another."""
    return {node: [edge for edge in found if edge.attribute != "cues"] for node, found in edges.items()}
