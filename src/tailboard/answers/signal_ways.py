"""Ways through the graph: the evidence of one source at one point, and all ways between two points, with their ledger."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from tailboard.answers.mixing import bits, plain
from tailboard.answers.signal import Signal
from tailboard.answers.signal_edges import Edge, Stop
from tailboard.answers.signal_reach import Reach
from tailboard.findings import Because

CARRIERS = frozenset({"box", "console", "matrix", "multicore", "tie panel", "splitter", "gateway", "switch", "di"})
COUNTED_MAX = 200  # ways counted between two points; the answer says 'at least' from there on


@dataclass(frozen=True, slots=True)
class Way:
    """One way of a signal; `stop` is the first step that does not work, and why."""

    steps: tuple[Edge, ...]

    @property
    def stop(self) -> Stop | None:
        """Return where the way stops, if it does."""
        return next((edge.stop for edge in self.steps if edge.stop is not None), None)

    @property
    def keyed(self) -> bool:
        """Whether it is open only while a key is pressed."""
        return any(edge.keyed for edge in self.steps)

    @property
    def because(self) -> tuple[Because, ...]:
        """Return the steps as evidence."""
        return tuple(edge.because for edge in self.steps)


@dataclass(frozen=True, slots=True)
class Ways:
    """All ways between two points: how many, the first few, and whether counting stopped."""

    count: int
    listed: tuple[Way, ...]
    more: bool


Piece = Edge | tuple[str, tuple[str, ...]]  # one step, or the label and the route of a run through mixes
Onward = dict[str, list[tuple[int, Piece, str]]]  # point: sources, the piece of their way from there, and where it ends


def evidence(reach: Reach, source: str, target: str) -> Way | None:
    """Return the shortest way by which a source gets to a point under the terms of a spread."""
    number = reach.graph.mixing.index.get(source)
    return None if number is None else evidences(reach, 1 << number, target).get(number)


def evidences(reach: Reach, sources: int, target: str) -> dict[int, Way]:
    """Return the shortest ways by which some sources get to a point, by source; those that do not get there are left out.

    All sources are followed back from the point together, so that where they share a way it is walked once.
    """
    sources &= reach.at.get(target, 0)
    labels, found = reach.graph.mixing.labels, {}
    origin = {labels[number]: number for number in bits(sources)}
    onward: Onward = {target: [(sources, (target, ()), "")]}
    seen = {target: sources}
    queue = deque([(target, sources)])
    left = sources
    while queue and left:
        node, here = queue.popleft()
        here &= left
        number = origin.get(node)
        if number is not None and here >> number & 1:
            found[number] = Way(tuple(steps_from(reach.graph, node, target, number, onward)))
            left &= ~(1 << number)
            here &= left
        for start, carried, piece in pieces_before(reach, node, here):
            new = carried & here & ~seen.get(start, 0)
            if new:
                seen[start] = seen.get(start, 0) | new
                onward.setdefault(start, []).append((new, piece, node))
                queue.append((start, new))
    return {number: found[number] for number in bits(sources) if number in found}


def steps_from(graph: Signal, start: str, target: str, source: int, onward: Onward) -> Iterator[Edge]:
    """Yield the steps of a source's way to a point, each piece of it by the point where it starts."""
    while start != target:
        piece, node = next((piece, node) for carried, piece, node in onward[start] if carried >> source & 1)
        if isinstance(piece, Edge):
            yield piece
        else:
            yield from through(graph, start, *piece)
        start = node


def pieces_before(reach: Reach, node: str, sources: int) -> Iterator[tuple[str, int, Piece]]:
    """Yield the points by which some sources come to a point, each with the sources and with the piece from there."""
    graph = reach.graph
    for edge, carried in reach.coming(node):
        if carried & sources:
            yield edge.start, carried, edge
    mix = graph.mixing.mixes.get(node)
    if mix is None or mix.record.id in graph.straight:
        return
    entries = graph.entries.get(mix.desk, {})
    for carrier, carried in reach.carriers(mix, sources):
        name = graph.mixing.labels[carrier]
        route = graph.mixing.shortest(node, name)
        for start in entries.get(name, (name,)):
            here = reach.at.get(start, 0) & carried
            if here:
                yield start, here, (name, route)


