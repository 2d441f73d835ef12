"""The parts of the signal graph: points by name, edges with what they rest on, and where a signal stops."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from tailboard.answers.network import Hop, Journey
from tailboard.findings import NOWHERE, Because, Spot
from tailboard.kinds.records import Kind
from tailboard.model.show import Model, device_of, jack_of
from tailboard.text.fields import Record

EXAMPLE = "example value"  # how the figures of a kind begin that come from no data sheet


@dataclass(frozen=True, slots=True)
class Stop:
    """Where a signal gets no further.

    words  why, in one clause; spot: the text to edit; keys: what the way rests on and did not get.
    lacks  the column that is empty, where nothing is wrong but something is not written.
    """

    words: str
    spot: Spot = NOWHERE
    keys: frozenset[str] = frozenset()
    lacks: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A delay and where it comes from.

    least_s, worst_s  [s]; None where it is not known.
    words             'link offset of CON-1'; what is missing where it is not known.
    kind              assumption key where the figure is an example value, else empty.
    """

    least_s: float | None
    worst_s: float | None
    words: str = ""
    kind: str = ""


NO_DELAY = Figure(0.0, 0.0)


class Edge(NamedTuple):
    """One step of a signal from point to point. A graph holds many: a tuple is made four times as fast as a data class.

    step       source, plug (as a row says, where no cable is written), cable, inside, desk, return, stream, patch, mix, output, gear, talk, listen or interrupt.
    words      what carries it, in the user's names.
    record, attribute  where the user wrote it.
    depends    keys of what it needs: 'device SB-1', 'cable C-01', 'port SW-B/1', 'stream ST-1', 'supply HALL'.
    gain_db    where a gain is set, else None.
    stop       why it does not work, though it is planned.
    keyed      only while somebody presses a key.
    unless     assumption key: the edge exists unless that is a fact ('HD-1 excludes').
    not_from   the one point whose own signal it does not carry: nobody gets himself back from a party line.
    hops       the cables a stream crosses.
    """

    start: str
    end: str
    step: str
    words: str
    record: Record
    attribute: str
    depends: frozenset[str] = frozenset()
    delay: Figure = NO_DELAY
    gain_db: float | None = None
    stop: Stop | None = None
    keyed: bool = False
    unless: str = ""
    not_from: str = ""
    hops: tuple[Hop, ...] = ()

    @property
    def spot(self) -> Spot:
        """Where the user wrote it."""
        return self.record.at.spot(self.attribute)

    @property
    def because(self) -> Because:
        """The step as evidence."""
        return Because(self.spot, f"{self.start} - {self.end}: {self.words}")


@dataclass(slots=True)
class Graph:
    """Points and edges. `device_of` tells the device of a point that is on one."""

    model: Model
    out: dict[str, list[Edge]] = field(default_factory=dict)
    into: dict[str, list[Edge]] = field(default_factory=dict)
    device_of: dict[str, str] = field(default_factory=dict)
    needs: dict[str, frozenset[str]] = field(default_factory=dict)

    def add(self, edge: Edge) -> None:
        """Add an edge."""
        for edges, node in ((self.out, edge.start), (self.into, edge.end)):
            found = edges.get(node)
            if found is None:
                edges[node] = [edge]  # most points have one; a list that grows takes more room
            else:
                found.append(edge)

    def point(self, device: str, name: str) -> str:
        """Return the point of a jack or channel of a device: `SB-1/5`, `SB-1 send 5`."""
        node = point(device, name)
        self.device_of[node] = device
        return node

    def needed(self, *devices: str) -> frozenset[str]:
        """Return the keys of devices and their supplies."""
        found: frozenset[str] = frozenset()
        for device in devices:
            if device not in self.needs:
                supply = self.model.supply_of(device)
                record = self.model.devices.get(device)
                alone = record is not None and record.second_supply in (None, supply)
                keys = [f"device {device}", f"supply {supply}"] if supply and alone else [f"device {device}"]
                self.needs[device] = frozenset(keys if record is not None else [])
            found = found | self.needs[device] if found else self.needs[device]
        return found

    def copy(self) -> Graph:
        """Return a graph that can be added to."""
        out = {node: list(edges) for node, edges in self.out.items()}
        into = {node: list(edges) for node, edges in self.into.items()}
        return Graph(self.model, out, into, dict(self.device_of), self.needs)


