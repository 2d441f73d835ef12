"""What comes from one source to one listener: all ways counted exactly, the strongest with gain and delay, their sum."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tailboard.answers.mixing import Mix, members_of
from tailboard.answers.signal import Signal
from tailboard.answers.signal_counts import Listed, Step, counted
from tailboard.answers.signal_edges import Edge
from tailboard.answers.signal_reach import Terms
from tailboard.answers.signal_ways import Way, entered, through
from tailboard.model.records import Feed

Inside = tuple[str, str, str]  # a label inside a mix: desk, label, mix
Place = str | Inside
Piece = Edge | str  # a step of the graph, or the label that goes through mixes
LISTED = 6  # own choice: ways that are listed


@dataclass(frozen=True, slots=True)
class Contribution:
    """One way of a source to a listener. `gain_db` is the sum of the gains that are written on it."""

    way: Way
    gain_db: float


@dataclass(frozen=True, slots=True)
class Contributions:
    """All ways of a source to a listener that pass nothing twice.

    count    how many; exact: False where circles make more than could be counted.
    listed   the strongest of them, the loudest first, of equally loud ones the shortest.
    """

    count: int
    exact: bool
    listed: tuple[Contribution, ...]

    def sum_at(self, frequency_hz: float, delays_s: Sequence[float]) -> complex:
        """Return the gain at which the listed ways add up, as a complex factor, of the gains that are known.

        delays_s  how late each of the listed ways is: its ledger (`soundpath.entries_of`) added up. [s]
        """
        total = 0j
        for part, delay_s in zip(self.listed, delays_s, strict=True):
            turn = -2 * math.pi * frequency_hz * delay_s
            total += cmath.rect(10 ** (part.gain_db / 20), turn)
        return total


def contributions(
    graph: Signal, source: str, listener: str, terms: Terms | None = None, most: int = LISTED
) -> Contributions:
    """Return the ways from a point (`line 5`) to a point (`ear FD1`), by default those that work, keys pressed."""
    steps = Steps(graph, source, terms or Terms(planned=False))
    begin: Place = source
    found = counted(begin, listener, steps.after, most)
    return Contributions(
        found.count,
        found.exact,
        tuple(Contribution(Way(tuple(edges_of(graph, source, way))), way.gain_db) for way in found.listed),
    )


class Steps:
    """The steps of one source through the graph; inside a desk those from mix to mix, each a point of its own."""

    def __init__(self, graph: Signal, source: str, terms: Terms) -> None:
        self.graph = graph
        self.source = source
        self.terms = terms
        self.names: dict[str, list[str]] = {}
        self.holding: dict[str, list[Mix]] = {}
        self.holding_on_cue: dict[str, list[Mix]] = {}
        for mix in graph.mixing.mixes.values():
            for name in members_of(mix.record):
                self.holding.setdefault(name, []).append(mix)
            for name in mix.record.cues if isinstance(mix.record, Feed) and terms.keyed else ():
                if name not in graph.model.feeds:  # a feed heard on cue is a step of the graph
                    self.holding_on_cue.setdefault(name, []).append(mix)

    def after(self, place: Place) -> Iterator[Step[Place, Piece]]:
        """Yield the steps from a point, or from inside a mix."""
        if isinstance(place, str):
            for edge in self.graph.out.get(place, ()):
                if self.terms.allows(edge) and edge.not_from != self.source:
                    yield Step(edge.end, edge.gain_db or 0.0, edge)
            for desk, label in entered(self.graph, place):
                if place != label or self.works_directly(desk, label):
                    for name in self.names_of(label):
                        yield from self.into_mixes(desk, label, name)
            return
        desk, label, mix = place
        name = mix.partition(" ")[2]
        if self.graph.mixing.inner.get(name) == mix:
            yield from self.into_mixes(desk, label, name)
        if self.ends(desk, mix):
            yield Step(mix, 0.0, label)

    def works_directly(self, desk: str, label: str) -> bool:
        """Return whether a label that has no strip at a desk is in its mixes all the same."""
        if not self.terms.planned and self.graph.no_strip(desk, label) is not None:
            return False
        kind = self.graph.model.source_kind(label.removeprefix("line ")) if label.startswith("line ") else None
        return self.terms.keyed or kind is None or not kind.keyed

    def names_of(self, label: str) -> list[str]:
        """Return the names under which mixes hold a label: its own, and those of party lines with it."""
        if label not in self.names:
            unit = self.graph.mixing.units[self.graph.mixing.index[label]]
            self.names[label] = [name for name, held in self.graph.mixing.masks.items() if held & unit]
        return self.names[label]

    def into_mixes(self, desk: str, label: str, name: str) -> Iterator[Step[Place, Piece]]:
        """Yield the steps of a label, held under a name, into the mixes that hold that name."""
        unit = self.graph.mixing.units[self.graph.mixing.index[label]]
        for mix in self.holding.get(name, ()):
            if mix.mask & unit:
                yield Step((desk, label, mix.name), 0.0, label)
        for mix in self.holding_on_cue.get(name, ()):
            if (mix.mask | mix.cue) & unit and self.ends(desk, mix.name):
                yield Step(mix.name, 0.0, label)

    def ends(self, desk: str, name: str) -> bool:
        """Return whether what comes to a mix by a desk may leave it there."""
        mix = self.graph.mixing.mixes[name]
        return mix.desk == desk and mix.record.id not in self.graph.straight


def edges_of(graph: Signal, source: str, way: Listed[Place, Piece]) -> Iterator[Edge]:
    """Yield the steps of a way as the graph has them, runs through mixes written out."""
    begin = source
    route: dict[str, None] = {}
    for step in way.walked():
        if isinstance(step.piece, Edge):
            yield step.piece
        else:
            route[step.end if isinstance(step.end, str) else step.end[2]] = None
        if isinstance(step.end, str):
            if isinstance(step.piece, str):
                yield from through(graph, begin, step.piece, tuple(route))
            begin, route = step.end, {}
