"""The plan as the bound sees it: audio flows as staircases of frames, ports as lines, and what is not known of either."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.flows import Flow, Hop, flows
from tailboard.answers.flows_records import AUDIO, Missing
from tailboard.answers.marking import CLOCK_DSCP, place
from tailboard.answers.network import network
from tailboard.findings import NOWHERE
from tailboard.model.show import Model, device_of
from tailboard.physics.ethernet import (
    ETHERNET_CHECK_BYTES,
    ETHERNET_HEADER_BYTES,
    FRAME_BYTES_MAX,
    IPV4_HEADER_BYTES,
    PROPAGATION_S_PER_M,
    UDP_HEADER_BYTES,
    VLAN_TAG_BYTES,
    wire_bytes,
)
from tailboard.physics.queueing import Bounds, Line, Traffic, bounds
from tailboard.physics.queueing_ways import Ways

OTHER_BITS = 8 * wire_bytes(FRAME_BYTES_MAX + VLAN_TAG_BYTES)  # 1542 bytes; what else passes has frames of any size
ANNOUNCE_BYTES = 64  # IEEE 1588-2008 section 13: the longest message that many clocks send
CLOCK_FRAME_BITS = 8 * wire_bytes(
    ANNOUNCE_BYTES
    + UDP_HEADER_BYTES
    + IPV4_HEADER_BYTES
    + ETHERNET_HEADER_BYTES
    + ETHERNET_CHECK_BYTES
    + VLAN_TAG_BYTES
)  # 134 bytes
LEADER_FRAMES = 3  # Sync, Follow_Up and Announce


@dataclass(frozen=True, slots=True)
class Queues:
    """The queues of the plan.

    traffic       flows of which everything is known, with the bound's numbering.
    number        flow id: its index in `traffic`.
    lines         port: its line; ports of unknown speed are absent.
    bounds        the longest time through each port; ways: that of whole ways, which is less than their sum.
    unbounded     port: what passes it and cannot be bounded, with its rank and the figure that is missing.
    way_missing   port: the figure that is missing for the way behind it, or for how the device at its end forwards.
    clock_frames  port: how many clock messages may come together.
    """

    traffic: tuple[Traffic, ...] = ()
    number: dict[str, int] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    bounds: Bounds = field(default_factory=Bounds)
    ways: Ways = field(default_factory=lambda: Ways((), {}, Bounds()))
    unbounded: dict[str, tuple[tuple[int, Missing], ...]] = field(default_factory=dict)
    way_missing: dict[str, Missing] = field(default_factory=dict)
    clock_frames: dict[str, int] = field(default_factory=dict)


def queues(ask: Ask) -> Queues:
    """Return the queues of the plan, with the bound of every port that audio leaves by."""
    model, found = ask.model, ask(flows)
    audio = {hop.port: hop for flow in found.all if flow.feature == AUDIO for hop in flow.ports}
    frames = {port: clock_frames(ask, found.at[port]) for port in audio}
    lines: dict[str, Line] = {}
    way_missing: dict[str, Missing] = {}
    for port, hop in audio.items():
        way_s = way_behind_s(ask, hop, way_missing)
        if hop.speed_bit_per_s:
            first_bits = float(CLOCK_FRAME_BITS * frames[port])
            lines[port] = Line(hop.speed_bit_per_s, float(OTHER_BITS), first_bits, way_s)
    traffic: list[Traffic] = []
    number: dict[str, int] = {}
    unbounded: dict[str, list[tuple[int, Missing]]] = {}
    for flow in found.all:
        known, loose, missing = staircase(model, flow, lines)
        if known is not None and known.tree:
            number[flow.id] = len(traffic)
            traffic.append(known)
        for port in loose:
            if port in audio and missing is not None:
                unbounded.setdefault(port, []).append((flow.rank, missing))
    found_bounds = bounds(traffic, lines)
    return Queues(
        tuple(traffic), number, lines, found_bounds, Ways(traffic, lines, found_bounds), {port: tuple(items) for port, items in unbounded.items()},
        way_missing, frames,
    )  # fmt: skip


def staircase(
    model: Model, flow: Flow, lines: dict[str, Line]
) -> tuple[Traffic | None, tuple[str, ...], Missing | None]:
    """Return a flow as the bound sees it, the ports where it cannot be bounded, and why.

    A flow of which only the rate is known comes in bursts of any size: a class that it goes before has no bound.
    """
    ports = tuple(hop.port for hop in flow.ports)
    if flow.period_s is None or flow.frame_bytes is None:
        words = f"the size and spacing of the frames of {flow.id}"
        sender = model.devices.get(flow.sender)
        spot = sender.at.spot() if sender is not None else NOWHERE
        fix = f"mark {flow.id} so that it goes after audio"
        return None, ports, flow.missing or Missing(f"{words}, which go before audio or with it,", spot, fix)
    kind = model.kind_of(flow.sender)
    if kind.release_jitter_s is None:
        return (
            None,
            ports,
            of_kind(model, flow.sender, "release jitter", f"how late {flow.sender} may release a packet"),
        )
    by_end = {device_of(hop.into): hop.port for hop in flow.ports}
    tree: list[tuple[str, str]] = []
    placed, waiting = {""}, [hop.port for hop in flow.ports]
    while True:
        ready = [port for port in waiting if before_of(port, flow.sender, by_end) in placed and port in lines]
        if not ready:
            break
        tree += [(port, before_of(port, flow.sender, by_end)) for port in ready]
        placed.update(ready)
        waiting = [port for port in waiting if port not in placed]
    missing = Missing(f"the speed of a port before, on the way of {flow.id},") if waiting else None
    known = Traffic(flow.period_s, 8.0 * flow.frame_bytes, kind.release_jitter_s, flow.rank, tuple(tree))
    return known, tuple(waiting), missing


def of_kind(model: Model, device: str, key: str, words: str) -> Missing:
    """Return a figure that is missing in the kind of a device."""
    record = model.devices.get(device)
    if record is None:
        return Missing(words, fix=f"write {device} under devices, with its kind")
    return Missing(words, record.at.spot("kind"), f"write '{key}' for the kind {record.kind}, from its data sheet")


def before_of(port: str, sender: str, by_end: dict[str, str]) -> str:
    """Return the port by which frames come to the device of a port; empty for the sender's own."""
    device = device_of(port)
    return "" if device == sender else by_end.get(device, "unknown")


