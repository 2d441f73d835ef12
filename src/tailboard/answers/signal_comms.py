"""The intercom in the signal graph: stations talk to party lines and circuits, circuits interrupt feeds, ears listen."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import desk_of
from tailboard.answers.network import network
from tailboard.answers.signal_edges import (
    NO_DELAY,
    Edge,
    Figure,
    Graph,
    Stop,
    downstream,
    end_point,
    journey_keys,
    trail,
)
from tailboard.model.records import Circuit, Feed, Station
from tailboard.model.show import device_of

OPEN = Figure(None, None, "delay of the intercom")
BASES = ("intercom base", "matrix")


@dataclass(slots=True)
class Comms:
    """What the stations name, while the edges are made."""

    graph: Graph
    access_points: tuple[str, ...]
    people: dict[str, list[str]] = field(default_factory=dict)
    stops: dict[str, Stop | None] = field(default_factory=dict)
    needs: dict[str, frozenset[str]] = field(default_factory=dict)

    def node_of(self, name: str) -> str:
        """Return the point of what a key or ear names: a circuit or party line, a feed, a line, a station's ear."""
        model = self.graph.model
        if name in model.circuits:
            return f"channel {name}"
        if name in model.feeds:
            return joined_at(model.feeds[name])
        return f"ear {name}" if name in model.stations else f"channel {name}"


def joined_at(feed: Feed) -> str:
    """Return the point at which talk joins a feed: at the matrix it passes, else where it is made."""
    return f"feed {feed.id} at {feed.via}" if feed.via and feed.via != feed.device else f"feed {feed.id}"


def add_comms(ask: Ask, graph: Graph) -> None:
    """Add stations, party lines, circuits and the interrupts of feeds."""
    model = ask.model
    comms = Comms(graph, tuple(name for name in model.devices if model.kind_of(name).role == "access point"))
    for name, station in model.stations.items():
        comms.stops[name], comms.needs[name] = link_of(ask, comms, station)
        if station.person:
            for person in (part.strip() for part in station.person.split(",")):
                comms.people.setdefault(person, []).append(name)
    for circuit in model.circuits.values():
        add_circuit(comms, circuit)
    for station in model.stations.values():
        add_talk(comms, station)
        add_ear(comms, station)
    for feed in model.feeds.values():
        for name in feed.interrupts:
            add_interrupt(comms, feed, name)


def add_talk(comms: Comms, station: Station) -> None:
    """Add what a station talks to, always and by keys."""
    graph = comms.graph
    source = line_points(graph, station.line)[0] if station.line in graph.model.lines else f"station {station.id}"
    for names, keyed, attribute in ((station.talk, False, "talk"), (station.keys, True, "keys")):
        for name in names:
            words = f"{station.id} talks to {name}" + (" on key" if keyed else "")
            graph.add(
                Edge(source, comms.node_of(name), "talk", words, station, attribute, comms.needs[station.id], OPEN,
                     stop=comms.stops[station.id], keyed=keyed)
            )  # fmt: skip


def add_ear(comms: Comms, station: Station) -> None:
    """Add what a station hears: party lines and circuits without himself, feeds, lines."""
    graph, ear = comms.graph, f"ear {station.id}"
    made = Edge("", ear, "listen", "", station, "listen", comms.needs[station.id], OPEN, stop=comms.stops[station.id])
    if station.feed in graph.model.feeds:
        words = f"{station.id} hears by feed {station.feed}"
        graph.add(made._replace(start=f"ear {station.feed}", words=words, attribute="feed", delay=NO_DELAY))
        return
    for name in station.listen:
        words = f"{station.id} listens to {name}"
        if name in graph.model.lines:
            for start in line_points(graph, name)[:1]:
                graph.add(made._replace(start=start, words=words))
            continue
        node = f"feed {name}" if name in graph.model.feeds else comms.node_of(name)
        if node.startswith("ear "):
            node = f"station {name}"
        circuit = graph.model.circuits.get(name)
        if circuit is None:
            own = f"station {station.id}" if node.startswith("channel ") else ""
            graph.add(made._replace(start=node, words=words, not_from=own))
        elif circuit.into is not None:
            graph.add(made._replace(start=circuit.into, words=words))


def line_points(graph: Graph, line: str | None) -> list[str]:
    """Return where the intercom taps a line: at the destinations written for it, else at its source."""
    record = graph.model.lines[line or ""]
    return [end_point(graph.model, port) for port in record.goes_to] or [f"line {record.id}"]


def add_circuit(comms: Comms, circuit: Circuit) -> None:
    """Add the ways of a circuit out of its base, and mark its ports."""
    graph = comms.graph
    for port in (circuit.out, circuit.into):
        if port is not None:
            graph.device_of[port] = device_of(port)
    if circuit.out is not None:
        needs = graph.needed(circuit.device)
        words = f"{circuit.id} leaves by {circuit.out}"
        graph.add(Edge(f"channel {circuit.id}", circuit.out, "output", words, circuit, "out", needs, OPEN))


