"""What stands by for a thing that fails: spare cables, devices of the same kind that idle, free jacks and ports."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.answers.occupancy import occupancy
from tailboard.answers.wiring import wiring
from tailboard.model.show import Model, device_of, jack_of


@dataclass(frozen=True, slots=True)
class Spare:
    """A cable that is laid or capped, and the plugged ones between the same two devices that it can stand in for."""

    cable: str
    beside: tuple[str, ...]


def spare_cables(ask: Ask) -> dict[str, Spare]:
    """Return the spare cables by name; a laid cable that joins no two devices of a plugged one is no spare of any."""
    model, ends = ask.model, ask(wiring).ends
    waiting: dict[tuple[str, frozenset[str]], list[str]] = {}
    for name, cable in model.cables.items():
        if cable.state != "plugged" and None not in ends[name]:
            waiting.setdefault(between(ask, name), []).append(name)
    if not waiting:
        return {}
    mains: dict[tuple[str, frozenset[str]], list[str]] = {}
    for name, cable in model.cables.items():
        if cable.state == "plugged" and None not in ends[name] and between(ask, name) in waiting:
            mains.setdefault(between(ask, name), []).append(name)
    return {
        name: Spare(name, tuple(sorted(mains[key])))
        for key, names in waiting.items()
        if len(key[1]) > 1 and key in mains
        for name in names
    }


def between(ask: Ask, cable: str) -> tuple[str, frozenset[str]]:
    """Return the medium of a cable and the two devices, or lines, that it joins."""
    kind = ask.model.cable_kind(cable)
    return kind.medium if kind else "", frozenset(device_of(end or "") for end in ask(wiring).ends[cable])


def shared_ways(model: Model, first: str, second: str) -> tuple[str, ...]:
    """Return the drums and routes that two cables share, in words: 'drum D-1'."""
    one, two = model.cables[first], model.cables[second]
    found = []
    if one.drum and one.drum == two.drum:
        found.append(f"drum {one.drum}")
    if one.route and one.route == two.route:
        found.append(f"route {one.route}")
    return tuple(found)


def idle_devices(ask: Ask, device: str) -> tuple[str, ...]:
    """Return the devices of the same kind that nothing is plugged into and no row names: ready to take its place."""
    model = ask.model
    kind = model.devices[device].kind
    alike = [name for name, record in model.devices.items() if record.kind == kind and name != device]
    return tuple(name for name in alike if name not in ask(in_use))


def in_use(ask: Ask) -> frozenset[str]:
    """Return the devices that a cable, a line, a feed, a station or a stream names."""
    model = ask.model
    used = {device_of(end) for end in ask(wiring).at}
    for line in model.lines.values():
        used.update(
            device_of(port) for port in (line.gear, line.hole, *line.strips, *line.goes_to, *line.inserts) if port
        )
    used.update(device for bus in model.buses.values() for device in bus.inserts)
    for feed in model.feeds.values():
        used.update(device_of(port) for port in (*feed.gear, *feed.outputs, feed.via or "", feed.device or ""))
    used.update(station.device for station in model.stations.values() if station.device)
    for stream in model.streams.values():
        used.update((stream.sender, *(stream.receivers or {})))
    return frozenset(used)


def free_jacks(ask: Ask, jack: str) -> tuple[str, ...]:
    """Return the free jacks beside one that fails: same device, same direction."""
    port = ask.model.port_kind(jack)
    way = "out" if port is not None and port.way == "out" else "in"
    return tuple(f"{device_of(jack)}/{name}" for name in ask(occupancy).free_jacks(device_of(jack), way))


def free_ports(ask: Ask, port: str) -> tuple[str, ...]:
    """Return the switch ports without a cable that a cable can move to: those set alike first, then any other."""
    net = ask(network)
    setting = net.ports.settings.get(port)
    found = list(idle_ports(ask, port))
    alike = [name for name in found if setting and set_like(ask, name) == set_like(ask, port)]
    return tuple(dict.fromkeys([*alike, *found]))


def idle_ports(ask: Ask, port: str) -> Iterator[str]:
    """Yield the ports of the same device and medium that have no cable."""
    model, device = ask.model, device_of(port)
    own = model.port_kind(port)
    for name, jack in (model.kind_of(device).ports or {}).items():
        same = own is not None and (jack.medium, jack.rate_bit_per_s) == (own.medium, own.rate_bit_per_s)
        if same and name != jack_of(port) and f"{device}/{name}" not in ask(wiring).at:
            yield f"{device}/{name}"


def set_like(ask: Ask, port: str) -> tuple[object, ...]:
    """Return what a switch port is set to, so that two can be compared: its VLANs, and whether it is shut."""
    setting = ask(network).ports.settings.get(port)
    planned = ask.model.ports.get(port)
    shut = bool(planned and planned.shut)
    return (setting.untagged, setting.tagged, shut) if setting else (None, shut)
