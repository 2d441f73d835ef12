"""Copper between devices: the supply and the earth at both ends, and how a cable ties them together."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.model.records import Cable
from tailboard.model.show import Model, device_of
from tailboard.physics.earth import Way, way_of


@dataclass(frozen=True, slots=True)
class Copper:
    """A cable of copper from one device to another.

    devices, supplies, earths  at its two ends; a supply that is not written, and its earth, are None.
    """

    cable: str
    record: Cable
    ports: tuple[str, str]
    devices: tuple[str, str]
    supplies: tuple[str | None, str | None]
    earths: tuple[str | None, str | None]
    way: Way

    @property
    def crosses(self) -> bool:
        """Whether its ends stand on two earths."""
        return None not in self.earths and self.earths[0] != self.earths[1]

    @property
    def is_known(self) -> bool:
        """Whether the earths of both ends are written."""
        return None not in self.earths


def copper(ask: Ask) -> tuple[Copper, ...]:
    """Return every cable of copper between two devices. A microphone at the end of its cable floats: it has no earth."""
    model, found = ask.model, []
    for name, (end_a, end_b) in ask(wiring).ends.items():
        kind = model.cable_kind(name)
        if kind is None or kind.medium == "fibre" or end_a is None or end_b is None:
            continue
        devices = device_of(end_a), device_of(end_b)
        if devices[0] == devices[1] or not all(device in model.devices for device in devices):
            continue
        record = model.cables[name]
        screened = kind.screened if record.screened is None else record.screened
        way = way_of(kind.medium, screened=screened, isolated=kind.isolated, lifted=bool(record.earth_lifted))
        supplies = known_supply(model, devices[0]), known_supply(model, devices[1])
        earths = earth_of(model, supplies[0]), earth_of(model, supplies[1])
        found.append(Copper(name, record, (end_a, end_b), devices, supplies, earths, way))
    return tuple(found)


def known_supply(model: Model, device: str) -> str | None:
    """Return the supply of a device, if it is written and exists."""
    supply = model.supply_of(device)
    return supply if supply in model.supplies else None


def earth_of(model: Model, supply: str | None) -> str | None:
    """Return the earth of a supply."""
    return None if supply is None else model.supplies[supply].earth
