"""The longest time a frame can take through ports that send by strict priority: staircases of arrivals against a line.

Store and forward; first come, first served within a class; a frame that is being sent is not interrupted. Each flow brings
at most one frame a period, released with some jitter; jitter grows from port to port. What comes in by one cable comes no
faster than that cable carries it.

Reading: J.-Y. Le Boudec, P. Thiran, Network Calculus, Springer 2001; A. Bouillard, arXiv 2010.09263 (both second-hand).
"""

from __future__ import annotations

import heapq
import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

BUSY_S_MAX = 0.1  # own choice: a queue that holds for longer is given up; clock messages come eight times a second
EVENTS_MAX = 100_000  # own choice: so is one with more arrivals
ROUNDING = 1e-9  # of a period or window: an arrival this close to the end of a window counts as inside


@dataclass(frozen=True, slots=True)
class Traffic:
    """Frames of one flow.

    period_s    least time between two releases as planned. [s]
    frame_bits  the line a frame occupies: with preamble and gap. [bit]
    jitter_s    how late a frame may be released. [s]
    rank        place of its class: 0 goes first.
    tree        (port, port before it) of every port it leaves by, the sender's own first, with '' before it.
    """

    period_s: float
    frame_bits: float
    jitter_s: float
    rank: int
    tree: tuple[tuple[str, str], ...]

    @property
    def rate_bit_per_s(self) -> float:
        """What it brings on average. [bit/s]"""
        return self.frame_bits / self.period_s


@dataclass(frozen=True, slots=True)
class Line:
    """A port and the way behind it.

    rate_bit_per_s  speed. [bit/s]
    other_bits      the largest frame of other traffic that may be on the line already. [bit]
    first_bits      clock messages that may come together; they go before all. [bit]
    way_s           time from the end of a frame at this port to its place in the next queue: cable and forwarding. [s]
    """

    rate_bit_per_s: float
    other_bits: float = 0.0
    first_bits: float = 0.0
    way_s: float = 0.0


class Refusal(Enum):
    """Why there is no bound at a port."""

    OVERLOAD = "it has to send as much as the line carries, or more"
    CIRCLE = "the ways of streams run in a circle"
    AFTER = "a port before it has no bound"
    LONG = "its queue hardly ever empties"


@dataclass(frozen=True, slots=True)
class Bounds:
    """The bounds of a network, port by port. What a whole way takes at most is less: `queueing_ways`.

    through_s  (port, rank): from a frame's place in the queue to its end on the line, at most. [s]
    busy_s     (port, rank): how long the line may be busy with this class and those before it. [s]
    refused    (port, rank): why there is none.
    circle     ports that the ways of streams pass in a circle, in order; empty where there is none.
    at         port: (flow, port before it) of all that leaves by it; flows by their index.
    jitter_s   (flow, port): how much later than planned its frames may be behind a port, '' its release. [s]
    """

    through_s: dict[tuple[str, int], float] = field(default_factory=dict)
    busy_s: dict[tuple[str, int], float] = field(default_factory=dict)
    refused: dict[tuple[str, int], Refusal] = field(default_factory=dict)
    circle: tuple[str, ...] = ()
    at: dict[str, list[tuple[int, str]]] = field(default_factory=dict)
    jitter_s: dict[tuple[int, str], float] = field(default_factory=dict)


Step = tuple[float, float, float]


@dataclass(slots=True)
class Arrivals:
    """What one cable, or one sender itself, brings to a port.

    rate_bit_per_s  speed of the cable; infinite for a sender itself, whose frames may come all at once. [bit/s]
    steps           (bits, period_s, jitter_s) of flows that are alike, their frames summed.
    stair_bits      what the staircases have brought so far. [bit]
    """

    rate_bit_per_s: float
    frame_bits_max: float
    steps: list[Step]
    stair_bits: float = 0.0

    def most_bits(self, window_s: float) -> float:
        """Return the most that can come in a closed window of time, as the cable lets it pass. [bit]"""
        stair = 0.0
        for bits, period, jitter in self.steps:
            stair += bits * (math.floor((window_s + jitter) / period + ROUNDING) + 1)
        return (
            min(stair, self.frame_bits_max + self.rate_bit_per_s * window_s) if window_s else self.at_once_bits(stair)
        )

    def at_once_bits(self, stair_bits: float) -> float:
        """Return what can come at one moment: a cable brings one frame. [bit]"""
        return stair_bits if math.isinf(self.rate_bit_per_s) else min(stair_bits, self.frame_bits_max)


def straight(*route: str) -> tuple[tuple[str, str], ...]:
    """Return the tree of a flow to one receiver.

    >>> straight("A/1", "SW/2")
    (('A/1', ''), ('SW/2', 'A/1'))
    """
    return tuple(zip(route, ("", *route[:-1]), strict=True))