def add_interrupt(comms: Comms, feed: Feed, name: str) -> None:
    """Add the way by which a circuit, a station or a person interrupts a feed."""
    graph, model = comms.graph, comms.graph.model
    node = f"feed {feed.id}"
    words = f"{name} interrupts {feed.id}"
    circuit = model.circuits.get(name)
    if circuit is not None:
        desks = [desk_of(model, feed), *passing_desks(graph, feed)]
        starts, stop = circuit_starts(graph, circuit, desks)
        for start in starts:
            end = entered_feed(graph, node, start, desks)
            graph.add(Edge(start, end, "interrupt", words, feed, "interrupts", graph.needed(desks[0]), stop=stop))
        return
    stations = [name] if name in model.stations else comms.people.get(name, [])
    for station in stations:
        if feed.id not in model.stations[station].keys:
            graph.add(Edge(f"station {station}", joined_at(feed), "interrupt", words, feed, "interrupts", comms.needs[station], OPEN,
                           stop=comms.stops[station], keyed=True))  # fmt: skip


def passing_desks(graph: Graph, feed: Feed) -> list[str]:
    """Return the desks that pass a feed on."""
    prefix = f"feed {feed.id} at "
    return [node.removeprefix(prefix) for edge in graph.out.get(f"feed {feed.bed or feed.id}", ())
            for after in graph.out.get(edge.end, ()) if (node := after.end).startswith(prefix)]  # fmt: skip


def entered_feed(graph: Graph, node: str, start: str, desks: list[str]) -> str:
    """Return where an interrupt joins a feed: at the desk whose input it comes to."""
    device = graph.device_of.get(start, "")
    return f"{node} at {device}" if device in desks[1:] else node


def circuit_starts(graph: Graph, circuit: Circuit, desks: list[str]) -> tuple[list[str], Stop | None]:
    """Return the inputs at which a circuit comes to the desks of a feed, or where it stops."""
    channel = f"channel {circuit.id}"
    if circuit.device in desks:
        graph.device_of[channel] = circuit.device
        return [channel], None
    if circuit.out is None:
        keys = frozenset([f"circuit {circuit.id}"])
        return [channel], Stop(
            f"{circuit.id} has no port by which its talk leaves {circuit.device}", circuit.at.spot("out"), keys
        )
    reached = downstream(graph.out, [circuit.out], frozenset({"plug", "cable", "inside", "stream"}))
    inputs = [node for node in reached if graph.device_of.get(node) in desks and " send " not in node]
    if inputs:
        stops = [next((edge.stop for edge in trail(reached, node) if edge.stop is not None), None) for node in inputs]
        return inputs, stops[0] if all(stops) else None
    if desks[0] not in graph.model.devices or not any(
        edge.step == "cable" for edges in graph.out.values() for edge in edges
    ):
        return [circuit.out], None
    last = list(reached)[-1]
    where = f"nothing is plugged into {last}" if last == circuit.out else f"it ends at {last}"
    keys = frozenset([f"circuit {circuit.id}", f"port {circuit.out}"])
    return [circuit.out], Stop(f"{circuit.id} does not come to {desks[0]}: {where}", circuit.at.spot("out"), keys)


def link_of(ask: Ask, comms: Comms, station: Station) -> tuple[Stop | None, frozenset[str]]:
    """Return why a station cannot meet its base, if so, and what it needs to."""
    graph, device = comms.graph, station.device
    if device is None or device not in ask.model.devices:
        return None, frozenset()
    base = base_of(ask, station)
    if base is None:
        return None, graph.needed(device)
    partner = device
    if not ask(network).end_ports(device):
        if len(comms.access_points) != 1 or ask.model.kind_of(device).role != "belt-pack":
            return None, graph.needed(device, base)
        partner = comms.access_points[0]
    journey = ask(network).meeting(partner, base)
    needs = graph.needed(device, partner, base) | journey_keys(graph, journey)
    if journey.arrives:
        return None, needs
    why = journey.stop
    stop = Stop(why.words, why.spot, why.keys) if why else Stop(f"{partner} cannot meet {base}")
    return stop, needs


def base_of(ask: Ask, station: Station) -> str | None:
    """Return the intercom base a station works with: that of a circuit it names, or the only one of the show."""
    circuits = ask.model.circuits
    for name in (*station.keys, *station.listen, *station.talk):
        if name in circuits:
            return circuits[name].device
    known = ask(bases)
    return known[0] if len(known) == 1 else None


def bases(ask: Ask) -> tuple[str, ...]:
    """Return the devices that serve intercom stations."""
    return tuple(name for name in ask.model.devices if ask.model.kind_of(name).role in BASES)
