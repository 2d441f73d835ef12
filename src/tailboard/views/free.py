"""The answer of `free`: what is still free at a place, on a device, in a VLAN."""

from __future__ import annotations

from itertools import islice
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.labels import key_map
from tailboard.answers.network_ports import ports
from tailboard.answers.occupancy import occupancy
from tailboard.answers.wiring import wiring
from tailboard.model.records import Station
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest
from tailboard.text.ranges import compress

SCHEMA = "tailboard/free/1"
ADDRESSES_LISTED = 8
NETWORK_JACKS = ("network", "cage")


class FreeView(TypedDict):
    """What is free of one sort on one device or in one VLAN.

    of     device or VLAN; what: 'holes in', 'outputs', 'strips', 'ports', 'addresses'.
    next   the first that is free, with its device where it is a jack; empty where none is.
    names  all that are free, of addresses the first few; words: the same, short.
    """

    of: str
    what: str
    next: str
    names: list[str]
    words: str


class FreeDocument(TypedDict):
    """The whole document. `about` is 'place', 'device' or 'vlan'."""

    schema: str
    about: str
    subject: str
    free: list[FreeView]


def subjects(model: Model) -> dict[str, str]:
    """Return what can be asked about: name to 'place', 'device' or 'vlan'; a device wins over a place of its name."""
    return {
        **dict.fromkeys(model.vlans, "vlan"),
        **dict.fromkeys(model.places, "place"),
        **dict.fromkeys(model.devices, "device"),
    }


def near_subject(model: Model, wanted: str) -> str:
    """Return the name that `wanted` probably means, or an empty text."""
    return nearest(wanted, subjects(model))


def free_view(ask: Ask, subject: str) -> FreeDocument:
    """Return what is free; `subject` is one of `subjects`."""
    model = ask.model
    about = subjects(model)[subject]
    if about == "vlan":
        found = vlan_views(ask, subject)
    elif about == "device":
        found = device_views(ask, subject, nothing=True)
    else:
        there = [name for name, device in model.devices.items() if device.place == subject]
        found = [view for name in there for view in device_views(ask, name, nothing=False)]
    return {"schema": SCHEMA, "about": about, "subject": subject, "free": found}


def device_views(ask: Ask, device: str, *, nothing: bool) -> list[FreeView]:
    """Return what is free on a device; with `nothing` also the sorts it has of which none is left."""
    used = ask(occupancy)
    kind = ask.model.kind_of(device)
    jacks = [port.way for port in (kind.ports or {}).values() if port.medium in {"analogue", "digital"}]
    sorts = (
        ("holes in", used.free_jacks(device, "in"), any(way != "out" for way in jacks)),
        ("outputs", used.free_jacks(device, "out"), any(way != "in" for way in jacks)),
        ("strips", used.free_strips(device), bool(kind.strips)),
        ("ports", free_ports(ask, device), has_network_ports(ask, device)),
    )
    found = [jack_view(device, what, names) for what, names, has in sorts if names or (nothing and has)]
    return [*found, *(view for view in comms_views(ask.model, device) if view["names"] or nothing)]


def comms_views(model: Model, device: str) -> list[FreeView]:
    """Return the free keys of a panel in their order from the left, and the stations that a base still serves."""
    kind, found = model.kind_of(device), []
    if kind.keys is not None:
        used = sum(len(key_map(station)) for station in model.stations.values() if station.device == device)
        names = tuple(f"key {number}" for number in range(used + 1, kind.keys + 1))
        found.append(comms_view(device, "keys", names))
    if kind.stations is not None:
        served = [name for name, one in model.stations.items() if one.device == device or served_by(model, one, device)]
        left = kind.stations - len(served)
        found.append(comms_view(device, "stations", tuple(f"station {len(served) + n}" for n in range(1, left + 1))))
    return found


def comms_view(device: str, what: str, names: tuple[str, ...]) -> FreeView:
    """Return the free keys or stations of a device."""
    return {
        "of": device,
        "what": what,
        "next": names[0] if names else "",
        "names": list(names),
        "words": compress(names),
    }


def served_by(model: Model, station: Station, base: str) -> bool:
    """Return whether a belt-pack works by a base: it says so, or it is the only base of its place."""
    record = model.devices.get(station.device or "")
    if record is None or model.kind_of(record.id).role != "belt-pack":
        return False
    bases = [
        name
        for name, other in model.devices.items()
        if model.kind_of(name).stations is not None and other.place == record.place
    ]
    return bases == [base]


def jack_view(device: str, what: str, names: tuple[str, ...]) -> FreeView:
    """Return the free jacks, strips or ports of a device."""
    first = f"{device}/{names[0]}" if names else ""
    return {"of": device, "what": what, "next": first, "names": list(names), "words": compress(names)}


def has_network_ports(ask: Ask, device: str) -> bool:
    """Return whether the kind of a device has network ports."""
    return any(port.medium in NETWORK_JACKS for port in (ask.model.kind_of(device).ports or {}).values())


def free_ports(ask: Ask, device: str) -> tuple[str, ...]:
    """Return the network ports of a device without a cable, laid and capped ones counted; shut ports are free too."""
    jacks = ask.model.kind_of(device).ports or {}
    return tuple(
        name
        for name, jack in jacks.items()
        if jack.medium in NETWORK_JACKS and f"{device}/{name}" not in ask(wiring).at
    )


def vlan_views(ask: Ask, vlan: str) -> list[FreeView]:
    """Return the next free addresses of a VLAN, and the switch ports that are set to it and have no cable."""
    found: list[FreeView] = []
    if ask.model.vlans[vlan].subnet is not None:
        names = list(islice(ask(occupancy).free_addresses(vlan), ADDRESSES_LISTED))
        first = names[0] if names else ""
        found.append({"of": vlan, "what": "addresses", "next": first, "names": names, "words": ", ".join(names)})
    settings = ask(ports).settings
    set_to = [port for port, setting in settings.items() if setting.access and setting.untagged == vlan]
    idle = [port for port in set_to if port not in ask(wiring).at]
    first = idle[0] if idle else ""
    found.append({"of": vlan, "what": "ports", "next": first, "names": idle, "words": compress(idle)})
    return found
