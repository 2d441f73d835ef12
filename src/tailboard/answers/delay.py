"""When the packets of every stream arrive: at best and at worst, against the link offset of each receiver."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.delay_network import Queues, of_kind, queues
from tailboard.answers.flows import Flow, Hop, flows
from tailboard.answers.flows_records import AUDIO, Missing
from tailboard.findings import Spot
from tailboard.model.show import Model, device_of, jack_of
from tailboard.physics.queueing import Refusal

CLOCK_ERROR_S = 0.5e-6  # two followers within 1 us of each other: ST 2059-2, from memory
CLASSES_MIN = 2  # queues a switch needs to let audio go before other traffic
ROUNDING_S = 1e-9  # two sums of the same decimal figures may differ by this


@dataclass(frozen=True, slots=True)
class Arrival:
    """Packets of one flow at one receiver. Times count from the first sample of a packet. [s]

    best_s, worst_s   the earliest and the latest arrival; worst_s is None where a figure is missing or there is no bound.
    through_s         what each port of the way adds to the longest time up to it, from its queue to its end on the line.
    playout_s         what the receiver needs between arrival and play-out; clock_error_s what both clocks may differ.
    offset_of         whose link offset counts: the device, or DEVICE/PORT where the port has its own.
    offset_s          that link offset, None where it is not written; offset_at where it stands, or belongs.
    missing           the figures that are not written.
    refused           port and reason where there is no bound.
    kinds             the kinds whose figures count on this way.
    """

    flow: Flow
    receiver: str
    hops: tuple[Hop, ...]
    best_s: float | None
    worst_s: float | None
    through_s: tuple[float, ...]
    playout_s: float
    clock_error_s: float
    offset_of: str
    offset_s: float | None
    offset_at: Spot
    missing: tuple[Missing, ...] = ()
    refused: tuple[str, Refusal] | None = None
    kinds: tuple[str, ...] = ()

    @property
    def subject(self) -> tuple[str, ...]:
        """The names that claims on it bear."""
        return (self.flow.stream, self.receiver, *(("second",) if self.flow.second else ()))

    @property
    def needed_s(self) -> float | None:
        """The least link offset with which no packet is late. [s]"""
        return None if self.worst_s is None else self.worst_s + self.playout_s + self.clock_error_s

    @property
    def reserve_s(self) -> float | None:
        """What is left between the latest arrival and play-out; below zero: packets may be late. [s]"""
        return None if self.needed_s is None or self.offset_s is None else self.offset_s - self.needed_s


def arrivals(ask: Ask) -> tuple[Arrival, ...]:
    """Return the arrivals of every stream at every receiver that its frames get to."""
    found = ask(queues)
    return tuple(
        arrival(ask, found, flow, receiver, hops)
        for flow in ask(flows).all
        if flow.feature == AUDIO
        for receiver, hops in flow.hops.items()
    )


def arrival(ask: Ask, found: Queues, flow: Flow, receiver: str, hops: tuple[Hop, ...]) -> Arrival:
    """Return the arrivals of one flow at one receiver."""
    model = ask.model
    missing = tuple(dict.fromkeys(lacking(ask, found, flow, receiver, hops)))
    refused = None if missing else refusal(found, flow, hops)
    number = found.number.get(flow.id)
    route = [hop.port for hop in hops]
    steps_s = None if number is None else found.ways.steps_s(found.traffic[number], route)
    through_s = steps_s or tuple(found.bounds.through_s.get((port, flow.rank), math.nan) for port in route)
    best_s = worst_s = None
    if not missing and flow.period_s is not None and flow.frame_bytes is not None:
        lines = [found.lines[hop.port] for hop in hops]
        ways_s = sum(line.way_s for line in lines)
        best_s = flow.period_s + ways_s + sum(8 * flow.frame_bytes / line.rate_bit_per_s for line in lines)
        if refused is None:
            jitter_s = model.kind_of(flow.sender).release_jitter_s or 0.0
            worst_s = flow.period_s + jitter_s + ways_s + sum(through_s)
    offset_of = offset_name(model, hops[-1].into)
    offset_s, offset_at = link_offset_s(model, offset_of)
    return Arrival(
        flow, receiver, hops, best_s, worst_s, through_s, model.kind_of(receiver).playout_time_s or 0.0,
        clock_error_s(model, flow.sender, receiver), offset_of, offset_s, offset_at, missing, refused, kinds_of(model, flow, hops),
    )  # fmt: skip


def lacking(ask: Ask, found: Queues, flow: Flow, receiver: str, hops: tuple[Hop, ...]) -> Iterator[Missing]:
    """Yield the figures that an arrival needs and nobody wrote."""
    model = ask.model
    sender, taker = model.kind_of(flow.sender), model.kind_of(receiver)
    if flow.missing is not None:
        yield flow.missing
    if sender.release_jitter_s is None:
        yield of_kind(model, flow.sender, "release jitter", f"how late {flow.sender} may release a packet")
    if taker.playout_time_s is None:
        yield of_kind(model, receiver, "before play-out", f"what {receiver} needs between arrival and play-out")
    for hop in hops:
        if not hop.speed_bit_per_s:
            spot = model.devices[device_of(hop.port)].at.spot()
            words = f"the speed of {hop.port} and of {hop.into}"
            yield Missing(words, spot, f"write 'speed' at {hop.port}, or 'rate' for the port in its kind")
        if hop.port in found.way_missing:
            yield found.way_missing[hop.port]
        for rank, why in found.unbounded.get(hop.port, ()):
            if rank <= flow.rank:
                yield why
        switch = device_of(hop.port)
        kind = model.kind_of(switch)
        if kind.role == "switch" and (kind.queues or 0) < CLASSES_MIN:
            yield of_kind(model, switch, "queues", f"whether {switch} has two queues or more, so that audio goes first")


def refusal(found: Queues, flow: Flow, hops: tuple[Hop, ...]) -> tuple[str, Refusal] | None:
    """Return the first port of a way that has no bound, and why."""
    refused = found.bounds.refused
    return next(((hop.port, refused[hop.port, flow.rank]) for hop in hops if (hop.port, flow.rank) in refused), None)


def offset_name(model: Model, port: str) -> str:
    """Return whose link offset counts at a receiver's port: the port's, if it has its own, else the device's."""
    return port if jack_of(port) in (model.devices[device_of(port)].link_offset_s_by_port or {}) else device_of(port)