def point(device: str, name: str) -> str:
    """Return the name of a jack or channel of a device."""
    return f"{device} {name}" if name.startswith(("send ", "receive ", "strip ", "any ")) else f"{device}/{name}"


def channel_point(model: Model, device: str, name: str, way: str) -> str:
    """Return the point of a network channel, `way` being send or receive.

    A channel that bears the name of a jack is that jack: `o9`, or `3` where that is a digital input without a path.
    """
    kind = model.kind_of(device)
    port = (kind.ports or {}).get(name)
    joined = way == "receive" and port is not None and port.medium == "digital" and port.way == "in"
    if port is not None and (not name.isdigit() or (joined and f"receive {name}" not in (kind.paths or {}))):
        return point(device, name)
    return point(device, f"{way} {name}")


def end_point(model: Model, port: str) -> str:
    """Return the point of a destination that is no strip."""
    device, jack = device_of(port), jack_of(port)
    if not jack:
        return point(device, "any input")
    return port if jack in (model.kind_of(device).ports or {}) else channel_point(model, device, jack, "receive")


FIXED = frozenset({"source", "plug", "cable", "inside", "stream", "patch", "output", "gear"})


def onward(
    starts: Iterable[str], out: Callable[[str], Iterable[Edge]], steps: frozenset[str] = FIXED
) -> dict[str, Edge | None]:
    """Return every point that a signal reaches from some points, each with the edge it came by, nearest first."""
    came: dict[str, Edge | None] = dict.fromkeys(starts)
    queue = deque(came)
    while queue:
        for edge in out(queue.popleft()):
            if edge.step in steps and edge.end not in came:
                came[edge.end] = edge
                queue.append(edge.end)
    return came


def downstream(
    out: Mapping[str, Sequence[Edge]], starts: Iterable[str], steps: frozenset[str] = FIXED
) -> dict[str, Edge | None]:
    """Return what `onward` does by every edge of a graph, in less time."""
    came: dict[str, Edge | None] = dict.fromkeys(starts)
    queue = list(came)
    for node in queue:  # it grows on the way
        for edge in out.get(node, ()):
            if edge.end not in came and edge.step in steps:
                came[edge.end] = edge
                queue.append(edge.end)
    return came


def trail(came: dict[str, Edge | None], end: str) -> tuple[Edge, ...]:
    """Return the edges by which a point was reached."""
    found: list[Edge] = []
    edge = came[end]
    while edge is not None:
        found.append(edge)
        edge = came[edge.start]
    return tuple(reversed(found))


def journey_keys(graph: Graph, journey: Journey) -> frozenset[str]:
    """Return the keys of every cable, port and switch that a journey crosses."""
    found: set[str] = set()
    for hop in journey.hops:
        found |= {f"cable {hop.cable}", f"port {hop.port_out}", f"port {hop.port_in}"}
        found |= graph.needed(device_of(hop.port_out), device_of(hop.port_in))
    return frozenset(found)


def insert_delay(model: Model, device: str) -> Figure:
    """Return the delay of a device that something goes through as an insert, from its input to its output."""
    kind = model.kind_of(device)
    return Figure(kind.process_delay_s, kind.process_delay_s, f"insert processing of kind {kind.id}", example(kind))


def example(kind: Kind) -> str:
    """Return the assumption key of a kind whose figures are example values; else empty."""
    return f"kind {kind.id}" if kind.figures.startswith(EXAMPLE) else ""
