"""What may fail alone, and what goes with it: a drum takes its cables, a place without power its devices, a switch those it feeds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.answers.power import is_fed, is_unpowered
from tailboard.answers.streams import streams
from tailboard.answers.wiring import wiring
from tailboard.findings import Spot
from tailboard.kinds.records import Kind
from tailboard.model.records import Device
from tailboard.model.show import Model, device_of
from tailboard.text.fields import Record

SORTS = ("supply", "breaker", "place", "device", "cable", "drum", "route", "port", "stream")


@dataclass(frozen=True, slots=True)
class Things:
    """Everything that may fail, by key: 'device SB-1', 'cable F-01', 'drum D-1', 'route R', 'port SW-B/1', 'stream ST-1',
    'place wing', 'breaker GEN/B1', 'supply GEN'.

    takes      thing: the keys of the devices, cables, ports and streams that go with it, itself among them.
    power      device: what its power comes from: 'supply', 'switch' (over its data cable) or 'none needed'.
    fed        device fed over its data cable: (the switch's port, the cable).
    on_battery  place, breaker or supply: the devices on it that run on for a while by a battery of their own.
    """

    takes: dict[str, frozenset[str]]
    power: dict[str, str]
    fed: dict[str, tuple[str, str]] = field(default_factory=dict)
    on_battery: dict[str, tuple[str, ...]] = field(default_factory=dict)


def things(ask: Ask) -> Things:
    """Return everything of the plan that may fail alone."""
    model = ask.model
    power, fed = powered(ask)
    below: dict[str, set[str]] = {}
    for device, (port, cable) in fed.items():
        for key in (f"device {device_of(port)}", f"port {port}", f"cable {cable}"):
            below.setdefault(key, set()).add(f"device {device}")
    for name, record in model.devices.items():
        if record.behind_ups in model.devices and record.behind_ups != name and record.second_supply is None:
            below.setdefault(f"device {record.behind_ups}", set()).add(f"device {name}")
    groups, on_battery = on_power(model, power)
    for name, cable_record in model.cables.items():
        for sort, written in (("drum", cable_record.drum), ("route", cable_record.route)):
            if written:
                groups.setdefault(f"{sort} {written}", []).append(f"cable {name}")
    singles = [
        *(f"device {name}" for name in model.devices),
        *(f"cable {name}" for name in model.cables),
        *(f"port {port}" for port in ask(network).ports.at if model.kind_of(device_of(port)).role == "switch"),
        *(f"stream {name}" for name in ask(streams).plans),
    ]
    takes = {key: with_fed([key], below) if key in below else frozenset([key]) for key in singles}
    takes.update({group: with_fed(keys, below) for group, keys in groups.items()})
    return Things(takes, power, fed, {group: tuple(names) for group, names in on_battery.items()})


def with_fed(keys: Iterable[str], below: dict[str, set[str]]) -> frozenset[str]:
    """Return some keys with the devices that lose their power with them, and those fed by these in turn."""
    found = set(keys)
    queue = list(found)
    while queue:
        for device in below.get(queue.pop(), ()):
            if device not in found:
                found.add(device)
                queue.append(device)
    return frozenset(found)


def powered(ask: Ask) -> tuple[dict[str, str], dict[str, tuple[str, str]]]:
    """Return what each device's power comes from, and the port and cable of those that a switch feeds."""
    model = ask.model
    power: dict[str, str] = {}
    fed: dict[str, tuple[str, str]] = {}
    kinds: dict[str, tuple[bool, bool]] = {}
    for name, device in model.devices.items():
        kind = model.kind_of(name)
        if kind.id not in kinds:
            kinds[kind.id] = (kind.load_w is None and is_fed(kind), kind.load_w is None and is_unpowered(kind))
        by_switch, needs_none = kinds[kind.id]
        feeder = feeding_port(ask, name, kind) if by_switch and device.load_w is None else None
        if feeder is not None:
            fed[name] = feeder
        power[name] = "switch" if feeder else "none needed" if needs_none and device.load_w is None else "supply"
    return power, fed


def feeding_port(ask: Ask, device: str, kind: Kind) -> tuple[str, str] | None:
    """Return the switch port and the cable that feed a device, or None where none does."""
    wired, model = ask(wiring), ask.model
    for jack, port in (kind.ports or {}).items():
        for cable in wired.at.get(f"{device}/{jack}", ()) if port.medium == "network" else ():
            far = wired.far_end(cable, f"{device}/{jack}")
            planned = model.ports.get(far or "")
            if far is not None and planned is not None and planned.poe and model.cables[cable].state == "plugged":
                return far, cable
    return None


def on_power(model: Model, power: dict[str, str]) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """Return the devices that each place, breaker and supply feeds, by key, and those that run on by a battery."""
    groups: dict[str, list[str]] = {f"place {name}": [] for name in model.places}
    for name, record in model.supplies.items():
        groups[f"supply {name}"] = []
        groups.update({f"breaker {name}/{breaker}": [] for breaker in record.breaker_w or ()})
    on_battery: dict[str, list[str]] = {}
    only = {name: next(iter(supply.breaker_w)) for name, supply in model.supplies.items()
            if supply.breaker_w and len(supply.breaker_w) == 1}  # fmt: skip
    for name, device in model.devices.items():
        if power[name] != "supply":
            continue
        supply = model.supply_of(name)
        at_place = device.place if device.supply is None or supply_at(model, device.place) == device.supply else None
        runs_on = device.second_supply in model.supplies and device.second_supply != supply  # one of two leads is left
        breaker = device.breaker or only.get(supply or "", "")
        for group, written in (
            (f"place {at_place}", at_place),
            (f"supply {supply}", supply),
            (f"breaker {supply}/{breaker}", supply and breaker),
        ):
            if written and runs_on:
                groups.setdefault(group, [])
            elif written and not runs_on_battery(model, device):
                groups.setdefault(group, []).append(f"device {name}")
            elif written:
                groups.setdefault(group, [])
                on_battery.setdefault(group, []).append(name)
    return groups, on_battery


def runs_on_battery(model: Model, device: Device) -> bool:
    """Return whether a device runs on for some minutes that are written: its own, or those of the UPS it is plugged into."""
    ups = model.devices.get(device.behind_ups or "")
    return device.ups_min is not None or (ups is not None and ups.ups_min is not None)


def supply_at(model: Model, place: str | None) -> str | None:
    """Return the supply of a place's sockets."""
    record = model.places.get(place or "")
    return record.supply if record else None


def titled(thing: str) -> str:
    """Return a thing as people say what fails: 'SB-1', 'drum D-1', 'power at wing', 'breaker B1 of GEN'."""
    sort, _, name = thing.partition(" ")
    if sort == "place":
        return f"power at {name}"
    if sort == "breaker":
        supply, _, breaker = name.partition("/")
        return f"breaker {breaker} of {supply}"
    return name if sort in {"device", "cable", "hole"} else thing


def spot_of(model: Model, thing: str) -> Spot | None:
    """Return where a thing is written; None where it has no entry of its own."""
    sort, _, name = thing.partition(" ")
    tables: Mapping[str, Mapping[str, Record]] = {"device": model.devices, "cable": model.cables, "port": model.ports, "stream": model.streams,
              "place": model.places, "supply": model.supplies, "line": model.lines}  # fmt: skip
    if sort == "breaker":
        supply = model.supplies.get(name.partition("/")[0])
        return supply.at.spot("breaker_w") if supply else None
    if sort in {"drum", "route"}:
        return next((c.at.spot(sort) for c in model.cables.values() if getattr(c, sort) == name), None)
    record = tables.get(sort, {}).get(name)
    return record.at.spot() if record is not None else None
