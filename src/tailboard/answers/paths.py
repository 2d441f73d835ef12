"""Chains: the one way of each line to its strips and of each feed to its listener, and what each needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import strip_of
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_edges import FIXED, Edge, Stop, downstream, end_point, point, trail
from tailboard.answers.streams import Streams, streams
from tailboard.model.records import Feed, Line
from tailboard.model.show import Model
from tailboard.text.fields import Record

WAYS_MAX = 9  # ways counted to one end: more than one is already a fault


@dataclass(frozen=True, slots=True)
class Chain:
    """The way of a line or a feed.

    steps     the steps of its first way, as far as it goes.
    complete  whether every end that is written is reached.
    stop      where the first end that is not reached gets no further, and why; `stop.lacks` names an empty column.
    depends   keys of everything the ways need: 'device SB-1', 'cable C-01', 'port SW-B/1', 'stream ST-1', 'supply HALL'.
    count     most ways to one end: 1 where the chain is the only one, 0 where an end is not reached.
    ends      the points that must be reached.
    """

    steps: tuple[Edge, ...]
    complete: bool
    stop: Stop | None
    depends: frozenset[str]
    count: int
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chains:
    """The chains by line number and feed id."""

    of_line: dict[str, Chain]
    of_feed: dict[str, Chain]


def chains(ask: Ask) -> Chains:
    """Return the chain of every line and every feed."""
    model, graph = ask.model, ask(signal)
    plans = ask(streams)
    return Chains(
        {name: line_chain(graph, line) for name, line in model.lines.items()},
        {name: feed_chain(graph, feed, plans) for name, feed in model.feeds.items()},
    )


def line_chain(graph: Signal, line: Line) -> Chain:
    """Return the chain of a line: from its source to each strip and each other destination."""
    ends = line_points(graph.model, line)
    for attribute, words, empty in (
        ("hole", "hole", line.hole is None),
        ("strips", "strip or other destination", not ends),
    ):
        if empty:
            steps = tuple(ahead(graph, f"line {line.id}"))
            return Chain(steps, False, lacking(line, attribute, words), needs(steps), 0, ends)
    return joined(graph, [(f"line {line.id}", end) for end in ends], line, "hole", ends)


def line_points(model: Model, line: Line) -> tuple[str, ...]:
    """Return the points at which a line must arrive."""
    strips = [point(desk, f"strip {strip}") for desk, strip in (strip_of(model, written) for written in line.strips)]
    return (*strips, *(end_point(model, port) for port in line.goes_to))


def lacking(record: Record, attribute: str, words: str) -> Stop:
    """Return the stop of a chain for which a column is empty."""
    name = "line" if isinstance(record, Line) else "feed"
    return Stop(f"no {words} is written", record.at.spot(attribute), frozenset([f"{name} {record.id}"]), attribute)


def feed_chain(graph: Signal, feed: Feed, plans: Streams) -> Chain:
    """Return the chain of a feed: from its desk to each output, and from the outputs to its gear and listener."""
    node, ear = f"feed {feed.bed or feed.id}", f"ear {feed.id}"
    if feed.id in graph.straight:
        holes = [edge.start for edge in graph.into.get(node, ())]
        broken = next((edge.stop for edge in graph.into.get(node, ()) if edge.stop is not None), None)
        chain = joined(graph, [(hole, ear) for hole in holes], feed, "outputs", (ear,))
        return chain if broken is None else Chain(chain.steps, False, broken, chain.depends, 0, (ear,))
    legs = [(node, output) for output in feed.outputs if output not in plans.plans]
    gear = dict.fromkeys(edge.start for edge in graph.into.get(ear, ()))
    chain = joined(graph, [*legs, *((node, end) for end in gear)], feed, "outputs", (*gear, ear))
    last = tuple(edge for edge in graph.into.get(ear, ()) if chain.steps and edge.start == chain.steps[-1].end)[:1]
    first = heard_first(graph, node)
    steps = (*first, *chain.steps, *last)
    if not feed.outputs and not any(edge.step == "stream" for edge in chain.steps):
        return Chain(steps, False, lacking(feed, "outputs", "output"), needs(steps), 0, chain.ends)
    more = [edge for edge in (*first, *last) if not edge.depends <= chain.depends]
    depends = chain.depends | needs(more) if more else chain.depends
    return Chain(steps, chain.complete, chain.stop, depends, chain.count, chain.ends)


def heard_first(graph: Signal, node: str) -> tuple[Edge, ...]:
    """Return the step from the first mix or line in a feed into the feed."""
    mix = graph.mixing.mixes.get(node)
    for member in mix.members if mix else ():
        for start in (f"bus {member}", f"feed {member}", f"line {member}"):
            if mix is not None and (start in graph.mixing.mixes or start in graph.mixing.index):
                return (graph.step_into(mix, start, start),)
    return ()


def joined(graph: Signal, ways: list[tuple[str, str]], record: Record, attribute: str, ends: tuple[str, ...]) -> Chain:
    """Return the chain made of the ways between pairs of points: all must exist, each once."""
    steps: tuple[Edge, ...] = ()
    taken: list[Edge] = []
    counts: list[int] = []
    stop: Stop | None = None
    spreads: dict[str, FixedWays] = {}
    for start, end in ways:
        if start not in spreads:
            spreads[start] = fixed_ways(graph, start)
        found = spreads[start].ways_to(graph, end)
        counts.append(len(found))
        first = found[0] if found else tuple(ahead(graph, start, end))
        taken += first
        if len(first) > len(steps):
            steps = first
        if not found and stop is None:
            stop = why_not(graph, start, end, record, attribute)
    complete = bool(counts) and min(counts) > 0
    return Chain(steps, complete, stop, needs(taken), max(counts, default=0) if complete else 0, ends)


def needs(steps: Iterable[Edge]) -> frozenset[str]:
    """Return everything that some steps need."""
    return frozenset().union(*(edge.depends for edge in steps))


@dataclass(frozen=True, slots=True)
class FixedWays:
    """How far a signal gets from a point by working fixed steps.

    edges   every point reached, with the edge it came by first.
    points  those that more than one of these edges enters: only through them can there be a second way.
    """

    start: str
    edges: dict[str, Edge | None]
    points: frozenset[str]

    def ways_to(self, graph: Signal, end: str) -> list[tuple[Edge, ...]]:
        """Return the ways to a point, as `simple_ways` does."""
        if end not in self.edges:
            return []
        way = trail(self.edges, end)
        if self.points and any(edge.end in self.points for edge in way):
            return list(simple_ways(graph, self.start, end))
        return [way]


def fixed_ways(graph: Signal, start: str) -> FixedWays:
    """Return how far a signal gets from a point by working fixed steps."""
    came: dict[str, Edge | None] = {start: None}
    twice: list[str] = []
    queue = [start]
    for node in queue:  # it grows on the way
        for edge in graph.out.get(node, ()):
            if edge.step in FIXED and edge.stop is None:
                if edge.end in came:
                    twice.append(edge.end)
                else:
                    came[edge.end] = edge
                    queue.append(edge.end)
    return FixedWays(start, came, frozenset(twice))


def simple_ways(graph: Signal, start: str, end: str) -> Iterator[tuple[Edge, ...]]:
    """Yield the working fixed ways between two points, in the order of the graph; legs of one cable or stream count once."""
    seen: set[tuple[str, ...]] = set()
    stack: list[tuple[str, tuple[Edge, ...]]] = [(start, ())]
    while stack and len(seen) < WAYS_MAX:
        node, way = stack.pop()
        if node == end:
            carried = tuple(edge.words for edge in way)
            if carried not in seen:
                seen.add(carried)
                yield way
            continue
        before = {edge.start for edge in way}
        stack.extend(
            (edge.end, (*way, edge))
            for edge in reversed(graph.out.get(node, ()))
            if edge.step in FIXED and edge.stop is None and edge.end not in before
        )


def ahead(graph: Signal, start: str, end: str = "") -> Iterator[Edge]:
    """Yield the steps of a way as far as it works: towards `end` if it is planned, else the longest there is."""
    came = downstream(graph.out, [start])
    target = end if end in came else list(came)[-1]
    for edge in trail(came, target):
        if edge.stop is not None:
            return
        yield edge


def why_not(graph: Signal, start: str, end: str, record: Record, attribute: str) -> Stop:
    """Return why a point is not reached: the first step on the planned way that does not work."""
    came = downstream(graph.out, [start])
    for edge in trail(came, end) if end in came else ():
        if edge.stop is not None:
            return edge.stop
    last = list(came)[-1]
    return Stop(f"nothing leads from {last} to {end}", record.at.spot(attribute), frozenset())
