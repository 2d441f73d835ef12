"""What each line, feed, station and interrupt needs to work: sets of items are bits of whole numbers, by what they need."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import bits
from tailboard.answers.paths import Chain, chains, simple_ways
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_comms import joined_at
from tailboard.answers.signal_edges import Edge, onward, trail
from tailboard.model.records import Feed
from tailboard.model.show import Model, device_of, jack_of

NONE: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Needs:
    """Everything that may be lost, and what it needs.

    items  'line 5', 'feed FD1', 'station S-DIR', and 'talk CW-1 to FD1': who interrupts a feed, still heard in it when
           its mix is gone. Bit n of a set stands for `items[n]`.
    of     item: the keys it needs: 'device SB-1', 'cable C-01', 'port SW-B/1', 'stream ST-1', 'hole SB-1/5'.
    """

    items: tuple[str, ...]
    of: dict[str, frozenset[str]]

    @cached_property
    def by_key(self) -> dict[str, int]:
        """The set of items that need a key."""
        found: dict[str, int] = {}
        alike: dict[frozenset[str], int] = {}
        for number, name in enumerate(self.items):
            alike[self.of[name]] = alike.get(self.of[name], 0) | 1 << number
        for keys, mask in alike.items():
            for key in keys:
                found[key] = found.get(key, 0) | mask
        return found

    @cached_property
    def bit(self) -> dict[str, int]:
        """The set of one item alone, by its name."""
        return {name: 1 << number for number, name in enumerate(self.items)}

    def names(self, mask: int, word: str) -> tuple[str, ...]:
        """Return the names of one sort in a set: 'line', 'feed', 'station' or 'talk'."""
        found = (self.items[number].partition(" ") for number in bits(mask))
        return tuple(name for sort, _, name in found if sort == word)


def needs(ask: Ask) -> Needs:
    """Return what each line, feed, station and interrupt needs."""
    graph, found = ask(signal), ask(chains)
    of: dict[str, frozenset[str]] = {}
    for name, line in ask.model.lines.items():
        holes = [f"hole {port}" for port in (line.hole, line.gear) if port and jack_of(port)]
        cable = [f"cable {line.cable}"] if line.cable else []
        of[f"line {name}"] = found.of_line[name].depends.union(holes, cable, [f"line {name}"])
    for name, feed in ask.model.feeds.items():
        holes = [f"hole {port}" for port in (*feed.outputs, *feed.gear) if jack_of(port)]
        cable = [f"cable {feed.cable}"] if feed.cable else []
        gear = [f"device {device_of(port)}" for port in feed.gear]
        depends = common_needs(graph, name) if name in graph.straight else found.of_feed[name].depends
        of[f"feed {name}"] = depends.union(holes, cable, gear, [f"feed {name}"], insert_needs(ask.model, feed))
    of.update(station_needs(graph, of))
    for feed in ask.model.feeds.values():
        if feed.interrupts or feed.via:
            of.update(talk_needs(graph, feed, found.of_feed[feed.id], of))
    return Needs(tuple(of), of)


def insert_needs(model: Model, feed: Feed) -> frozenset[str]:
    """Return the inserts that everything in a feed goes through: those of a bus that alone makes it."""
    inserts = [frozenset(model.buses[name].inserts) if name in model.buses else NONE for name in feed.mix]
    return frozenset(f"device {device}" for device in NONE.union(*inserts).intersection(*inserts))


def common_needs(graph: Signal, feed: str) -> frozenset[str]:
    """Return what all the lines need on their way into a feed past every desk: such a feed is lost when all of them are."""
    ear = f"ear {feed}"
    holes = dict.fromkeys(edge.start for edge in graph.into.get(f"feed {feed}", ()))
    ways = (next(simple_ways(graph, hole, ear), None) for hole in holes)
    found = [depends_of(way) for way in ways if way is not None]
    return found[0].intersection(*found[1:]) if found else NONE


def station_needs(graph: Signal, of: dict[str, frozenset[str]]) -> Iterator[tuple[str, frozenset[str]]]:
    """Yield each station with what it needs: its own link, or the line and the feed that stand for a panel."""
    for name, station in graph.model.stations.items():
        edges = (*graph.out.get(f"station {name}", ()), *graph.into.get(f"ear {name}", ()))
        own = next((edge.depends for edge in edges if edge.record is station), NONE)
        by = [of.get(f"line {station.line}", NONE), of.get(f"feed {station.feed}", NONE)]
        yield f"station {name}", own.union(*by, [f"device {station.device}"] if station.device else [])


def talk_needs(
    graph: Signal, feed: Feed, chain: Chain, of: dict[str, frozenset[str]]
) -> Iterator[tuple[str, frozenset[str]]]:
    """Yield each way by which somebody interrupts a feed: his own link, and the way from where he joins it to the ear."""
    ear = f"ear {feed.id}"
    joined = dict.fromkeys([joined_at(feed), f"feed {feed.id}"])
    for join in joined:
        came = onward([join], lambda node: graph.out.get(node, ()))
        if ear not in came:
            continue
        after = depends_of(trail(came, ear))
        for edge in graph.into.get(join, ()):
            if edge.step in {"interrupt", "talk"} and not edge.start.startswith("feed "):
                who, before = speaker(graph.model, edge, graph, of)
                desk = frozenset(key for key in chain.depends if key == f"device {feed.via}")
                yield f"talk {who} to {feed.id}", before | edge.depends | after | desk | {f"feed {feed.id}"}


def speaker(model: Model, edge: Edge, graph: Signal, of: dict[str, frozenset[str]]) -> tuple[str, frozenset[str]]:
    """Return who interrupts by a step, a station or a circuit, and what his way to it needs."""
    sort, _, name = edge.start.partition(" ")
    if sort == "station":
        return name, of.get(f"station {name}", NONE)
    if sort == "channel" or edge.step == "talk":
        circuit = model.circuits.get(name)
        return name or edge.start, frozenset([f"device {circuit.device}"] if circuit else [])
    said = edge.words.partition(" interrupts ")[0]
    channel = f"channel {said}"
    came = onward([channel], lambda node: graph.out.get(node, ()))
    return said, depends_of(trail(came, edge.start)) if edge.start in came else NONE


def depends_of(steps: tuple[Edge, ...]) -> frozenset[str]:
    """Return everything that some steps need."""
    return NONE.union(*(edge.depends for edge in steps))
