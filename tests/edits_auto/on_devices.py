"""Edits of devices, supplies and clocks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from edits_auto.edit import Case, Change, change, drop, makes
from tailboard.model.records import Clock

Made = Iterator[tuple[str, list[Change], list[str]]]


@makes("move a device to a place on another supply", "power")
def other_supply(case: Case) -> Made:
    places = list(case.model.places)
    for name, device in case.model.devices.items():
        if device.place is None:
            continue
        own = earth(case, device.place)
        other = next((place for place in places if earth(case, place) not in {own, None}), None)
        if other is not None:
            yield f"{name} to {other}", [change("devices", name, place=other)], [name]


def earth(case: Case, place: str) -> str | None:
    """Return the earth of a place."""
    supply = case.model.places[place].supply
    return case.model.supplies[supply].earth if supply else None


@makes("forget where a device stands", "chain power noted")
def no_place(case: Case) -> Made:
    for name, device in case.model.devices.items():
        if device.place:
            yield name, [change("devices", name, place=None)], [name]


@makes("drop a device", "reading chain network clock")
def device_gone(case: Case) -> Made:
    for name in case.model.devices:
        cables = [cable for cable in case.model.cables if name in case.ends(cable)]
        yield name, [drop("devices", name)], [name, *cables, *domain_of(case, name)]


@makes("forget the supply of a place", "noted")
def no_supply(case: Case) -> Made:
    for name, place in case.model.places.items():
        standing = [device for device in case.model.devices if case.model.devices[device].place == name]
        if place.supply:
            yield name, [change("places", name, supply=None)], [name, *standing]


@makes("put a supply on another earth", "power")
def other_earth(case: Case) -> Made:
    for name in case.model.supplies:
        yield name, [change("supplies", name, earth="E9")], ["E9", name]


@makes("put too much on a breaker", "power")
def breaker(case: Case) -> Made:
    for name, supply in case.model.supplies.items():
        on = [device for device in case.model.devices if case.model.supply_of(device) == name]
        loads = [device for device in on if (case.model.devices[device].load_w or case.model.kind_of(device).load_w)]
        if len(loads) > 1:
            moves = [change("devices", device, breaker="B1") for device in loads]
            small = {**(supply.breaker_w or {}), "B1": 20.0}
            yield name, [change("supplies", name, breaker_w=small), *moves], [name, "B1"]


def domain_of(case: Case, name: str) -> list[str]:
    """Return how the clock domain of a device is called in a finding on its island."""
    settings = case.model.devices[name].clock
    return [f"domain {settings.domain}"] if settings else []


def clocks(case: Case) -> Iterator[tuple[str, Clock]]:
    """Yield the devices with a clock of ours."""
    for name, device in case.model.devices.items():
        if device.clock:
            yield name, device.clock


def clock(name: str, settings: Clock, **values: Any) -> list[Change]:
    """Return the clock of a device set otherwise."""
    return [change("devices", name, clock=replace(settings, **values))]


@makes("change a clock domain", "clock")
def domain(case: Case) -> Made:
    for name, settings in clocks(case):
        yield name, clock(name, settings, domain=settings.domain + 1), [name, *domain_of(case, name)]


@makes("change a sample rate", "clock")
def rate(case: Case) -> Made:
    for name, settings in clocks(case):
        yield name, clock(name, settings, rate_hz=96_000.0), [name]


@makes("let a clock win that should not", "clock")
def wins(case: Case) -> Made:
    for name, settings in clocks(case):
        if settings.role == "second":
            yield name, clock(name, settings, priority1=1), [name]


@makes("let a leader lose", "clock")
def loses(case: Case) -> Made:
    for name, settings in clocks(case):
        if settings.role == "leader":
            yield name, clock(name, settings, priority1=250), [name]


@makes("set two clocks alike", "clock")
def alike(case: Case) -> Made:
    led: dict[int, tuple[str, Clock]] = {}
    for name, settings in clocks(case):
        if settings.role == "leader":
            led[settings.domain] = (name, settings)
    for name, settings in clocks(case):
        if settings.role == "second":
            other, first = led[settings.domain]
            yield name, clock(name, settings, priority1=first.priority1), [name, other]


@makes("drop a clock's role", "clock noted")
def no_role(case: Case) -> Made:
    for name, settings in clocks(case):
        yield name, clock(name, settings, role=None), [name]


@makes("forget a clock's settings", "clock noted")
def no_clock(case: Case) -> Made:
    for name, _ in clocks(case):
        yield name, [change("devices", name, clock=None)], [name, *domain_of(case, name)]


@makes("plan two leaders", "clock")
def two_leaders(case: Case) -> Made:
    for name, settings in clocks(case):
        if settings.role != "leader":
            yield name, clock(name, settings, role="leader"), [name]


@makes("plan no second choice", "clock")
def no_second(case: Case) -> Made:
    for name, settings in clocks(case):
        if settings.role == "second":
            yield name, clock(name, settings, role="follower only", priority1=None), [name]


@makes("plan a follower that leads", "clock")
def leader_follows(case: Case) -> Made:
    for name, settings in clocks(case):
        if settings.role == "leader":
            yield name, clock(name, settings, role="follower only"), [name]


@makes("follow another domain at one port", "clock")
def domain_by_port(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for port, number in (device.domain_by_port or {}).items():
            yield f"{name}/{port}", [change("devices", name, domain_by_port={port: number + 5})], [name]


@makes("set a link offset shorter than the packet time", "delay")
def offset(case: Case) -> Made:
    for name, device in case.model.devices.items():
        if device.link_offset_s:
            yield name, [change("devices", name, link_offset_s=0.0001)], [name]


@makes("drop what an outside desk excludes", "hearing delay noted")
def excludes(case: Case) -> Made:
    for name, device in case.model.devices.items():
        for output in device.excludes or {}:
            left = {other: inputs for other, inputs in (device.excludes or {}).items() if other != output}
            yield f"{output} of {name}", [change("devices", name, excludes=left)], [name, f"{name}/{output}"]