def bounds(traffic: Sequence[Traffic], lines: Mapping[str, Line]) -> Bounds:
    """Return the longest time through every port for every class.

    At a port, over every window t since the line was last idle:
        max of (other frame + first classes + own class in [0, t]) / rate - t
    A flow's jitter grows by what it may wait: the bound less its own time on the line.

    There is no bound where the load of a class and those before it reaches the line's speed, and none in or behind a circle.
    Source: staircase curves of network calculus with the shaping of the cable they come by (reading above, second-hand).
    Check (hand): QOS-14, one frame of 1542 bytes on the wire before the highest class at 1 Gb/s waits 12.336 us.
    >>> found = bounds([Traffic(1e-3, 672, 0, 0, straight("A"))], {"A": Line(1e9, other_bits=8 * 1542)})
    >>> round(found.through_s["A", 0] * 1e6 - 0.672, 3)
    12.336
    """
    order, circle = sorted_ports(traffic)
    found = Bounds(circle=circle)
    for index, flow in enumerate(traffic):
        found.jitter_s[index, ""] = flow.jitter_s
        for port, before in flow.tree:
            found.at.setdefault(port, []).append((index, before))
    for port in order:
        through_port(found, traffic, lines, port)
    for port in found.at.keys() - set(order):
        for rank in {traffic[index].rank for index, _ in found.at[port]}:
            found.refused[port, rank] = Refusal.CIRCLE
    return found


def sorted_ports(traffic: Sequence[Traffic]) -> tuple[list[str], tuple[str, ...]]:
    """Return the ports in an order in which every flow passes them, without those in or behind a circle; and one circle."""
    after: dict[str, set[str]] = {}
    for flow in traffic:
        for port, before in flow.tree:
            after.setdefault(port, set())
            if before:
                after.setdefault(before, set()).add(port)
    count = Counter(then for ports in after.values() for then in ports)
    ready = [port for port in after if not count[port]]
    order: list[str] = []
    while ready:
        port = ready.pop()
        order.append(port)
        for then in after[port]:
            count[then] -= 1
            if not count[then]:
                ready.append(then)
    left = after.keys() - set(order)
    return order, circle_in({port: sorted(after[port] & left) for port in after if port in left})


