"""Every flow of the plan with its ports: audio streams, pictures, and other traffic of which the rate is stated."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tailboard.answers.ask import Ask
from tailboard.answers.flows_packets import Packets, packets
from tailboard.answers.flows_records import AUDIO, CAMERA, OTHER, Flow, Flows, Hop, Missing
from tailboard.answers.flows_ways import Ways, ways
from tailboard.answers.marking import marking_of, rank
from tailboard.answers.streams import StreamPlan, streams
from tailboard.model.records import Stream

__all__ = ["Flow", "Flows", "Hop", "flows"]


def flows(ask: Ask) -> Flows:
    """Return every flow, and the flows by port."""
    way = ask(ways)
    found = [flow for plan in ask(streams).plans.values() for flow in stream_flows(way, plan)]
    found += pictures(way)
    found += exchanges(way)
    at: dict[str, list[Flow]] = {}
    hop_at: dict[str, Hop] = {}
    for flow in found:
        for hop in flow.ports:
            at.setdefault(hop.port, []).append(flow)
            hop_at[hop.port] = hop
    return Flows(tuple(found), {port: tuple(items) for port, items in at.items()}, hop_at)


def stream_flows(way: Ways, plan: StreamPlan) -> Iterator[Flow]:
    """Yield the flows of a stream: one for a group, one a receiver without; the same again on the second network."""
    packed = packets(way.model, plan)
    record = plan.record if isinstance(plan.record, Stream) else None
    yield from in_network(way, plan, packed, plan.vlan or "", plan.group)
    if record is not None and record.second_vlan:
        yield from in_network(way, plan, packed, record.second_vlan, record.second_group, second=True)


def in_network(
    way: Ways, plan: StreamPlan, packed: Packets | Missing, vlan: str, group: str | None, *, second: bool = False
) -> Iterator[Flow]:
    """Yield the flows of a stream in one VLAN; an empty name stands for whichever VLAN its ends share."""
    hops: dict[str, tuple[Hop, ...]] = {}
    for device in plan.receivers:
        journey = way.net.meeting(plan.sender, device, vlan)
        if journey.arrives and journey.hops:
            vlan = vlan or journey.hops[0].vlan_before
            hops[device] = way.along(journey)
    name = f"{plan.name} second" if second else plan.name
    stated = marking_of(way.model, plan.sender, vlan, plan.record if isinstance(plan.record, Stream) else None)
    figures: dict[str, Any] = {} if isinstance(packed, Missing) else {
        "period_s": packed.period_s, "frame_bytes": packed.frame_bytes, "rate_bit_per_s": packed.rate_bit_per_s,
        "example_of": packed.kind,
    }  # fmt: skip
    missing = packed if isinstance(packed, Missing) else None
    order = rank(way.model, stated, AUDIO)
    if group:
        tree = way.tree(plan.sender, vlan, group, hops.values())
        yield Flow(
            name, plan.name, AUDIO, plan.sender, vlan, order, stated, multicast=True, second=second, hops=hops,
            ports=tree.ports, flooded=tree.flooded, missing=missing, **figures,
        )  # fmt: skip
        return
    for device in plan.receivers:
        own = {device: hops[device]} if device in hops else {}
        yield Flow(
            f"{name} to {device}" if len(plan.receivers) > 1 else name, plan.name, AUDIO, plan.sender, vlan, order,
            stated, second=second, hops=own, ports=hops.get(device, ()), missing=missing, **figures,
        )  # fmt: skip


def pictures(way: Ways) -> Iterator[Flow]:
    """Yield what devices send by their kind's bit rate: to the one receiver of pictures in their VLAN."""
    model = way.model
    takers = [name for name in model.devices if model.kind_of(name).role == "receiver"]
    for name, device in model.devices.items():
        kind = model.kind_of(name)
        if not kind.bit_rate_bit_per_s or device.sends_bit_per_s:
            continue
        met = {taker: way.net.shared_vlans(name, taker) for taker in takers if taker != name}
        near = [taker for taker, shared in met.items() if shared]
        if len(near) == 1:
            yield simple(way, (name, near[0]), kind.bit_rate_bit_per_s, CAMERA, example_of=kind.id)
        elif near:
            words = f"to which of {', '.join(near)} {name} sends its picture"
            fix = f"write 'sends: {{{near[0]}: RATE}}' at {name}"
            stated = marking_of(model, name, met[near[0]][0], None)
            yield Flow(
                f"{name} picture", "", CAMERA, name, met[near[0]][0], rank(model, stated, CAMERA), stated,
                ports=way.out_of(name, met[near[0]][0]), missing=Missing(words, device.at.spot("kind"), fix),
            )  # fmt: skip


def exchanges(way: Ways) -> Iterator[Flow]:
    """Yield other traffic as devices state it: what they send, and what two exchange in each direction.

    An exchange that both of its devices state counts once, with the larger rate.
    """
    both: dict[tuple[str, str], float] = {}
    for name, device in way.model.devices.items():
        feature = CAMERA if way.model.kind_of(name).role == "camera" else OTHER
        for far, rate in (device.sends_bit_per_s or {}).items():
            yield simple(way, (name, far), rate, feature)
        for far, rate in (device.exchanges_bit_per_s or {}).items():
            for ends in ((name, far), (far, name)):
                both[ends] = max(rate, both.get(ends, 0.0))
    for ends, rate in both.items():
        yield simple(way, ends, rate, OTHER, joint="with")


def simple(
    way: Ways, ends: tuple[str, str], rate_bit_per_s: float, feature: str, *, joint: str = "to", example_of: str = ""
) -> Flow:
    """Return a flow of one device to another of which only the rate is known."""
    sender, receiver = ends
    journey = way.net.meeting(sender, receiver)
    hops = way.along(journey) if journey.arrives else ()
    vlan = journey.hops[0].vlan_before if hops else ""
    stated = marking_of(way.model, sender, vlan, None)
    return Flow(
        f"{sender} {joint} {receiver}", "", feature, sender, vlan, rank(way.model, stated, feature), stated,
        rate_bit_per_s=rate_bit_per_s, hops={receiver: hops} if hops else {}, ports=hops, example_of=example_of,
    )  # fmt: skip