def way_behind_s(ask: Ask, hop: Hop, missing: dict[str, Missing]) -> float:
    """Return the time from a port to the next queue, and note the figure that is not written for it. [s]"""
    model = ask.model
    device = device_of(hop.into)
    kind = model.kind_of(device)
    forwards = device in ask(network).frames.forwarding
    if hop.length_m is None:
        cable = model.cables[hop.cable]
        words = f"the length of {hop.cable}"
        missing[hop.port] = Missing(words, cable.at.spot("pieces_m"), f"write 'length' at {hop.cable}")
    elif forwards and kind.forward_delay_s is None:
        missing[hop.port] = of_kind(model, device, "forwarding", f"how long {device} takes to forward a frame")
    return (hop.length_m or 0.0) * PROPAGATION_S_PER_M + ((kind.forward_delay_s or 0.0) if forwards else 0.0)


def clock_frames(ask: Ask, at: tuple[Flow, ...]) -> int:
    """Return how many clock messages may come together at a port: those of every VLAN whose audio leaves by it.

    They do not count where they are marked to go after all audio: then they are other traffic.
    """
    model = ask.model
    audio = [flow for flow in at if flow.feature == AUDIO]
    last = max(flow.rank for flow in audio)
    count = 0
    for vlan in {flow.vlan for flow in audio}:
        record = model.vlans.get(vlan)
        marking = record.clock_marking if record is not None else None
        if place(model, CLOCK_DSCP if marking is None else marking) > last:
            continue
        stated = record.clock_frames if record is not None else None
        clocks = ask(clock_counts).get(vlan, 0)
        count += stated if stated is not None else LEADER_FRAMES + clocks - 1 if clocks else 0
    return count


def clock_counts(ask: Ask) -> dict[str, int]:
    """Return how many devices with a clock are in each VLAN."""
    counts: dict[str, int] = {}
    for name, device in ask.model.devices.items():
        if device.clock is not None:
            for vlan in ask(network).vlans_of_device(name):
                counts[vlan] = counts.get(vlan, 0) + 1
    return counts
