"""Who hears whom: for each feed and station the sources heard always, on key, and as the plan means it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mixing, bits
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_reach import Reach, Terms, spread
from tailboard.answers.signal_ways import Way, evidences
from tailboard.model.records import Feed, Station
from tailboard.model.show import Model


@dataclass(frozen=True, slots=True)
class Heard:
    """What comes to an ear. Sets are bits of `Mixing.labels`.

    always    whenever it sounds, by ways that work; on_key: only while a key is pressed.
    possible  by any way that is planned, working or not; steady: those of them that need no key.
    excluded  what would come too, were a stated fact not so.
    """

    ear: str
    always: int
    on_key: int
    possible: int
    steady: int
    excluded: int


class Hearing:
    """Who hears whom in one show; the spreads are worked out when they are first asked for."""

    def __init__(self, graph: Signal) -> None:
        self.graph = graph
        self._ways: dict[tuple[str, ...], dict[int, Way]] = {}
        self._followed: dict[tuple[str, ...], int] = {}

    @property
    def mixing(self) -> Mixing:
        """The mixes and the meaning of the bits."""
        return self.graph.mixing

    @cached_property
    def planned(self) -> Reach:
        """By any way that is written, keys pressed."""
        return spread(self.graph, Terms())

    @cached_property
    def steady(self) -> Reach:
        """By any way that is written, no key pressed."""
        return spread(self.graph, Terms(keyed=False))

    @cached_property
    def working(self) -> Reach:
        """By ways that work, keys pressed."""
        return spread(self.graph, Terms(planned=False)) if self.graph.broken else self.planned

    @cached_property
    def working_steady(self) -> Reach:
        """By ways that work, no key pressed."""
        return spread(self.graph, Terms(keyed=False, planned=False)) if self.graph.broken else self.steady

    @cached_property
    def unexcluded(self) -> Reach:
        """By any way that is written, and by those that a stated fact rules out."""
        return spread(self.graph, Terms(excluded=True)) if self.graph.excluded else self.planned

    def at(self, *points: str) -> Heard:
        """Return what comes to some points together: `ear FD1`, `ear S-DIR`, `bus PGM`."""

        def together(reach: Reach) -> int:
            found = 0
            for node in points:
                found |= reach.at.get(node, 0)
            return found

        always, possible = together(self.working_steady), together(self.planned)
        return Heard(
            points[0] if points else "", always, together(self.working) & ~always, possible,
            together(self.steady), together(self.unexcluded) & ~possible,
        )  # fmt: skip

    def names(self, heard: int) -> tuple[str, ...]:
        """Return the user's names of a set."""
        return self.mixing.names(heard)

    def way(self, bit: int, *points: str) -> Way | None:
        """Return the strongest way of a source to one of some points: one that needs no key if there is one, the shortest."""
        return next(self.ways(1 << bit, *points), None)

    def ways(self, heard: int, *points: str) -> Iterator[Way]:
        """Yield the strongest way of each source of a set."""
        self._follow(heard & ~self._followed.get(points, 0), points)
        known = self._ways[points]
        for bit in bits(heard):
            if bit in known:
                yield known[bit]

    def _follow(self, left: int, points: tuple[str, ...]) -> None:
        """Work out the strongest ways of some sources."""
        known = self._ways.setdefault(points, {})
        self._followed[points] = self._followed.get(points, 0) | left
        for reach in (self.working_steady, self.steady, self.planned, self.unexcluded):
            if not left:
                break
            found = [evidences(reach, left, point) for point in points]
            for bit in bits(left):
                ways = [of_point[bit] for of_point in found if bit in of_point]
                if ways:
                    known[bit] = min(ways, key=lambda way: len(way.steps))
                    left &= ~(1 << bit)


def hearing(ask: Ask) -> Hearing:
    """Return who hears whom."""
    return Hearing(ask(signal))


@dataclass(frozen=True, slots=True)
class Ears:
    """A listener's ears: the points by which he hears, and how each is called."""

    name: str
    points: tuple[str, ...]
    by: tuple[str, ...]


def ears_of(model: Model, name: str) -> Ears:
    """Return by what a feed, station, listener, person or place hears; without points where the name is not known."""
    if name in model.feeds or name in model.stations:
        return Ears(name, (f"ear {name}",), (name,))
    if name in model.hearing:
        by = tuple(other for other in model.hearing[name].by if other in model.feeds or other in model.stations)
        return Ears(name, tuple(f"ear {other}" for other in by), by)
    groups: tuple[dict[str, Feed] | dict[str, Station], ...] = (model.feeds, model.stations)
    by = tuple(key for group in groups for key, record in group.items() if name in called(record))
    return Ears(name, tuple(f"ear {other}" for other in by), by)


def called(record: Feed | Station) -> set[str]:
    """Return the names by which the listener of a feed or the person at a station is known, the place among them."""
    text = record.listener if isinstance(record, Feed) else record.person
    return {record.place or "", text, *(part.strip() for part in text.split(","))} - {""}


def lines_said_by(model: Model, person: str) -> tuple[str, ...]:
    """Return the lines whose source is a person, by name."""
    return tuple(name for name, line in model.lines.items() if line.source == person)
