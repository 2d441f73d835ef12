"""Single packets through ports that send by strict priority: what really happens for given moments of release."""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tailboard.physics.queueing import Line, Traffic, sorted_ports

OTHER = 1 << 30  # rank of other traffic: after every class
Waiting = tuple[float, int, bool, int, int]  # when, rank, whether last among equals, flow, packet


@dataclass(frozen=True, slots=True)
class Carried:
    """What became of every packet, by flow and port in the order of release.

    queued_s  when it is in the queue of the port; gone_s  when it is behind the port and the way after it. [s]
    """

    queued_s: list[dict[str, list[float]]]
    gone_s: list[dict[str, list[float]]]


def carried(
    traffic: Sequence[Traffic],
    lines: Mapping[str, Line],
    releases_s: Sequence[Sequence[float]],
    others_s: Mapping[str, float],
    last: int = -1,
) -> Carried:
    """Return when each packet is in each queue of its way.

    releases_s  flow: when each of its packets is released, in order. [s]
    others_s    port: when a frame of other traffic is ready, of the port's `other_bits`; it goes after all classes, but the
                port's clock messages, which come while it is sent, go right behind it. [s]
    last        the flow whose packets queue behind all that come at the same moment.

    Raises ValueError where the ways run in a circle.
    """
    order, circle = sorted_ports(traffic)
    if circle:
        raise ValueError(f"the ways run in a circle over {', '.join(circle)}")
    found = Carried([{} for _ in traffic], [{} for _ in traffic])
    at: dict[str, list[tuple[int, str]]] = {}
    for index, flow in enumerate(traffic):
        for port, before in flow.tree:
            at.setdefault(port, []).append((index, before))
    for port in order:
        line = lines[port]
        queue: list[Waiting] = [(others_s[port], OTHER, False, -1, 0)] if port in others_s else []
        for index, before in at[port]:
            come_s = found.gone_s[index][before] if before else list(releases_s[index])
            found.queued_s[index][port] = come_s
            found.gone_s[index][port] = [0.0] * len(come_s)
            rank, behind = traffic[index].rank, index == last
            queue += [(when, rank, behind, index, packet) for packet, when in enumerate(come_s)]
        queue.sort()
        for index, packet, end_s in ends_s(queue, traffic, line):
            found.gone_s[index][port][packet] = end_s + line.way_s
    return found


def ends_s(arrivals: list[Waiting], traffic: Sequence[Traffic], line: Line) -> list[tuple[int, int, float]]:
    """Return (flow, packet, end on the line) of all that arrives at a port, sorted by its moment of arrival."""
    done: list[tuple[int, int, float]] = []
    waiting: list[tuple[int, float, bool, int, int]] = []
    frame_s = [flow.frame_bits / line.rate_bit_per_s for flow in traffic]
    other_s = (line.other_bits + line.first_bits) / line.rate_bit_per_s
    free_s, next_one, count = float("-inf"), 0, len(arrivals)
    while waiting or next_one < count:
        if not waiting:
            free_s = max(free_s, arrivals[next_one][0])
        while next_one < count and arrivals[next_one][0] <= free_s:
            when, rank, behind, index, packet = arrivals[next_one]
            heapq.heappush(waiting, (rank, when, behind, index, packet))
            next_one += 1
        _, _, _, index, packet = heapq.heappop(waiting)
        if index < 0:
            free_s += other_s
            continue
        free_s += frame_s[index]
        done.append((index, packet, free_s))
    return done
