"""Knots against the strongly connected components of networkx; loops of buses in a large graph in time."""

from __future__ import annotations

import random
import time

import networkx as nx

from support.looping import BUSES, MEMBERS, looping
from tailboard.answers.ask import Ask
from tailboard.answers.knots import knots
from tailboard.answers.mixing import mixing
from tailboard.model.reading import read
from tailboard.text.folder import Texts

TIME_MAX_S = 1.0  # issue: figures


def drawn(rng: random.Random, size: int, edges: int) -> dict[int, list[int]]:
    graph: dict[int, list[int]] = {node: [] for node in range(size)}
    for _ in range(edges):
        graph[rng.randrange(size)].append(rng.randrange(size))
    return graph


def test_knots_are_the_components_with_a_cycle() -> None:
    rng = random.Random(3)
    seen = 0
    for _ in range(300):
        size = rng.randint(1, 14)
        graph = drawn(rng, size, rng.randint(0, 2 * size))
        other = nx.DiGraph([(node, after) for node, found in graph.items() for after in found])
        expected = {
            frozenset(part)
            for part in nx.strongly_connected_components(other)
            if len(part) > 1 or other.has_edge(*(2 * list(part)))
        }
        found = knots(graph)
        assert {frozenset(part) for part in found} == expected
        assert sum(map(len, found)) == len(set().union(*found))
        seen += len(found)
    assert seen > 100


def test_loops_of_buses_are_those_of_a_graph_and_found_in_time() -> None:
    model = read(Texts(looping(random.Random(4)).files)).model
    before = time.process_time()
    found = Ask(model)(mixing)
    assert time.process_time() - before < TIME_MAX_S
    graph = nx.DiGraph([(f"bus {name}", f"bus {other}") for name, bus in model.buses.items() for other in bus.members])
    assert graph.number_of_edges() == BUSES * MEMBERS
    knotted = set().union(*(part for part in nx.strongly_connected_components(graph) if len(part) > 1))
    assert set().union(*found.loops) <= knotted | set(nx.nodes_with_selfloops(graph))
    for loop in found.loops:
        assert all(graph.has_edge(*pair) for pair in zip(loop, (*loop[1:], loop[0]), strict=True))
    graph.remove_edges_from([pair for loop in found.loops for pair in zip(loop, (*loop[1:], loop[0]), strict=True)])
    assert nx.is_directed_acyclic_graph(graph), "a loop is not named"
