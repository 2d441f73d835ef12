"""Ways in any graph of steps: counted exactly without walking them one by one, and the strongest of them listed."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass
from typing import Generic, NamedTuple, TypeVar

N = TypeVar("N", bound=Hashable)
P = TypeVar("P")
WALKED_MAX = 20_000  # own choice: steps walked one by one where ways lead in a circle; about 20 ms


class Step(NamedTuple, Generic[N, P]):
    """A step to a point, what it adds to the level, and what the caller wants to know of it later."""

    end: N
    gain_db: float
    piece: P


class Listed(NamedTuple, Generic[N, P]):
    """A way from some point to the end, as far as it is put together: its gain, its steps, the first one and the rest."""

    gain_db: float
    steps: int
    first: Step[N, P] | None = None
    more: Listed[N, P] | None = None

    def led_to_by(self, step: Step[N, P]) -> Listed[N, P]:
        """Return the way with one more step before it."""
        return Listed(self.gain_db + step.gain_db, self.steps + 1, step, self)

    def walked(self) -> Iterator[Step[N, P]]:
        """Yield the steps."""
        way: Listed[N, P] | None = self
        while way is not None and way.first is not None:
            yield way.first
            way = way.more


@dataclass(frozen=True, slots=True)
class WayCount(Generic[N, P]):
    """The ways between two points that pass no point twice.

    count    how many; exact: False where circles make so many that counting stopped: there are more.
    listed   the strongest, of those found, the loudest first, of equally loud ones the shortest.
    """

    count: int
    exact: bool
    listed: tuple[Listed[N, P], ...]


def counted(start: N, end: N, after: Callable[[N], Iterable[Step[N, P]]], most: int) -> WayCount[N, P]:
    """Return the number of ways between two points and the `most` strongest.

    Points from which no circle can be reached are counted backwards from the end: the ways from a point are those from
    each next point together. Only what lies in or before a circle is walked step by step, at most WALKED_MAX steps.
    """
    steps = useful_steps(start, end, after)
    if start == end or start not in steps:
        return WayCount(0, True, ())
    counts: dict[N, int] = {end: 1}
    best: dict[N, tuple[Listed[N, P], ...]] = {end: (Listed(0.0, 0),)}
    for node in inner_first(steps, end):
        counts[node] = sum(counts[step.end] for step in steps[node])
        best[node] = strongest((way.led_to_by(step) for step in steps[node] for way in best[step.end]), most)
    if start in counts:
        return WayCount(counts[start], True, best[start])
    found = heads(start, steps, counts)
    ways = (joined(head, step, way) for head, step in found.ends for way in best[step.end])
    return WayCount(sum(counts[step.end] for _, step in found.ends), found.exact, strongest(ways, most))


def joined(head: Iterable[Step[N, P]], step: Step[N, P], way: Listed[N, P]) -> Listed[N, P]:
    """Return a way with the steps before it, `step` the last of them."""
    way = way.led_to_by(step)
    for before in head:
        way = way.led_to_by(before)
    return way


def useful_steps(start: N, end: N, after: Callable[[N], Iterable[Step[N, P]]]) -> dict[N, list[Step[N, P]]]:
    """Return the steps of each point that lie on some way from start to end; a way is over at the end."""
    steps: dict[N, list[Step[N, P]]] = {}
    before: dict[N, list[N]] = {}
    queue = [start]
    for node in queue:  # it grows on the way
        if node in steps or node == end:
            continue
        steps[node] = list(after(node))
        for step in steps[node]:
            before.setdefault(step.end, []).append(node)
            queue.append(step.end)
    useful = {end}
    queue = [end]
    for node in queue:
        for other in before.get(node, ()):
            if other not in useful:
                useful.add(other)
                queue.append(other)
    return {node: [step for step in found if step.end in useful] for node, found in steps.items() if node in useful}


def inner_first(steps: dict[N, list[Step[N, P]]], end: N) -> Iterator[N]:
    """Yield the points from which no circle can be reached, each after those that its steps lead to."""
    left = {node: len(found) for node, found in steps.items()}
    before: dict[N, list[N]] = {}
    for node, found in steps.items():
        for step in found:
            before.setdefault(step.end, []).append(node)
    ready = [end]
    for done in ready:  # it grows on the way
        for node in before.get(done, ()):
            left[node] -= 1
            if left[node] == 0:
                ready.append(node)
                yield node


@dataclass(frozen=True, slots=True)
class Heads(Generic[N, P]):
    """The beginnings of ways inside circles: the steps there, last first, and the step out to a point that is counted.

    exact  whether these are all.
    """

    ends: list[tuple[list[Step[N, P]], Step[N, P]]]
    exact: bool


def heads(start: N, steps: dict[N, list[Step[N, P]]], counts: dict[N, int]) -> Heads[N, P]:
    """Return the beginnings of ways that lead out of the circles, walked step by step."""
    ends: list[tuple[list[Step[N, P]], Step[N, P]]] = []
    way: list[Step[N, P]] = []
    there = {start}

    def outward_first(node: N) -> Iterator[Step[N, P]]:
        return iter(sorted(steps[node], key=lambda step: step.end not in counts))

    open_steps = [outward_first(start)]
    for _ in range(WALKED_MAX):
        step = next(open_steps[-1], None)
        if step is None:
            open_steps.pop()
            if not way:
                return Heads(ends, exact=True)
            there.discard(way.pop().end)
        elif step.end in counts:
            ends.append((way[::-1], step))
        elif step.end not in there:
            there.add(step.end)
            way.append(step)
            open_steps.append(outward_first(step.end))
    return Heads(ends, exact=False)


def strongest(ways: Iterable[Listed[N, P]], most: int) -> tuple[Listed[N, P], ...]:
    """Return the strongest of some ways, in order."""
    return tuple(heapq.nsmallest(most, ways, key=lambda way: (-way.gain_db, way.steps)))