def through(graph: Signal, start: str, label: str, route: tuple[str, ...]) -> tuple[Edge, ...]:
    """Return the steps from a strip through a route of mixes."""
    steps, before = [], start
    for name in route:
        steps.append(graph.step_into(graph.mixing.mixes[name], label, before))
        before = name
    return tuple(steps)


def ways(graph: Signal, start: str, end: str, most: int = 6) -> Ways:
    """Return all simple ways from a point to a point, as planned: stopped ones too, working ones first."""
    useful = leading_to(graph, end)
    found: list[Way] = []
    stack: list[tuple[str, tuple[Edge, ...], frozenset[str]]] = [(start, (), frozenset([start]))]
    while stack and len(found) < COUNTED_MAX:
        node, way, seen = stack.pop()
        if node == end and way:
            found.append(Way(way))
            continue
        for steps in steps_after(graph, node, useful):
            last = steps[-1].end
            own = any(edge.not_from == start for edge in steps)
            if last not in seen and not own and not any(edge.unless for edge in steps):
                stack.append((last, (*way, *steps), seen | {last}))
    found.sort(key=lambda way: (way.stop is not None, len(way.steps)))
    return Ways(len(found), tuple(found[:most]), bool(stack))


def entered(graph: Signal, node: str) -> list[tuple[str, str]]:
    """Return the desks that a signal enters at a point, each with the label that it has there."""
    found = [(graph.device_of.get(node, ""), label) for label in graph.labels_at(node)]
    if node in graph.mixing.index:
        found += [(desk, node) for desk in graph.desks if graph.is_direct(desk, node)]
    return found


def steps_after(graph: Signal, node: str, useful: set[str]) -> Iterator[tuple[Edge, ...]]:
    """Yield the steps, one or a run through mixes, from a point towards the points that are useful."""
    for edge in graph.out.get(node, ()):
        if edge.end in useful:
            yield (edge,)
    for desk, label in entered(graph, node):
        for mix in graph.mixes_with(desk, label):
            if mix.name in useful and mix.record.id not in graph.straight:
                for route in graph.mixing.routes(mix.name, label):
                    yield through(graph, node, label, route)


def leading_to(graph: Signal, end: str) -> set[str]:
    """Return every point from which a signal can get to a point, as planned."""
    found, queue = {end}, deque([end])
    while queue:
        node = queue.popleft()
        for before in points_before(graph, node):
            if before not in found:
                found.add(before)
                queue.append(before)
    return found


def points_before(graph: Signal, node: str) -> Iterable[str]:
    """Yield the points one step before a point."""
    for edge in graph.into.get(node, ()):
        yield edge.start
    mix = graph.mixing.mixes.get(node)
    if mix is not None and mix.record.id not in graph.straight:
        entries = graph.entries.get(mix.desk, {})
        for label in graph.mixing.labels_of(mix.mask):
            yield from entries.get(label, (label,))


def short(graph: Signal, way: Way) -> str:
    """Return a way in short: its source, the mixes and lines it passes, the feed, the gear at its end: `12 - AMB - PGM`."""
    names = [plain(way.steps[0].start)] if way.steps else []
    for edge in way.steps:
        found = [shown(graph, edge.end)]
        if edge.step == "mix" and edge.start in graph.strips:
            found.insert(0, plain(edge.words.partition(" is in ")[0]))
        names += [name for name in found if name and name != names[-1]]
    return " - ".join(names)


def shown(graph: Signal, node: str) -> str:
    """Return the name of a point in a short way; empty for what only carries the signal."""
    if node in graph.mixing.mixes:
        return node.partition(" ")[2]
    if node.startswith("ear "):
        return ""
    if node.startswith("channel "):
        return node.removeprefix("channel ")
    device = graph.device_of.get(node, "")
    return "" if graph.model.kind_of(device).role in CARRIERS else device
