"""Knots: the parts of a graph in which every point leads to every other, so that something can go round."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import TypeVar

N = TypeVar("N", bound=Hashable)


def knots(graph: Mapping[N, Sequence[N]]) -> list[list[N]]:  # long: one algorithm, without recursion
    """Return the strongly connected parts of a graph that hold a cycle.

    Source: R. Tarjan, "Depth-first search and linear graph algorithms", SIAM J. Comput. 1 (1972) 146-160.
    """
    index: dict[N, int] = {}
    low: dict[N, int] = {}
    stack: list[N] = []
    on_stack: set[N] = set()
    found: list[list[N]] = []
    for root, nexts in graph.items():
        work = [(root, iter(nexts))] if root not in index else []
        while work:
            node, rest = work[-1]
            if node not in index:
                index[node] = low[node] = len(index)
                stack.append(node)
                on_stack.add(node)
            for other in rest:
                if other not in index:
                    work.append((other, iter(graph[other])))
                    break
                if other in on_stack:
                    low[node] = min(low[node], index[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == index[node]:
                    part: list[N] = []
                    while not part or part[-1] != node:
                        part.append(stack.pop())
                        on_stack.discard(part[-1])
                    if len(part) > 1 or node in graph[node]:
                        found.append(part)
    return found
