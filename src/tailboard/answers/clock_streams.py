"""Who exchanges streams with whom, and who differs from the others in clock domain or sample rate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.answers.streams import StreamPlan, streams
from tailboard.model.show import Model, jack_of

Node = tuple[str, str]  # ('device', 'CON-1') or ('stream', 'ST-1')
Edge = tuple[Node, Node]


@dataclass(frozen=True, slots=True)
class Exchange:
    """One stream from its sender to one receiver, neither of which converts the rate."""

    stream: str
    sender: str
    receiver: str


@dataclass(frozen=True, slots=True)
class Differing:
    """Devices (and streams) that must agree in a value, and those that do not.

    values  the value of each, a domain or a rate in hertz.
    odd     those that stand against most of what they are joined to by streams, each with those it disagrees with.
    """

    values: dict[Node, int]
    odd: dict[Node, tuple[Node, ...]]


def exchanges(ask: Ask) -> tuple[Exchange, ...]:
    """Return the streams, declared and derived, between devices that need one clock."""
    model = ask.model
    return tuple(
        Exchange(plan.name, plan.sender, receiver)
        for plan in ask(streams).plans.values()
        for receiver in plan.receivers
        if needs_clock(model, plan.sender) and needs_clock(model, receiver)
    )


def carried_feeds(ask: Ask, names: Iterable[str]) -> tuple[str, ...]:
    """Return the feeds that streams carry, by the streams' names."""
    plans, wanted = ask(streams).plans, set(names)
    contents = [content for name in wanted for content in plans[name].contents]
    inside = {content.removeprefix("feed ").partition(" at ")[0] for content in contents if content.startswith("feed ")}
    return tuple(feed for feed, record in ask.model.feeds.items() if feed in inside or wanted & set(record.outputs))


def needs_clock(model: Model, device: str) -> bool:
    """Return whether a device must share the clock of the streams it sends and takes: its kind does not convert the rate."""
    return device in model.devices and not model.kind_of(device).converts_rate


def keeps_rate(ask: Ask, plan: StreamPlan, device: str, receiver: str) -> bool:
    """Return whether a device must run at the rate of a stream that it sends, or takes as `receiver`.

    One that converts must only where its own clock says a rate and other ports follow another domain: at its own port.
    """
    if needs_clock(ask.model, device):
        return True
    record = ask.model.devices.get(device)
    if record is None or not record.domain_by_port or record.clock is None or record.clock.rate_hz is None:
        return False
    hops = ask(network).meeting(plan.sender, receiver, plan.vlan or "").hops
    port = (hops[0].port_out if device == plan.sender else hops[-1].port_in) if hops else ""
    return bool(port) and jack_of(port) not in record.domain_by_port


def rate_hz(model: Model, device: str) -> float | None:
    """Return the sample rate a device runs at: its clock's, else its kind's."""
    record = model.devices.get(device)
    written = record.clock.rate_hz if record and record.clock else None
    return written if written is not None else model.kind_of(device).rate_hz


def domains(ask: Ask) -> Differing:
    """Return the clock domains of devices that exchange streams; one whose ports differ is left out."""
    values: dict[Node, int] = {}
    edges: list[Edge] = []
    for exchange in ask(exchanges):
        ends = [("device", exchange.sender), ("device", exchange.receiver)]
        for node in ends:
            device = ask.model.devices[node[1]]
            if device.clock is not None and not device.domain_by_port:
                values[node] = device.clock.domain
        edges.append((ends[0], ends[1]))
    return differing(values, edges, planned_leaders(ask.model))


def rates(ask: Ask) -> Differing:
    """Return the sample rates of devices that send or take streams, and those written at the streams."""
    model = ask.model
    values: dict[Node, int] = {}
    edges: list[Edge] = []
    for plan in ask(streams).plans.values():
        declared = model.streams.get(plan.name)
        written = declared.rate_hz if declared else None
        stream = ("stream", plan.name)
        for receiver in plan.receivers:
            ends = [("device", name) for name in (plan.sender, receiver) if keeps_rate(ask, plan, name, receiver)]
            for node in ends:
                own = rate_hz(model, node[1])
                if own is not None:
                    values[node] = round(own)
            if written is not None and ends:
                values[stream] = round(written)
                edges += [(node, stream) for node in ends]
            elif len(ends) == 2:
                edges.append((ends[0], ends[1]))
    return differing(values, edges, planned_leaders(model))


def planned_leaders(model: Model) -> frozenset[Node]:
    """Return the devices planned to lead a clock."""
    return frozenset(
        ("device", name) for name, device in model.devices.items() if device.clock and device.clock.role == "leader"
    )


def differing(values: dict[Node, int], edges: Iterable[Edge], leaders: frozenset[Node]) -> Differing:
    """Return who stands against the others: those joined share the value most of them have, at a tie that of a leader.

    Of every two that are joined and disagree at least one is odd.
    """
    known = [edge for edge in dict.fromkeys(edges) if edge[0] in values and edge[1] in values]
    usual = usual_values(values, known, leaders)
    odd: dict[Node, list[Node]] = {}
    for one, other in known:
        if values[one] == values[other]:
            continue
        for node, against in ((one, other), (other, one)):
            if values[node] != usual[node]:
                odd.setdefault(node, []).append(against)
    return Differing(values, {node: tuple(dict.fromkeys(against)) for node, against in odd.items()})


def usual_values(values: Mapping[Node, int], edges: Iterable[Edge], leaders: frozenset[Node]) -> dict[Node, int]:
    """Return for each node the value that most of those it is joined to, near or far, have."""
    root: dict[Node, Node] = {node: node for node in values}

    def top(node: Node) -> Node:
        while root[node] != node:
            root[node] = root[root[node]]
            node = root[node]
        return node

    for one, other in edges:
        root[top(one)] = top(other)
    groups: dict[Node, list[Node]] = {}
    for node in values:
        groups.setdefault(top(node), []).append(node)
    usual: dict[Node, int] = {}
    for group in groups.values():
        count = Counter(values[node] for node in group)
        led = {values[node] for node in group if node in leaders}
        best = min(count, key=lambda value: (-count[value], value not in led, value))
        usual.update(dict.fromkeys(group, best))
    return usual
