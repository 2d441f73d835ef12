"""Ways counted and the strongest listed, against networkx on random graphs and against numbers known in closed form."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator
from types import SimpleNamespace
from typing import Any, cast

import networkx as nx
import pytest

from tailboard.answers import signal_counts
from tailboard.answers.paths import WAYS_MAX, fixed_ways
from tailboard.answers.signal import Signal
from tailboard.answers.signal_counts import Step, counted
from tailboard.answers.signal_edges import Edge, Stop
from tailboard.model.show import empty_heading

ROUNDS = 200
LISTED = 4
GAINS_DB = (-20.0, -6.0, -3.0, 0.0, 10.0)


def drawn(rng: random.Random, *, circles: bool) -> Any:
    """Return a random graph with gains on its steps; two steps may join the same two points."""
    graph = nx.MultiDiGraph()
    size = rng.randint(2, 8)
    graph.add_nodes_from(range(size))
    for _ in range(rng.randint(1, 3 * size if circles else 5 * size)):
        begin, end = rng.randrange(size), rng.randrange(size)
        if begin != end and (circles or begin < end):
            graph.add_edge(begin, end, gain_db=rng.choice(GAINS_DB))
    return graph


def steps_of(graph: Any) -> Callable[[int], Iterator[Step[int, int]]]:
    """Return the steps of a graph as `counted` asks for them; the piece is the number of the parallel step."""

    def after(node: int) -> Iterator[Step[int, int]]:
        for _, end, key, gain_db in graph.out_edges(node, keys=True, data="gain_db"):
            yield Step(end, gain_db, key)

    return after


def walked_by_networkx(graph: Any, begin: int, end: int) -> list[tuple[float, int]]:
    """Return every simple way as (loss, steps), the strongest first, as networkx walks them."""
    found = [
        (-sum(graph.edges[edge]["gain_db"] for edge in way), len(way))
        for way in nx.all_simple_edge_paths(graph, begin, end)
    ]
    return sorted(found)


@pytest.mark.parametrize("circles", [False, True])
def test_ways_are_those_of_networkx(circles: bool) -> None:
    rng = random.Random(11)
    most = 0
    for _ in range(ROUNDS):
        graph = drawn(rng, circles=circles)
        begin, end = rng.sample(range(len(graph)), 2)
        expected = walked_by_networkx(graph, begin, end)
        found = counted(begin, end, steps_of(graph), LISTED)
        assert (found.count, found.exact) == (len(expected), True)
        assert [(-way.gain_db, way.steps) for way in found.listed] == expected[:LISTED]
        for way in found.listed:
            points = [begin, *(step.end for step in way.walked())]
            assert points[-1] == end
            assert len(set(points)) == len(points) == way.steps + 1
        most = max(most, found.count)
    assert most > LISTED, "the graphs are too thin to try the listing"


def test_ways_that_explode_are_counted_exactly_and_fast() -> None:
    """60 diamonds in a row have 2**60 ways, by multiplication."""

    def after(node: int) -> Iterator[Step[int, None]]:
        if node < 60:
            yield Step(node + 1, -1.0, None)
            yield Step(node + 1, -2.0, None)

    before = time.process_time()
    found = counted(0, 60, after, LISTED)
    assert (found.count, found.exact) == (2**60, True)
    assert [way.gain_db for way in found.listed] == [-60.0, -61.0, -61.0, -61.0]
    assert time.process_time() - before < 1


def test_a_circle_before_many_ways_leaves_the_count_exact() -> None:
    """Points 'a' and 'b' name each other and each leads to the head of 20 diamonds: 2 ways in, 2**20 on."""

    def after(node: object) -> Iterator[Step[object, None]]:
        if isinstance(node, int):
            for _ in range(2 if node < 20 else 0):
                yield Step(node + 1, 0.0, None)
        else:
            yield Step("b" if node == "a" else "a", 0.0, None)
            yield Step(0, 0.0, None)

    found = counted("a", 20, after, LISTED)
    assert (found.count, found.exact) == (2 * 2**20, True)


def test_counting_stops_where_circles_make_too_many(monkeypatch: pytest.MonkeyPatch) -> None:
    """Between two of n points that all lead to one another there are more than (n - 2)! ways."""
    monkeypatch.setattr(signal_counts, "WALKED_MAX", 2000)
    found = counted(0, 11, lambda node: (Step(end, 0.0, None) for end in range(12) if end != node), LISTED)
    assert not found.exact
    assert 100 < found.count < 3_628_800
    assert found.listed[0].steps == 1


def test_no_way_is_none() -> None:
    assert counted(0, 1, lambda _: iter(()), LISTED).count == 0


def test_the_chain_counts_ways_as_networkx_does() -> None:
    """The working fixed ways of a chain, up to the number from which counting makes no difference."""
    rng = random.Random(12)
    record = empty_heading()
    for _ in range(ROUNDS):
        graph = drawn(rng, circles=rng.random() < 0.5)
        out: dict[str, list[Edge]] = {}
        for number, (begin, end, key) in enumerate(list(graph.edges(keys=True))):
            broken = rng.random() < 0.1
            stop = Stop("broken") if broken else None
            out.setdefault(str(begin), []).append(
                Edge(str(begin), str(end), "cable", f"cable {number}", record, "title", stop=stop)
            )
            if broken:
                graph.remove_edge(begin, end, key)
        begin, end = rng.sample(range(len(graph)), 2)
        expected = sum(1 for _ in nx.all_simple_edge_paths(graph, begin, end))
        signal = cast("Signal", SimpleNamespace(out=out))
        found = fixed_ways(signal, str(begin)).ways_to(signal, str(end))
        assert len(found) == min(expected, WAYS_MAX)
        assert len({tuple(edge.words for edge in way) for way in found}) == len(found)
