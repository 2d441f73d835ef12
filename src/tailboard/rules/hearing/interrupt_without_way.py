"""A feed is to be interrupted by a circuit that does not come to its desk.

What it finds: a circuit under `interrupt` of a feed whose port has no cable to the console that makes the feed, or none
to a desk that passes it on; a station or person, without a key to a circuit, of an intercom matrix that the feed neither
is made by nor passes, or of a base with circuits (where none is written the claim is open); a name there that is no
circuit, station or person.
Why it matters: the director presses the key and talks to nobody.
Example: CW-1 interrupts FD1, and cable L-04 from ICM-1/4W1out to CON-1 is not written.
Fix: cable the circuit's port to an input of the desk, write the matrix under `via`, or correct the name.
Does not find: a key that nobody has; see listener-misses-source.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.mixing import desk_of
from tailboard.answers.signal import Signal
from tailboard.answers.signal_comms import base_of, joined_at
from tailboard.answers.signal_ears import Listening, listenings
from tailboard.answers.signal_edges import Edge, Stop
from tailboard.answers.wanted import stations_of_people
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.hearing.common import feed_names
from tailboard.text.nearmiss import nearest
from tailboard.units.wording import listed

Ways = dict[tuple[str, str], list[Edge]]  # feed and name: the steps by which it interrupts
RULE = Rule("interrupt-without-way", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that something interrupts, legs of one feed together."""
    model = ask.model
    if not (model.circuits or model.stations):
        return
    graph, people = ask(hearing).graph, stations_of_people(model)
    edges = [edge for found in graph.out.values() for edge in found if edge.step == "interrupt"]
    ways: dict[tuple[str, str], list[Edge]] = {}
    for edge in edges:
        ways.setdefault((edge.record.id, edge.words.partition(" interrupts ")[0]), []).append(edge)
    for group in ask(listenings):
        record, ids = group.first, feed_names(group)
        if not record.interrupts:
            continue
        says = f"{listed(record.interrupts)} can interrupt {ids}"
        stops = [
            (name, stop) for name in record.interrupts if (stop := why_not(ask, group, name, people, ways)) is not None
        ]
        if not stops:
            yield RULE.holds(group.ids, says)
            continue
        name, stop = stops[0]
        circuits = {circuit.device for circuit in model.circuits.values()}
        if stop.lacks and stop.lacks not in circuits and not model.kind_of(stop.lacks).mixes:
            fix = f"write the circuit by which {name} comes to the desk of {group.ids[0]}, and interrupt it by that"
            yield RULE.open(group.ids, says, spot=stop.spot, missing=f"{stop.words}; no circuit is written", fix=fix)
            continue
        yield RULE.broken(
            group.ids,
            says,
            spot=record.at.spot("interrupts"),
            message=f"{listed([other for other, _ in stops])} cannot interrupt {ids}: {stop.words}",
            because=[Because(stop.spot, stop.words)] if stop.spot.file else [],
            fix=mending(model, group.ids[0], name, stop),
            rests_on=stop.keys,
            feeds=group.ids,
        )


def mending(model: Model, feed: str, name: str, stop: Stop) -> str:
    """Return the repair of an interrupt that does not come to its feed."""
    circuit = model.circuits.get(name)
    if circuit is not None:
        return f"cable {circuit.out or f'a port of {circuit.device}'} to an input of the desk that makes {feed}"
    if stop.lacks:
        return f"write {stop.lacks} under via of {feed} and lead the feed there and back, or interrupt it by a circuit"
    if stop.spot.file:
        return f"write the streams that lead {feed} there and back"
    return f"write a circuit, station or person instead of '{name}'"


def why_not(ask: Ask, group: Listening, name: str, people: dict[str, tuple[str, ...]], ways: Ways) -> Stop | None:
    """Return why a circuit, station or person cannot interrupt a feed; None where it can."""
    model = ask.model
    if name in model.circuits:
        edges = ways.get((group.ids[0], name), [])
        return next((edge.stop for edge in edges), None) if all(edge.stop for edge in edges) else None
    if name in model.stations or name in people:
        stations = (name,) if name in model.stations else people[name]
        return not_passed(ask(hearing).graph, group) or past_base(ask, group, stations)
    near = nearest(name, known_names(model, people))
    return Stop(f"there is no circuit, station or person '{name}'{f'; did you mean {near}?' if near else ''}")


def not_passed(graph: Signal, group: Listening) -> Stop | None:
    """Return why a feed does not pass the matrix that is written for it; None where it does, or none is written."""
    record = group.first
    node = joined_at(record)
    if " at " not in node or (graph.into.get(node) and graph.out.get(node)):
        return None
    return Stop(
        f"no stream leads {record.id} through {record.via}", record.at.spot("via"), frozenset([f"feed {record.id}"])
    )


def past_base(ask: Ask, group: Listening, stations: tuple[str, ...]) -> Stop | None:
    """Return why stations cannot interrupt a feed that their base neither makes nor passes; None where one of them can."""
    record = group.first
    desk = desk_of(ask.model, record)
    lost = [outside_base(ask, name, {desk, record.via or ""}) for name in stations]
    if desk not in ask.model.devices or not all(lost):
        return None
    belong = "belongs" if len(stations) == 1 else "belong"
    words = f"{record.id} is made by {desk} and does not pass {lost[0]}, to which {' and '.join(stations)} {belong}"
    return Stop(words, record.at.spot("via"), lacks=lost[0])


def outside_base(ask: Ask, name: str, desks: set[str]) -> str:
    """Return the base of a station where it is none of some desks and the station has no circuit to them; else empty."""
    model, station = ask.model, ask.model.stations[name]
    if station.device not in model.devices or any(key in model.circuits for key in (*station.keys, *station.talk)):
        return ""
    base = base_of(ask, station) or ""
    return "" if base in desks else base


def known_names(model: Model, people: dict[str, tuple[str, ...]]) -> list[str]:
    """Return the names that may interrupt a feed."""
    return [*model.circuits, *model.stations, *people]