def circle_in(after: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """Return the ports of one circle among ports of which none comes first, in order."""
    before = {then: port for port in sorted(after) for then in after[port]}
    if not before:
        return ()
    port, passed = min(before), dict[str, None]()
    while port not in passed:
        passed[port] = None
        port = before[port]  # each of them has a port before it, so the walk must come round
    back = list(passed)
    circle = back[back.index(port) :][::-1]
    first = circle.index(min(circle))
    return (*circle[first:], *circle[:first])


def through_port(found: Bounds, traffic: Sequence[Traffic], lines: Mapping[str, Line], port: str) -> None:
    """Add the bounds of one port, class by class, and the jitter that its flows take on."""
    line, at, jitter_s = lines[port], found.at[port], found.jitter_s
    for rank in sorted({traffic[index].rank for index, _ in at}):
        own = [item for item in at if traffic[item[0]].rank == rank]
        first = [item for item in at if traffic[item[0]].rank < rank]
        refusal = why_refused(traffic, line, [*own, *first], jitter_s)
        queue = None
        if refusal is None:
            queue = longest(
                gathered(traffic, lines, own, jitter_s), gathered(traffic, lines, first, jitter_s),
                ahead_bits(traffic, line, at, rank), min(traffic[index].frame_bits for index, _ in own),
                line.rate_bit_per_s,
            )  # fmt: skip
        if queue is None:
            found.refused[port, rank] = refusal or Refusal.LONG
            continue
        found.through_s[port, rank] = queue.through_s
        found.busy_s[port, rank] = queue.busy_s
        for index, before in own:
            grown_s = queue.through_s - traffic[index].frame_bits / line.rate_bit_per_s
            jitter_s[index, port] = jitter_s[index, before] + grown_s


def ahead_bits(traffic: Sequence[Traffic], line: Line, at: list[tuple[int, str]], rank: int) -> float:
    """Return what may be ahead of a class and those before it: clock messages, and the largest frame of what comes after. [bit]"""
    later_bits = max((traffic[index].frame_bits for index, _ in at if traffic[index].rank > rank), default=0.0)
    return line.first_bits + max(line.other_bits, later_bits)


def why_refused(
    traffic: Sequence[Traffic], line: Line, at: list[tuple[int, str]], jitter_s: dict[tuple[int, str], float]
) -> Refusal | None:
    """Return why there is no bound at a port, judged before anything is computed."""
    if sum(traffic[index].rate_bit_per_s for index, _ in at) >= line.rate_bit_per_s * (1 - ROUNDING):
        return Refusal.OVERLOAD
    return None if all(item in jitter_s for item in at) else Refusal.AFTER


def gathered(
    traffic: Sequence[Traffic],
    lines: Mapping[str, Line],
    at: list[tuple[int, str]],
    jitter_s: Mapping[tuple[int, str], float],
) -> list[Arrivals]:
    """Return what each cable brings to a port; what a sender itself releases may come all at once."""
    counts: dict[str, dict[tuple[float, float, float], int]] = {}
    for index, before in at:
        flow = traffic[index]
        alike = counts.setdefault(before, {})
        key = (flow.frame_bits, flow.period_s, jitter_s[index, before])
        alike[key] = alike.get(key, 0) + 1
    return [
        Arrivals(
            lines[before].rate_bit_per_s if before else math.inf,
            max(bits for bits, _, _ in alike),
            [(bits * count, period, jitter) for (bits, period, jitter), count in alike.items()],
        )
        for before, alike in counts.items()
    ]


@dataclass(frozen=True, slots=True)
class Queue:
    """What a port does to one class: the longest time through it, and how long the line may be busy. [s]"""

    through_s: float
    busy_s: float


def longest(
    own: list[Arrivals], first: list[Arrivals], before_bits: float, frame_bits_min: float, rate_bit_per_s: float
) -> Queue | None:
    """Return the longest time through a port for one class, or None where the line is busy for too long.

    before_bits  what is ahead of all that comes. [bit]

    Only the moments when a staircase steps, or when a cable has caught up with its staircase, need a look: between them
    what has come grows no faster than at their ends.
    """
    steps: list[tuple[float, int, float, float]] = []
    for number, arrivals in enumerate(own):
        arrivals.stair_bits = 0.0
        for bits, period, jitter in arrivals.steps:
            done = math.floor(jitter / period + ROUNDING) + 1
            arrivals.stair_bits += bits * done
            steps.append((done * period - jitter, number, bits, period))
    heapq.heapify(steps)
    worst_s = window_s = 0.0
    for _ in range(EVENTS_MAX):
        bits_come, next_s = come_bits(own, window_s, rate_bit_per_s if first else 0.0)
        worst_s = max(worst_s, end_s(bits_come, first, before_bits, frame_bits_min, rate_bit_per_s) - window_s)
        if next_s < steps[0][0]:
            window_s = next_s
            continue
        last_s, window_s = window_s, steps[0][0]
        bits_come, _ = come_bits(own, window_s, 0.0)
        sent_s = end_s(bits_come, first, before_bits, 0.0, rate_bit_per_s)
        if sent_s <= window_s:
            # the line has caught up: what comes now begins a new busy time
            return Queue(worst_s, max(last_s, sent_s)) if worst_s <= BUSY_S_MAX else None
        if window_s > BUSY_S_MAX:
            return None
        while steps[0][0] <= window_s * (1 + ROUNDING):
            step_s, number, bits, period = heapq.heappop(steps)
            own[number].stair_bits += bits
            heapq.heappush(steps, (step_s + period, number, bits, period))
    return None


def come_bits(own: list[Arrivals], window_s: float, smooth_bit_per_s: float) -> tuple[float, float]:
    """Return what has come when a window ends, and when the next cable will have caught up with its staircase.

    smooth_bit_per_s  where the cables that have not caught up bring less than this together, all that they still bring is
                      taken as come already: with other classes going first, moments in between could be worse. [bit/s]
    """
    total_bits, rest_bits, growing_bit_per_s, next_s = 0.0, 0.0, 0.0, math.inf
    for arrivals in own:
        passed_bits = arrivals.at_once_bits(arrivals.stair_bits)
        if window_s and passed_bits < arrivals.stair_bits:
            passed_bits = min(arrivals.stair_bits, passed_bits + arrivals.rate_bit_per_s * window_s)
        total_bits += passed_bits
        missing_bits = arrivals.stair_bits - passed_bits
        if missing_bits > 0:
            caught_s = (arrivals.stair_bits - arrivals.frame_bits_max) / arrivals.rate_bit_per_s
            if caught_s <= window_s * (1 + ROUNDING):
                total_bits += missing_bits  # a rounding
                continue
            rest_bits += missing_bits
            growing_bit_per_s += arrivals.rate_bit_per_s
            next_s = min(next_s, caught_s)
    return total_bits + (rest_bits if growing_bit_per_s < smooth_bit_per_s else 0.0), next_s


def end_s(
    own_bits: float, first: list[Arrivals], before_bits: float, frame_bits_min: float, rate_bit_per_s: float
) -> float:
    """Return when the line has sent this much of a class, all that goes first, and what is ahead of both. [s]

    What goes first overtakes until the last frame of the class, of `frame_bits_min` at least, begins.
    """
    base_s = (before_bits + own_bits) / rate_bit_per_s
    if not first:
        return base_s
    done_s = base_s
    while True:
        starts_s = max(0.0, done_s - frame_bits_min / rate_bit_per_s)
        later_s = base_s + sum(arrivals.most_bits(starts_s) for arrivals in first) / rate_bit_per_s
        if later_s <= done_s or later_s > 2 * BUSY_S_MAX:
            return max(done_s, later_s)
        done_s = later_s
