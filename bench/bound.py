"""The bound of queues against the worst moments that a search finds: how near it is, that nothing breaks it, how quick."""

from __future__ import annotations

import gc
import multiprocessing
import os
import random
import statistics
import time
from dataclasses import replace

from bench.measured import Figure

from physics.queuenets import ROUNDING, Net, chain, even_tree, late_packets, mesh, random_net, tree
from tailboard.physics.adversary import worst_found
from tailboard.physics.queueing import Line, Traffic, bounds, straight
from tailboard.physics.queueing_ways import Ways
from tailboard.units.wording import counted

FLOWS = 500_000  # issue: proof against the outside
SORTS = {
    "chain": chain,
    "tree, one packet time": even_tree,
    "tree, mixed packet times": tree,
    "mixed speeds, classes and ways": mesh,
}
LIMITED = ("chain", "tree, one packet time")  # docs/decisions.md says what is known of the others
LOAD = 0.6  # issue: figures
ABOVE_MAX_PERCENT = {1: 0.5, 2: 0.5, 4: 5.0, 8: None, 16: 15.0}  # issue: figures; of the median
NETS = {1: 12, 2: 12, 4: 10, 8: 6, 16: 4}  # by hops: networks of each sort
TRIES = 4  # random moves after the meeting points stand still
SPAN_S_MAX = 5e-3
STREAMS, STREAMS_MS_MAX = 1000, 50  # issue: figures


def bound(flow_count: int = FLOWS) -> list[Figure]:
    """Return the figures of the bound."""
    return [*nearness(), *violations(flow_count), *speed()]


def nearness() -> list[Figure]:
    """Return how far the bound is above what packets do, for ways of 1 to 16 ports behind the sender's own."""
    jobs = [(sort, hops, seed) for sort in SORTS for hops, count in NETS.items() for seed in range(count)]
    with multiprocessing.Pool(os.cpu_count()) as pool:
        ratios = pool.starmap(ratio_of, jobs, chunksize=1)
    figures = []
    for sort in SORTS:
        for hops, limit in ABOVE_MAX_PERCENT.items():
            of_job = zip(jobs, ratios, strict=True)
            above = [100 * (ratio - 1) for (other, count, _), ratio in of_job if (other, count) == (sort, hops)]
            what = f"bound above the worst packet, {sort}, {counted(hops, 'hop')}"
            figures.append(Figure(f"{what}, median", statistics.median(above), "%", limit if sort in LIMITED else None))
            figures.append(Figure(f"{what}, worst", max(above), "%"))
    return figures


def ratio_of(sort: str, hops: int, seed: int) -> float:
    """Return the bound of one network over the worst that its packet reaches."""
    net = SORTS[sort](random.Random(f"{sort} {hops} {seed}"), hops, LOAD)
    total_s = total_of(net)
    assert total_s is not None
    pattern = worst_found(net.traffic, net.lines, 0, net.route, min(total_s, SPAN_S_MAX), seed=seed, tries=TRIES)
    return total_s / pattern.arrival_s


def total_of(net: Net) -> float | None:
    """Return the bound of the way of a network's first flow. [s]"""
    return Ways(net.traffic, net.lines, bounds(net.traffic, net.lines)).total_s(net.traffic[0], net.route)


def violations(flow_count: int) -> list[Figure]:
    """Return how many of many random flows come later than their bound.

    In each network the worst moments are searched for one flow; every packet of all flows is held against its bound, at
    these moments and at random ones.
    """
    before = time.perf_counter()
    flows, late, seed = 0, 0, 0
    with multiprocessing.Pool(os.cpu_count()) as pool:
        for found in pool.imap_unordered(checked, iter(range(10**9)), chunksize=4):
            seed, flows, late = seed + 1, flows + found[0], late + found[1]
            if flows >= flow_count:
                pool.terminate()
                break
    return [
        Figure("random flows sent, one of each network at its worst", flows, "flows"),
        Figure("networks of them", seed, "networks"),
        Figure("of them later than their bound", late, "flows", 0),
        Figure("time for all", time.perf_counter() - before, "s"),
    ]


def checked(seed: int) -> tuple[int, int]:
    """Return the flows of one random network, and how many of them break their bound."""
    rng = random.Random(seed)
    net = random_net(rng)
    total_s = total_of(net)
    if total_s is None:
        return 0, 0
    pattern = worst_found(net.traffic, net.lines, 0, net.route, min(total_s, SPAN_S_MAX), seed=seed, tries=0)
    late = {index for index, _ in late_packets(net, pattern)}
    late |= {0} if pattern.arrival_s > total_s * ROUNDING else set()
    met_s = tuple(rng.uniform(0, item.period_s) for item in net.traffic)
    late |= {index for index, _ in late_packets(net, replace(pattern, met_s=met_s))}
    return len(net.traffic), len(late)


def speed() -> list[Figure]:
    """Return how long the bounds of a plan of streams take in a running process."""
    net = plan(random.Random(1), STREAMS)
    taken_ms = []
    for _ in range(6):  # the first fills caches and does not count
        gc.collect()
        before = time.perf_counter()
        found = bounds(net.traffic, net.lines)
        ways = Ways(net.traffic, net.lines, found)
        totals_s = [ways.total_s(item, [port for port, _ in item.tree]) for item in net.traffic]
        taken_ms.append(1e3 * (time.perf_counter() - before))
    assert not found.refused, found.refused
    assert None not in totals_s
    return [Figure(f"bounds of {STREAMS:,} streams, median", statistics.median(taken_ms[1:]), "ms", STREAMS_MS_MAX)]


def plan(rng: random.Random, count: int) -> Net:
    """Return streams of 125 us from boxes at forty places over two switches to a truck, on lines of 1 and 10 Gb/s."""
    lines = {"up": Line(10e9, 8 * 1542, 0.0, 5e-6)}
    traffic = []
    for number in range(count):
        place = rng.randrange(40)
        route = (f"box {place}.{number % 4}", f"switch {place}", "up", f"truck {number % 20}")
        for port in route:
            lines.setdefault(port, Line(1e9 if port != "up" else 10e9, 8 * 1542, 0.0, 5e-6))
        traffic.append(Traffic(rng.choice((250e-6, 1e-3)), 8.0 * 226, 10e-6, 0, straight(*route)))
    return Net(tuple(traffic), lines, tuple(port for port, _ in traffic[0].tree))
