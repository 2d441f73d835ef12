"""If this dies, do this: the reserves that take over and what to plug, each step in one sentence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.faults import Faults, faults
from tailboard.answers.faults_spares import (
    free_jacks,
    free_ports,
    idle_devices,
    set_like,
    shared_ways,
    spare_cables,
)
from tailboard.answers.network import network
from tailboard.answers.wiring import wiring
from tailboard.model.records import Line
from tailboard.text.ranges import compress
from tailboard.units.wording import listed


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, in a sentence; `short` fits a table, empty where the step only says what is no help."""

    do: str
    short: str = ""


def steps(ask: Ask, thing: str) -> list[Step]:
    """Return what to do when a thing fails, the quickest first."""
    found = ask(faults)
    lost = found.lost(thing)
    listing = [
        *reserve_steps(ask, found, lost),
        *cable_steps(ask, found, thing),
        *plug_steps(ask, thing),
        *station_steps(ask, found, lost),
    ]
    return sorted(listing, key=lambda step: not step.short)


def called(line: Line) -> str:
    """Return a line by number and label: '7 LECT'."""
    return f"{line.id} {line.label}".strip()


def reserve_steps(ask: Ask, found: Faults, lost: int) -> Iterator[Step]:
    """Yield the reserves of lost lines that go on, and say which reserves are lost too."""
    lines, bit = ask.model.lines, found.needs.bit
    gone: dict[str, list[str]] = {}
    for name in found.needs.names(lost, "line"):
        reserves = [other for other in lines[name].reserve if other in lines]
        left = [other for other in reserves if not lost & bit[f"line {other}"]]
        for other in (other for other in reserves if other not in left):
            gone.setdefault(other, []).append(name)
        for other in left[:1]:
            where = listed([*lines[other].strips, *lines[other].goes_to])
            at = f", {where}" if where else ""
            yield Step(f"take line {called(lines[other])} for line {called(lines[name])}{at}", f"{other} for {name}")
    if gone:
        pairs = [f"{other} (of {compress(names)})" for other, names in gone.items()]
        verb = "reserve is" if len(pairs) == 1 else "reserves are"
        yield Step(f"no help: the {verb} lost too: {listed(pairs, 6)}")


def cable_steps(ask: Ask, found: Faults, thing: str) -> Iterator[Step]:
    """Yield the spare cables for the cables that fail, with what to do at the ports, and those that fail with them."""
    if thing.startswith(("place ", "supply ", "breaker ", "device ")):
        return
    model, keys = ask.model, found.things.takes.get(thing, frozenset([thing]))
    cables = {key.removeprefix("cable ") for key in keys if key.startswith("cable ")}
    if thing.startswith("port "):
        cables = set(ask(network).ports.at.get(thing.removeprefix("port "), ()))
    for spare in ask(spare_cables).values():
        mains = [name for name in spare.beside if name in cables]
        if not mains:
            continue
        if f"cable {spare.cable}" in keys:
            yield Step(f"no help: the spare {spare.cable} of {listed(mains)} is on {thing} too")
            continue
        ends = [end for end in ask(wiring).ends[spare.cable] if end]
        shut = [end for end in ends if (port := model.ports.get(end)) is not None and port.shut]
        after = f", open {listed(shut)} (shut now)" if shut else ""
        both = shared_ways(model, spare.cable, mains[0])
        doubt = f"; it shares {listed(both)}, so look first whether it is whole" if both else ""
        yield Step(f"plug {spare.cable} ({' - '.join(ends)}) for {listed(mains)}{after}{doubt}", f"plug {spare.cable}")


def plug_steps(ask: Ask, thing: str) -> Iterator[Step]:
    """Yield the device, port or jack to use instead of one that fails."""
    sort, _, name = thing.partition(" ")
    if sort == "device":
        idle = idle_devices(ask, name) if name in ask.model.devices else ()
        if idle:
            yield Step(f"put {idle[0]} in its place: the same kind, not in use", f"{idle[0]} in its place")
    elif sort == "hole":
        free = free_jacks(ask, name)
        if free:
            jacks = compress([jack.partition("/")[2] for jack in free])
            yield Step(f"plug into {free[0]} instead (free: {jacks}), and patch it so", f"plug into {free[0]}")
    elif sort == "port":
        free = free_ports(ask, name)
        cables = listed(ask(network).ports.at.get(name, ()))
        for port in free[:1]:
            alike = set_like(ask, port) == set_like(ask, name)
            how = "it is set alike" if alike else f"set it as {name} first" + shut_words(ask, port)
            yield Step(f"move {cables} from {name} to {port}; {how}", f"move to {port}")


def shut_words(ask: Ask, port: str) -> str:
    """Return that a port is shut, where it is."""
    planned = ask.model.ports.get(port)
    return ", it is shut now" if planned is not None and planned.shut else ""


def station_steps(ask: Ask, found: Faults, lost: int) -> Iterator[Step]:
    """Yield the stations that go on at a place where others are lost, with the same party lines."""
    stations, bit = ask.model.stations, found.needs.bit
    by_station: dict[str, list[str]] = {}
    for name in found.needs.names(lost, "station"):
        own = stations[name]
        if own.device is None:
            continue  # it talks by a line and hears by a feed: the person may be far from any panel
        for other, station in stations.items():
            same = station.place == own.place and own.talk and set(own.talk) <= set(station.talk)
            if same and not lost & bit[f"station {other}"]:
                by_station.setdefault(other, []).append(name)
                break
    for other, names in by_station.items():
        person = f" ({stations[other].person})" if stations[other].person else ""
        words = compress(names)
        yield Step(f"talk by {other}{person} at {stations[other].place} for {words}", f"{other} for {words}")
