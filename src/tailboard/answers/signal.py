"""The signal graph: every point where a signal exists, every step with what it rests on, and the mixes of the desks."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mix, Mixing, bits, mixing, strip_of
from tailboard.answers.network import network
from tailboard.answers.signal_comms import add_comms
from tailboard.answers.signal_edges import (
    NO_DELAY,
    Edge,
    Figure,
    Graph,
    Stop,
    end_point,
    example,
    insert_delay,
    journey_keys,
)
from tailboard.answers.signal_feeds import add_feeds
from tailboard.answers.signal_lines import add_lines
from tailboard.answers.signal_wires import wires
from tailboard.answers.streams import StreamPlan, streams
from tailboard.model.records import Bus
from tailboard.model.show import Model, device_of, jack_of


@dataclass(frozen=True, slots=True)
class Signal:
    """The graph and the mixes.

    out, into  edges from and to each point. Strips have no edges onward: a mix takes them, see `entries`.
    entries    desk: label: the strips by which a line enters it.
    strips     strip: the lines on it.
    broken     whether any edge has a stop; excluded: whether any exists only 'unless'.
    """

    model: Model
    mixing: Mixing
    out: dict[str, list[Edge]]
    into: dict[str, list[Edge]]
    device_of: dict[str, str]
    entries: dict[str, dict[str, tuple[str, ...]]]
    strips: dict[str, tuple[str, ...]]
    broken: bool
    excluded: bool
    straight: frozenset[str] = field(default_factory=frozenset)

    @property
    def desks(self) -> tuple[str, ...]:
        """The desks that make mixes; one may be empty: not known."""
        return tuple(dict.fromkeys(mix.desk for name, mix in self.mixing.mixes.items() if not name.startswith("set ")))

    def step_into(self, mix: Mix, label: str, start: str) -> Edge:
        """Return the step from a strip, a station or an inner mix into a mix."""
        kind = self.model.kind_of(mix.desk)
        delay = Figure(0.0, 0.0)
        if start in self.strips or start == label:
            seconds = kind.process_delay_s
            delay = Figure(
                seconds, seconds, f"processing of kind {kind.id}", example(kind) if seconds is not None else ""
            )
        inserts = self.inserts_of(mix)
        for figure in (insert_delay(self.model, device) for device in inserts):
            delay = together(delay, figure)
        word = "is in" if start.startswith(("bus ", "feed ", "set ")) else f"{label} is in"
        depends = frozenset(f"device {device}" for device in (mix.desk, *inserts) if device in self.model.devices)
        stop = self.no_strip(mix.desk, label) if start == label else None
        return Edge(start, mix.name, "mix", f"{word} {mix.name}", mix.record, mix.attribute, depends, delay, stop=stop)

    def inserts_of(self, mix: Mix) -> tuple[str, ...]:
        """Return the devices that a whole mix goes through."""
        return mix.record.inserts if isinstance(mix.record, Bus) else ()

    def inserted_on(self, route: tuple[str, ...]) -> tuple[str, ...]:
        """Return the devices that a label goes through on its route through mixes."""
        return tuple(device for name in route for device in self.inserts_of(self.mixing.mixes[name]))

    def no_strip(self, desk: str, label: str) -> Stop | None:
        """Return why a line is not in the mixes of a desk that hold it: the desk is known, and the line has no strip there.

        Where no line of the show has a strip the list's word counts.
        """
        if not label.startswith("line ") or not self.strips or desk not in self.model.devices:
            return None
        if label in self.entries.get(desk, {}):
            return None
        spot = self.model.lines[label.removeprefix("line ")].at.spot("strips")
        return Stop(f"{label} has no strip on {desk}", spot, frozenset([label]))

    def labels_at(self, strip: str) -> tuple[str, ...]:
        """Return the labels of a strip: 'line 5'."""
        return tuple(f"line {name}" for name in self.strips.get(strip, ()))

    def is_direct(self, desk: str, label: str) -> bool:
        """Return whether a label enters a desk without a strip of its own: a station, the oscillator, a line not patched."""
        return label not in self.entries.get(desk, {})

    def mixes_with(self, desk: str, label: str) -> list[Mix]:
        """Return the mixes of a desk that hold a label."""
        bit = 1 << self.mixing.index[label]
        return [mix for mix in self.mixing.mixes.values() if mix.desk == desk and mix.mask & bit]


@dataclass(frozen=True, slots=True, eq=False)
class Carried:
    """The steps of the graph, which do not depend on what is in a mix; for its fields see `Signal`."""

    out: dict[str, list[Edge]]
    into: dict[str, list[Edge]]
    device_of: dict[str, str]
    entries: dict[str, dict[str, tuple[str, ...]]]
    strips: dict[str, tuple[str, ...]]
    broken: bool
    excluded: bool
    straight: frozenset[str]


def signal(ask: Ask) -> Signal:
    """Return the signal graph of a show."""
    steps = ask(carried)
    return Signal(
        ask.model, ask(mixing), steps.out, steps.into, steps.device_of, steps.entries, steps.strips, steps.broken,
        steps.excluded, steps.straight,
    )  # fmt: skip


def carried(ask: Ask) -> Carried:
    """Return the steps by which lines and feeds are carried."""
    model = ask.model
    graph = ask(wires).copy()
    plans = ask(streams).plans
    for plan in plans.values():
        add_stream(ask, graph, plan)
    add_lines(ask, graph)
    straight = add_feeds(ask, graph, plans)
    add_comms(ask, graph)
    entries: dict[str, dict[str, list[str]]] = {}
    strips: dict[str, list[str]] = {}
    for name, line in model.lines.items():
        for written in line.strips:
            desk, strip = strip_of(model, written)
            node = graph.point(desk, f"strip {strip}")
            entries.setdefault(desk, {}).setdefault(f"line {name}", []).append(node)
            strips.setdefault(node, []).append(name)
        for port in line.goes_to:
            if model.kind_of(device_of(port)).mixes:
                entries.setdefault(device_of(port), {}).setdefault(f"line {name}", []).append(end_point(model, port))
                strips.setdefault(end_point(model, port), []).append(name)
    edges = [edge for found in graph.out.values() for edge in found]
    joined = {desk: {label: tuple(nodes) for label, nodes in found.items()} for desk, found in entries.items()}
    return Carried(
        graph.out, graph.into, graph.device_of, joined, {node: tuple(names) for node, names in strips.items()},
        any(edge.stop is not None for edge in edges), any(edge.unless for edge in edges), straight,
    )  # fmt: skip


def together(one: Figure, other: Figure) -> Figure:
    """Return two delays as one figure; not known where one of them is not."""
    if one == NO_DELAY:
        return other
    known = one.worst_s is not None and other.worst_s is not None
    least_s, worst_s = ((one.least_s or 0.0) + (other.least_s or 0.0), (one.worst_s or 0.0) + (other.worst_s or 0.0))
    words = f"{one.words} and {other.words}"
    return Figure(least_s, worst_s, words, one.kind or other.kind) if known else Figure(None, None, words)


def add_stream(ask: Ask, graph: Graph, plan: StreamPlan) -> None:
    """Add a stream's channels to each receiver, with the journey of its frames."""
    model, words = ask.model, plan.words
    for device, enters in plan.receivers.items():
        journey = ask(network).meeting(plan.sender, device, plan.vlan or "")
        depends = graph.needed(plan.sender, device) | {plan.key} | journey_keys(graph, journey)
        stop = None
        if not journey.arrives:
            why = journey.stop
            stop = Stop(f"{words}: {why.words}", why.spot, why.keys | {plan.key}) if why else Stop(words)
        offset_s = link_offset_s(model, device, journey.hops[-1].port_in if journey.hops else "")
        delay = Figure(offset_s, offset_s, f"link offset of {device}")
        for content, node in zip(plan.contents, enters, strict=False):
            if node:
                graph.device_of[node] = device
                if not content.startswith(("feed ", "line ")):
                    graph.device_of[content] = plan.sender
                graph.add(
                    Edge(content, node, "stream", words, plan.record, plan.attribute, depends, delay,
                         stop=stop, hops=journey.hops)
                )  # fmt: skip


def link_offset_s(model: Model, device: str, port: str) -> float | None:
    """Return the link offset of a receiver at the port by which its streams come in."""
    record = model.devices.get(device)
    if record is None:
        return None
    return (record.link_offset_s_by_port or {}).get(jack_of(port), record.link_offset_s)


def on_air(model: Model) -> list[Bus]:
    """Return the buses that go to air."""
    return [bus for bus in model.buses.values() if bus.on_air]


__all__ = ["Signal", "bits", "on_air", "signal"]