def link_offset_s(model: Model, name: str) -> tuple[float | None, Spot]:
    """Return the link offset of a device, or of a DEVICE/PORT with its own, and where it stands or belongs. [s]"""
    device = model.devices[device_of(name)]
    if jack_of(name):
        return (device.link_offset_s_by_port or {}).get(jack_of(name)), device.at.spot("link_offset_s_by_port")
    return device.link_offset_s, device.at.spot("link_offset_s")


def clock_error_s(model: Model, sender: str, receiver: str) -> float:
    """Return how far the clocks of both ends may differ; nothing where the receiver follows the arriving stream. [s]"""
    if model.devices[receiver].clock is None:
        return 0.0
    stated = [model.kind_of(device).clock_error_s for device in (sender, receiver)]
    return sum(CLOCK_ERROR_S if error is None else error for error in stated)


def kinds_of(model: Model, flow: Flow, hops: tuple[Hop, ...]) -> tuple[str, ...]:
    """Return the kinds whose figures count on a way: of its ends and of what forwards."""
    devices = [flow.sender, *(device_of(hop.into) for hop in hops)]
    return tuple(dict.fromkeys([model.kind_of(device).id for device in devices]))


def offered_s(model: Model, found: Arrival, least_s: float) -> float | None:
    """Return the smallest link offset, of those the receiver's kind offers, that is at least this; None: it offers none. [s]

    A kind that lists none is taken to offer the multiples of the packet time (example values: see docs/decisions.md).
    """
    listed = model.kind_of(found.receiver).link_offsets_s
    if listed:
        return min((offset for offset in listed if offset >= least_s - ROUNDING_S), default=None)
    period_s = found.flow.period_s
    return None if not period_s else math.ceil((least_s - ROUNDING_S) / period_s) * period_s
