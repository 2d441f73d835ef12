"""The two copies of a stream that runs on two networks: who gets both, what they share, how far they lie apart."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.flows import Flow, Hop, flows
from tailboard.answers.flows_records import Missing
from tailboard.model.records import Stream
from tailboard.model.show import Model, device_of
from tailboard.physics.ethernet import PROPAGATION_S_PER_M, WIRE_EXTRA_BYTES, serialisation_time_s

LIMIT_S = {"A": 10e-3, "B": 50e-3, "C": 450e-3, "D": 150e-6}  # ST 2022-7:2019 table 1, below 270 Mb/s (second-hand)


@dataclass(frozen=True, slots=True)
class Copies:
    """A stream on two networks.

    first, second  receiver: the hops of each copy; a receiver that a copy does not reach is absent.
    frame_bytes    without preamble and gap; None where a figure of the stream is missing.
    """

    stream: Stream
    first: dict[str, tuple[Hop, ...]]
    second: dict[str, tuple[Hop, ...]]
    frame_bytes: int | None

    def shared(self, receiver: str) -> tuple[str, ...]:
        """Return the cables and devices that both copies pass on the way to a receiver, its ends not counted."""
        ends = {self.stream.sender, receiver}
        passed = [
            dict.fromkeys(name for hop in hops for name in (hop.cable, device_of(hop.into)) if name not in ends)
            for hops in (self.first.get(receiver, ()), self.second.get(receiver, ()))
        ]
        return tuple(name for name in passed[0] if name in passed[1])


def copies(ask: Ask) -> tuple[Copies, ...]:
    """Return every declared stream that has a second network."""
    doubled = [stream for stream in ask.model.streams.values() if stream.second_vlan]
    if not doubled:
        return ()
    by_stream: dict[str, list[Flow]] = {stream.id: [] for stream in doubled}
    for flow in ask(flows).all:
        if flow.stream in by_stream:
            by_stream[flow.stream].append(flow)
    found: list[Copies] = []
    for stream in doubled:
        ways: tuple[dict[str, tuple[Hop, ...]], dict[str, tuple[Hop, ...]]] = ({}, {})
        for flow in by_stream[stream.id]:
            ways[flow.second].update(flow.hops)
        sizes = [flow.frame_bytes for flow in by_stream[stream.id] if flow.frame_bytes]
        found.append(Copies(stream, *ways, sizes[0] - WIRE_EXTRA_BYTES if sizes else None))
    return tuple(found)


def least_delay_s(model: Model, hops: tuple[Hop, ...], frame_bytes: int) -> float | Missing:
    """Return the time of a packet over empty ports, or the figure that is missing. [s]

    Sum over the hops of its time on the wire and the cable's, and the forwarding time of each device on the way.
    """
    total_s = 0.0
    for hop, last in zip(hops, [False] * (len(hops) - 1) + [True], strict=True):
        cable = model.cables[hop.cable]
        if hop.speed_bit_per_s is None:
            return Missing(f"the speed of {hop.port}", cable.at.spot(), f"write 'speed' at {hop.port}")
        if hop.length_m is None:
            return Missing(f"the length of {hop.cable}", cable.at.spot(), f"write 'length' at {hop.cable}")
        total_s += serialisation_time_s(frame_bytes, hop.speed_bit_per_s) + hop.length_m * PROPAGATION_S_PER_M
        if not last:
            device = model.devices[device_of(hop.into)]
            forward_s = model.kind_of(device.id).forward_delay_s
            if forward_s is None:
                fix = f"write 'forwarding' for the kind {device.kind}"
                return Missing(f"the forwarding time of {device.id}", device.at.spot("kind"), fix)
            total_s += forward_s
    return total_s
