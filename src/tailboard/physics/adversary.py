"""The worst moments to send: a search for those releases that make one packet as late as packets can really be.

A bound that no run of packets can break proves little if it is far from what can happen; a run that nearly reaches it is
evidence that can be replayed. Each other flow is moved so that it meets the packet where their ways first join; what the
packet does then moves the meeting, so this is repeated; then single flows are moved at random and kept where that helps.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from tailboard.physics.packets import Carried, carried
from tailboard.physics.queueing import Line, Traffic

ROUNDS = 4  # own choice: the meeting points stand still after fewer
INSTANT_S = 1e-12  # how long before the first frame of a busy time another frame takes the line
BLOCKED_SHARE = 0.3  # own choice: of the random moves that put another frame before a flow instead of moving it
GAP_S = 1e-10  # a shorter pause between two frames is none, but a rounding
FRAMES_MOVED = (0.5, 1, 2, 4)  # own choice: by how many frames a random move shifts a flow


@dataclass(frozen=True, slots=True)
class Pattern:
    """Moments of release, and what they do to one packet.

    flow       index of the flow whose packet it is; it is due at time 0 and released `jitter_s` later.
    route      the ports it passes.
    met_s      flow: when the packet that meets it is released; those before it come as late as they may. [s]
    others_s   port: when a frame of other traffic takes the line. [s]
    span_s     how long before and after time 0 packets are sent. [s]
    arrival_s  when the packet is behind its last port. [s]
    """

    flow: int
    route: tuple[str, ...]
    met_s: tuple[float, ...]
    others_s: dict[str, float]
    span_s: float
    arrival_s: float = 0.0


def worst_found(
    traffic: Sequence[Traffic],
    lines: Mapping[str, Line],
    flow: int,
    route: Sequence[str],
    span_s: float,
    *,
    seed: int = 0,
    tries: int = 100,
) -> Pattern:
    """Return the worst moments found for a packet of a flow. The same seed gives the same pattern.

    span_s  how long before and after the packet others send; the bound of the longest way is enough. [s]
    tries   how many random moves are tried after the meeting points stand still.
    """
    joins = first_joins(traffic, flow, route)
    best = now = Pattern(flow, tuple(route), tuple(0.0 for _ in traffic), {}, span_s)
    for port in route:
        for _ in range(ROUNDS):
            run = replayed(traffic, lines, now)
            now = replace(now, arrival_s=arrival_s(run, now))
            best = max(best, now, key=lambda pattern: pattern.arrival_s)
            after = replace(
                now,
                met_s=meeting_s(traffic, lines, run, now, joins[port]),
                others_s={**now.others_s, **taken_s(traffic, lines, run, now, port)},
            )
            if after == now:
                break
            now = after
    rng = random.Random(seed)  # noqa: S311  a search, not a secret
    movable = sorted(index for trains in joins.values() for train in trains.values() for index in train)
    for _ in range(tries if movable else 0):
        best = max(best, moved(traffic, lines, best, rng, movable), key=lambda pattern: pattern.arrival_s)
    return best


def replayed(traffic: Sequence[Traffic], lines: Mapping[str, Line], pattern: Pattern) -> Carried:
    """Carry every packet of a pattern."""
    return carried(traffic, lines, releases_s(traffic, pattern), pattern.others_s, pattern.flow)


def releases_s(traffic: Sequence[Traffic], pattern: Pattern) -> list[list[float]]:
    """Return the moments of release by flow. [s]"""
    return [
        flow_releases_s(item, pattern.met_s[index], pattern.span_s, last=index == pattern.flow)
        for index, item in enumerate(traffic)
    ]


def flow_releases_s(item: Traffic, met_s: float, span_s: float, *, last: bool) -> list[float]:
    """Return the releases of a flow: one at `met_s`, those before it late, those after it in time.

    last  the flow of the packet that counts: due at 0, released as late as it may, and the last of its flow.
    """
    late_s, period_s = item.jitter_s, item.period_s
    before = max(0, int((met_s + span_s) / period_s))
    if last:
        return [late_s - number * period_s for number in range(before, -1, -1)]
    after = max(0, int((span_s - met_s) / period_s))
    early = [met_s - number * period_s + late_s for number in range(before, 0, -1)]
    return [*early, met_s, *(met_s + number * period_s for number in range(1, after + 1))]


def arrival_s(run: Carried, pattern: Pattern) -> float:
    """Return when the packet that counts is behind its last port. [s]"""
    return run.gone_s[pattern.flow][pattern.route[-1]][-1]


def first_joins(traffic: Sequence[Traffic], flow: int, route: Sequence[str]) -> dict[str, dict[str, list[int]]]:
    """Return the other flows that meet a way: by the port where they first join it, and the port they come from."""
    found: dict[str, dict[str, list[int]]] = {port: {} for port in route}
    for index, other in enumerate(traffic):
        before = dict(other.tree)
        shared = next((port for port in route if port in before), None)
        if index != flow and shared is not None and other.rank <= traffic[flow].rank:
            found[shared].setdefault(before[shared], []).append(index)
    return found


def meeting_s(
    traffic: Sequence[Traffic],
    lines: Mapping[str, Line],
    run: Carried,
    pattern: Pattern,
    trains: Mapping[str, list[int]],
) -> tuple[float, ...]:
    """Return the releases moved so that what joins at one port comes just before the packet that counts.

    What comes by one cable comes as a train, its largest frame first.
    """
    moved_s = list(pattern.met_s)
    for before, train in trains.items():
        port = next(port for port, by in traffic[train[0]].tree if by == before and port in pattern.route)
        goal_s = run.queued_s[pattern.flow][port][-1] - 10 * INSTANT_S
        for index in sorted(train, key=lambda index: traffic[index].frame_bits):
            now_s = nearest_s(run.queued_s[index][port], goal_s)
            if abs(goal_s - now_s) > INSTANT_S:
                moved_s[index] += goal_s - now_s
            if before:
                goal_s -= traffic[index].frame_bits / lines[before].rate_bit_per_s
    return tuple(moved_s)


def nearest_s(moments_s: Sequence[float], goal_s: float) -> float:
    """Return the moment nearest to a goal. [s]"""
    return min(moments_s, key=lambda moment_s: abs(moment_s - goal_s))


def moved(
    traffic: Sequence[Traffic], lines: Mapping[str, Line], best: Pattern, rng: random.Random, movable: list[int]
) -> Pattern:
    """Return a pattern with a few flows moved at random, or with another frame in the way of one of them."""
    met_s, others_s = list(best.met_s), dict(best.others_s)
    for index in rng.sample(movable, min(len(movable), rng.choice((1, 1, 2, 3)))):
        begin = traffic[index].tree[0][0]
        if rng.random() < BLOCKED_SHARE and begin not in best.route and lines[begin].other_bits:
            back = rng.choice((0, 1, 1, 2))
            others_s[begin] = met_s[index] - back * traffic[index].period_s + traffic[index].jitter_s - INSTANT_S
        else:
            frame_s = traffic[index].frame_bits / lines[begin].rate_bit_per_s
            met_s[index] += rng.choice((-1, 1)) * rng.choice(FRAMES_MOVED) * frame_s
    trial = replace(best, met_s=tuple(met_s), others_s=others_s)
    run = replayed(traffic, lines, trial)
    trial = replace(trial, others_s={**others_s, **taken_s(traffic, lines, run, trial, *trial.route)})
    return replace(trial, arrival_s=arrival_s(replayed(traffic, lines, trial), trial))


def taken_s(
    traffic: Sequence[Traffic], lines: Mapping[str, Line], run: Carried, pattern: Pattern, *ports: str
) -> dict[str, float]:
    """Return for some ports of the way when another frame takes it: just before the busy time of the packet begins. [s]"""
    found = {}
    for port in ports:
        line = lines[port]
        if not line.other_bits + line.first_bits:
            continue
        come_s = run.queued_s[pattern.flow][port][-1]
        here = [
            (queued_s, item.frame_bits / line.rate_bit_per_s)
            for index, item in enumerate(traffic)
            if item.rank <= traffic[pattern.flow].rank and port in run.queued_s[index]
            for queued_s in run.queued_s[index][port]
            if queued_s <= come_s
        ]
        begin_s = free_s = float("-inf")
        for queued_s, frame_s in sorted(here):
            if queued_s > free_s + GAP_S:
                begin_s = free_s = queued_s  # the line was idle
            free_s += frame_s
        found[port] = begin_s - INSTANT_S
    return found
