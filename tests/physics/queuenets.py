"""Random networks of ports for the bound: chains that others cross, trees to one sink, and nets with several classes."""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tailboard.physics.adversary import Pattern, releases_s, replayed
from tailboard.physics.queueing import Line, Traffic, bounds, straight
from tailboard.physics.queueing_ways import Ways

OTHER_BITS = 8 * 1542
FRAMES_BYTES = {
    125e-6: (118, 154, 178, 226, 370),
    250e-6: (118, 226, 370),
    1e-3: (178, 226, 370, 1234),
    4e-3: (226, 1234),
}
PERIODS_S = (125e-6, 125e-6, 250e-6, 1e-3, 4e-3)
RATES_BIT_PER_S = (1e9, 2.5e9, 10e9)
ROUNDING = 1 + 1e-9  # sums of the same figures in another order
CABLE_FLOWS = 4  # flows of one sender beside the way


@dataclass(frozen=True)
class Net:
    """A network and the way of its first flow."""

    traffic: tuple[Traffic, ...]
    lines: dict[str, Line]
    route: tuple[str, ...]


def flow(
    rng: random.Random, tree: tuple[tuple[str, str], ...], rank: int = 0, periods_s: Sequence[float] = PERIODS_S
) -> Traffic:
    """Return a flow of audio: a usual packet time and size."""
    period_s = rng.choice(periods_s)
    return Traffic(period_s, 8.0 * rng.choice(FRAMES_BYTES[period_s]), rng.choice((0.0, 10e-6)), rank, tree)


def line(rng: random.Random, rates: tuple[float, ...] = RATES_BIT_PER_S[:1]) -> Line:
    """Return a port with its cable."""
    return Line(rng.choice(rates), OTHER_BITS, 0.0, 5e-6 + rng.choice((3, 20, 150)) * 4.9e-9)


def used_bit_per_s(traffic: list[Traffic], port: str) -> float:
    """Return the load of a port."""
    return sum(item.rate_bit_per_s for item in traffic if any(port == other for other, _ in item.tree))


def chain(rng: random.Random, hops: int, load: float) -> Net:
    """Return a way over switches, at each of which other flows cross it, joining from cables of their own."""
    return joined(rng, hops, [load] * hops, lambda _: 1)


def tree(rng: random.Random, hops: int, load: float, periods_s: Sequence[float] = PERIODS_S) -> Net:
    """Return a way to a sink that other flows join at each switch and never leave; the last port is loaded so."""
    loads = [load * (place + 1) / hops for place in range(hops)]
    return joined(rng, hops, loads, lambda place: hops - place, periods_s=periods_s)


def even_tree(rng: random.Random, hops: int, load: float) -> Net:
    """Return a tree whose streams have one packet time, as a show that is planned on purpose has."""
    return tree(rng, hops, load, (rng.choice((125e-6, 250e-6, 1e-3)),))


def mesh(rng: random.Random, hops: int, load: float) -> Net:
    """Return a way that other flows of three classes join and leave anywhere, over lines of mixed speeds."""
    return joined(rng, hops, [load] * hops, lambda place: rng.randint(1, hops - place), ranks=3, rates=RATES_BIT_PER_S)


def joined(
    rng: random.Random,
    hops: int,
    loads: list[float],
    stay: Callable[[int], int],
    ranks: int = 1,
    rates: tuple[float, ...] = RATES_BIT_PER_S[:1],
    periods_s: Sequence[float] = PERIODS_S,
) -> Net:
    """Return a way with flows that join it at each port until its load is reached, and stay for some ports."""
    ports = tuple(f"P{number}" for number in range(hops))
    lines = {port: line(rng, rates) for port in ("S", *ports)}
    traffic = [flow(rng, straight("S", *ports), rng.randrange(ranks), periods_s)]
    for place in range(hops):
        for number in range(10_000):
            sender = f"C{place}.{number // CABLE_FLOWS}"
            item = flow(rng, straight(sender, *ports[place : place + stay(place)]), rng.randrange(ranks), periods_s)
            behind = [other for other, _ in item.tree[1:]]
            full = {loads[int(other[1:])] * lines[other].rate_bit_per_s: other for other in behind}
            if any(used_bit_per_s(traffic, other) + item.rate_bit_per_s > limit for limit, other in full.items()):
                break
            lines.setdefault(sender, line(rng, rates))
            traffic.append(item)
    return Net(tuple(traffic), lines, ("S", *ports))


