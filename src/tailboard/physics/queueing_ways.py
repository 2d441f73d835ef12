"""The longest time of a whole way: frames that travel together are not late against one another.

The bounds of single ports cannot all be reached by one frame. A frame that waited as long as it can at the first port has
behind it, not before it, whatever was as late as that; so those that go the same way reach the next port no nearer to one
another than they came to the first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from tailboard.physics.queueing import ROUNDING, Bounds, Line, Traffic, ahead_bits, gathered, longest

Way = tuple[str, ...]
WORTH_RATIO = (
    0.05  # own choice: what makes up less of the time through a port, or of what comes to it, is not looked into
)


class Ways:
    """The longest times over ways, worked out when they are asked for and kept.

    Let M(j, k) be the longest time from the queue of port j to that of port k on a way. A frame of ours takes d over
    0..k, and s = M(0, k) - d is what it was quicker than that. Another frame of its class that went the same way from
    port j on and is in the queue of port k within a window t before ours was in that of port j within
        t + M(j, k) - (our time over j..k)  <=  t + s + g,   g = M(0, j) + M(j, k) - M(0, k),
    for queues keep the order of a class. So at port k
        our time <= max over t of [what comes within t + s + g, no faster than its cable lets it] - t
                 <= s + G,   G = max over t' of [what comes within t' + g] - t'
    (t' = t + s; a curve never falls), and M(0, k + 1) <= M(0, k) - s + s + G: what we were quicker is never won twice.
    What joins at port k itself, or is of another class, comes with its own jitter.

    Source: own derivation from first come, first served within a class; the bench sends half a million flows against it.
    """

    def __init__(self, traffic: Sequence[Traffic], lines: Mapping[str, Line], found: Bounds) -> None:
        self.traffic, self.lines, self.found = traffic, lines, found
        self.known_s: dict[tuple[int, Way], float] = {}
        self.steps_known_s: dict[tuple[int, Way], float] = {}
        self.rates_bit_per_s: dict[tuple[int, str, str], float] = {}
        self.repeats: dict[tuple[int, str, str], bool] = {}

    def total_s(self, flow: Traffic, route: Sequence[str]) -> float | None:
        """Return the longest time from a frame's due release to its place behind the last port; None: no bound. [s]"""
        steps_s = self.steps_s(flow, route)
        return None if steps_s is None else flow.jitter_s + sum(steps_s) + sum(self.lines[port].way_s for port in route)

    def steps_s(self, flow: Traffic, route: Sequence[str]) -> tuple[float, ...] | None:
        """Return what each port of a way adds at most to the longest time up to it; None: no bound. [s]

        The time over a way is at most that over its first part and that over the rest; so each port is judged over as much
        of the way before it as many of its frames have come with ours, and ways that meet share what is worked out.
        """
        rank, way = flow.rank, tuple(route)
        if any((port, rank) not in self.found.through_s for port in way):
            return None
        total_s = [0.0]
        for place, port in enumerate(way):
            way_s, step_s = self.lines[port].way_s, self.found.through_s[port, rank]
            if place and self.repeating(rank, way[place - 1], port):
                begin = next(
                    back
                    for back in range(place)
                    if back == place - 1 or self.shared(rank, way[back], way[place - 1], port)
                )
                together_s = total_s[begin] + self.over_s(rank, way[begin : place + 1]) - way_s
                least_s = (self.lines[port].other_bits + flow.frame_bits) / self.lines[port].rate_bit_per_s
                step_s = min(step_s, max(together_s - total_s[place], least_s))
            total_s.append(total_s[place] + step_s + way_s)
        return tuple(
            after_s - before_s - self.lines[port].way_s
            for port, before_s, after_s in zip(way, total_s, total_s[1:], strict=False)
        )

    def shared(self, rank: int, back: str, before: str, port: str) -> bool:
        """Return whether enough of what comes to a port by one cable has come by a port further back."""
        if not self.rates_bit_per_s:
            for flow in self.traffic:
                came_by = dict(flow.tree)
                for last, first in came_by.items():
                    earlier = first
                    while earlier:
                        key = (flow.rank, earlier, last)
                        self.rates_bit_per_s[key] = self.rates_bit_per_s.get(key, 0.0) + flow.rate_bit_per_s
                        earlier = came_by[earlier]
        every_bit_per_s = self.rates_bit_per_s[rank, before, port]
        return self.rates_bit_per_s.get((rank, back, port), 0.0) >= WORTH_RATIO * every_bit_per_s

    def over_s(self, rank: int, way: Way) -> float:
        """Return the longest time over a way, from the queue of its first port to the one behind its last. [s]"""
        if not way:
            return 0.0
        found_s = self.known_s.get((rank, way))
        if found_s is None:
            found_s = self.over_s(rank, way[:-1]) + self.step_s(rank, way) + self.lines[way[-1]].way_s
            self.known_s[rank, way] = found_s
        return found_s

    def step_s(self, rank: int, way: Way) -> float:
        """Return what the last port of a way adds at most (G above). [s]"""
        found_s = self.steps_known_s.get((rank, way))
        if found_s is None:
            alone_s = self.found.through_s[way[-1], rank]
            alone = len(way) == 1 or not self.repeating(rank, way[-2], way[-1])
            found_s = alone_s if alone else min(alone_s, self.together_s(rank, way))
            self.steps_known_s[rank, way] = found_s
        return found_s

    def together_s(self, rank: int, way: Way) -> float:
        """Return what the last port of a way adds at most, frames that come its whole way or a part of it counted as such. [s]"""
        port = way[-1]
        at = self.found.at[port]
        own = [item for item in at if self.traffic[item[0]].rank == rank]
        first = [item for item in at if self.traffic[item[0]].rank < rank]
        jitter_s = {item: self.found.jitter_s[item] for item in at if item in self.found.jitter_s}
        jitter_s |= {(index, before): self.late_s(index, before, way) for index, before in own if before == way[-2]}
        queue = longest(
            gathered(self.traffic, self.lines, own, jitter_s), gathered(self.traffic, self.lines, first, jitter_s),
            ahead_bits(self.traffic, self.lines[port], at, rank), min(self.traffic[index].frame_bits for index, _ in own),
            self.lines[port].rate_bit_per_s,
        )  # fmt: skip
        return math.inf if queue is None else queue.through_s

    def repeating(self, rank: int, before: str, port: str) -> bool:
        """Return whether the flows that come by one cable may bring second frames, worth a look, while the port is busy.

        Where none can, it does not matter how late frames are.
        """
        key = (rank, before, port)
        if key not in self.repeats:
            busy_s = self.found.busy_s[port, rank]
            again_bits = sum(
                flow.frame_bits * math.floor((busy_s + self.found.jitter_s[index, other]) / flow.period_s + ROUNDING)
                for index, other in self.found.at[port]
                if other == before and (flow := self.traffic[index]).rank == rank
            )
            through_bits = self.found.through_s[port, rank] * self.lines[port].rate_bit_per_s
            self.repeats[key] = again_bits > WORTH_RATIO * through_bits
        return self.repeats[key]

    def late_s(self, index: int, before: str, way: Way) -> float:
        """Return by how much a flow's frames may stand nearer to a frame of ours at the last port of a way than planned. [s]"""
        came_by = dict(self.traffic[index].tree)
        join = len(way) - 1
        while join > 0 and came_by.get(way[join]) == way[join - 1]:
            join -= 1
        rank = self.traffic[index].rank
        gap_s = 0.0
        if join:
            gap_s = self.over_s(rank, way[:join]) + self.over_s(rank, way[join:-1]) - self.over_s(rank, way[:-1])
        joined_s = self.found.jitter_s[index, came_by[way[join]]] + max(0.0, gap_s)
        return min(joined_s, self.found.jitter_s[index, before])
