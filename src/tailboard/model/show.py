"""The model of one show: every record by its name, as read, frozen."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from tailboard.findings import Spot
from tailboard.kinds.library import UNKNOWN_KIND, Library
from tailboard.kinds.records import CableKind, Kind, Optic, PortKind, SourceKind
from tailboard.model.acts import ActPlan
from tailboard.model.records import (
    Accepted,
    Bus,
    Cable,
    Circuit,
    Confirmed,
    Device,
    Feed,
    FoundAnswer,
    FoundHouse,
    FoundLabel,
    FoundPort,
    Heading,
    Hearing,
    Line,
    LineSet,
    Place,
    Requirement,
    Station,
    Stream,
    Supply,
    SwitchPort,
    Vlan,
)  # fmt: skip
from tailboard.text.fields import Derived


@dataclass(frozen=True)
class Found:
    """What other documents and devices say. It is compared with the plan, never merged into it."""

    ports: dict[str, FoundPort] = field(default_factory=dict)
    labels: dict[str, FoundLabel] = field(default_factory=dict)
    houses: dict[str, FoundHouse] = field(default_factory=dict)
    answers: dict[str, FoundAnswer] = field(default_factory=dict)


@dataclass(frozen=True)
class Model:
    """Rig and show joined, each table by the user's own names, in the order written."""

    heading: Heading
    library: Library
    supplies: dict[str, Supply] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    vlans: dict[str, Vlan] = field(default_factory=dict)
    devices: dict[str, Device] = field(default_factory=dict)
    ports: dict[str, SwitchPort] = field(default_factory=dict)
    cables: dict[str, Cable] = field(default_factory=dict)
    streams: dict[str, Stream] = field(default_factory=dict)
    circuits: dict[str, Circuit] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    buses: dict[str, Bus] = field(default_factory=dict)
    sets: dict[str, LineSet] = field(default_factory=dict)
    feeds: dict[str, Feed] = field(default_factory=dict)
    stations: dict[str, Station] = field(default_factory=dict)
    hearing: dict[str, Hearing] = field(default_factory=dict)
    requirements: dict[str, Requirement] = field(default_factory=dict)
    accepted: dict[str, Accepted] = field(default_factory=dict)
    confirmed: dict[str, Confirmed] = field(default_factory=dict)
    found: Found = field(default_factory=Found)
    acts: dict[str, ActPlan] = field(default_factory=dict)

    def changed(self, **parts: Any) -> Model:
        """Return a model with some parts changed."""
        return replace(self, **parts)

    def in_act(self, name: str) -> Model:
        """Return the model as it is in one act."""
        act = self.acts[name]
        return self.changed(lines=act.lines, feeds=act.feeds, acts={})

    def kind_of(self, device: str) -> Kind:
        """Return the kind of a device; for an unknown device or kind a kind without figures that takes any jack."""
        return self.kinds.get(device, UNKNOWN_KIND)

    @cached_property
    def kinds(self) -> dict[str, Kind]:
        """The kind of each device whose kind is known."""
        known = self.library.kinds
        return {name: known[device.kind] for name, device in self.devices.items() if device.kind in known}

    def port_kind(self, port: str) -> PortKind | None:
        """Return the kind of the jack or port DEVICE/PORT; None where the kind lists no such port."""
        device, _, name = port.partition("/")
        return (self.kind_of(device).ports or {}).get(name)

    def cable_kind(self, cable: str) -> CableKind | None:
        """Return the kind of a cable."""
        return self.library.cables.get(self.cables[cable].kind)

    def source_kind(self, line: str) -> SourceKind | None:
        """Return the kind of a line's source, if it is written and known."""
        kind = self.lines[line].type
        return None if kind is None else self.library.sources.get(kind)

    def optic_of(self, port: str) -> Optic | None:
        """Return the optical module in a port's cage."""
        config = self.ports.get(port)
        return self.library.optics.get(config.optic) if config and config.optic else None

    def place_of(self, device: str) -> str | None:
        """Return the place of a device."""
        record = self.devices.get(device)
        return None if record is None else record.place

    def supply_of(self, device: str) -> str | None:
        """Return the supply a device is on: its own entry, or that of its place."""
        record = self.devices.get(device)
        if record is None or record.supply:
            return None if record is None else record.supply
        place = self.places.get(record.place or "")
        return place.supply if place else None

    @cached_property
    def vlan_of_number(self) -> dict[str, str]:
        """VLAN names by number and by name, as documents write either."""
        by_number = {str(vlan.number): name for name, vlan in self.vlans.items()}
        return {**by_number, **{name: name for name in self.vlans}}

    @cached_property
    def bus_heads(self) -> dict[str, tuple[str | None, str]]:
        """The desk and the width of each bus: what of it matters to whoever does not ask what is in it."""
        return {name: (bus.device, bus.width) for name, bus in self.buses.items()}

    @cached_property
    def consoles(self) -> tuple[str, ...]:
        """The devices that mix lines into buses."""
        return tuple(name for name in self.devices if self.kind_of(name).role == "console")

    @cached_property
    def switches(self) -> tuple[str, ...]:
        """The devices that are switches (media converters and access points are not)."""
        return tuple(name for name in self.devices if self.kind_of(name).role == "switch")

    @cached_property
    def settled(self) -> frozenset[str]:
        """The assumptions that confirmed facts and signed answers settle; an answer that says no unsettles them."""
        facts = {name for fact in self.confirmed.values() for name in fact.settles}
        for name, answer in self.found.answers.items():
            if answer.as_planned is False:
                facts.discard(name)
            elif answer.as_planned and answer.by and answer.on:
                facts.add(name)
        return frozenset(facts)


def device_of(port: str) -> str:
    """Return the device of DEVICE/PORT."""
    return port.partition("/")[0]


def jack_of(port: str) -> str:
    """Return the jack or port name of DEVICE/PORT; empty for a device alone."""
    return port.partition("/")[2]


def empty_heading() -> Heading:
    """Return the head of a show that has no show.yaml."""
    return Heading(id="show", at=Derived("there is no show.yaml", Spot("show.yaml")))