def forked(rng: random.Random, senders: int, switches: int, flows: int) -> Net:
    """Return a small tree of switches with flows to several receivers each."""
    up = {number: rng.randrange(number) for number in range(1, switches)}
    home = [rng.randrange(switches) for _ in range(senders)]
    lines: dict[str, Line] = {}
    traffic = []
    for _ in range(flows):
        sender, *takers = rng.sample(range(senders), rng.randint(2, min(4, senders)))
        own = f"E{sender}"
        branches = {own: ""}
        for taker in takers:
            before = own
            for port in path(up, home[sender], home[taker], taker):
                branches.setdefault(port, before)
                before = port
        traffic.append(flow(rng, tuple(branches.items()), rng.randrange(2)))
        lines.update({port: line(rng) for port in branches if port not in lines})
    route = [traffic[0].tree[-1][0]]
    while dict(traffic[0].tree)[route[0]]:
        route.insert(0, dict(traffic[0].tree)[route[0]])
    return Net(tuple(traffic), lines, tuple(route))


def path(up: dict[int, int], start: int, end: int, taker: int) -> list[str]:
    """Return the ports from a switch to a receiver at another one."""

    def to_root(switch: int) -> list[int]:
        return [switch] if switch not in up else [switch, *to_root(up[switch])]

    climb, descend = to_root(start), to_root(end)
    while len(climb) > 1 and len(descend) > 1 and climb[-2] == descend[-2]:
        climb.pop()
        descend.pop()
    steps = [*climb, *reversed(descend[:-1])]
    return [f"W{one}-{other}" for one, other in pairwise(steps)] + [f"R{taker}"]


def random_net(rng: random.Random) -> Net:
    """Return a network of any sort."""
    hops, load = rng.randint(1, 6), rng.uniform(0.1, 0.85)
    sort = rng.randrange(4)
    if sort == 0:
        return chain(rng, min(hops, 3), load)
    if sort == 1:
        return tree(rng, hops, load)
    return mesh(rng, min(hops, 2), load / 3) if sort == 2 else forked(rng, 8, 4, 20)


def total_s(traffic: Sequence[Traffic], lines: dict[str, Line], route: Sequence[str]) -> float | None:
    """Return the bound of a way for the first flow. [s]"""
    return Ways(traffic, lines, bounds(traffic, lines)).total_s(traffic[0], route)


def route_to(item: Traffic, port: str) -> list[str]:
    """Return the ports of a flow's tree from its sender to one of them."""
    came_by, route = dict(item.tree), [port]
    while came_by[route[0]]:
        route.insert(0, came_by[route[0]])
    return route


def late_packets(net: Net, pattern: Pattern) -> list[tuple[int, str]]:
    """Return (flow, port) of packets that are behind a port later than the bound says."""
    run, released_s = replayed(net.traffic, net.lines, pattern), releases_s(net.traffic, pattern)
    ways = Ways(net.traffic, net.lines, bounds(net.traffic, net.lines))
    late = []
    for index, item in enumerate(net.traffic):
        limit_s: dict[str, float] = {}
        for port, _ in item.tree:
            total_s = ways.total_s(item, route_to(item, port))
            if total_s is None:
                continue
            limit_s[port] = total_s
            taken_s = [
                gone - when for gone, when in zip(run.gone_s[index][port], due_s(item, released_s[index]), strict=True)
            ]
            late += [(index, port) for taken in taken_s if taken > limit_s[port] * ROUNDING]
    return late


def due_s(item: Traffic, released_s: list[float]) -> list[float]:
    """Return when packets released at these moments were due: as early as the first and the period allow."""
    due = deque([released_s[-1]]) if released_s else deque()
    for when in reversed(released_s[:-1]):
        due.appendleft(min(when, due[0] - item.period_s))
    return list(due)
