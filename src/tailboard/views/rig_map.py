"""The rig by place, ready to be drawn: places, the devices that stand there, and every cable with both its ends."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import natural
from tailboard.answers.wiring import wiring
from tailboard.model.records import Cable
from tailboard.model.show import Model, device_of, jack_of
from tailboard.units.wording import counted, plain
from tailboard.views.overlays import Overlay, overlay

SCHEMA = "tailboard/map/1"
NO_PLACE = "no place written"
ORDER = ("", "holds", "holds if", "open", "broken")  # the worst last


class EndView(TypedDict):
    """One end of a cable at a device. `far`: what is at the other end; `notes`: what the overlay says of this end."""

    cable: str
    port: str
    far: str
    notes: str


class DeviceView(TypedDict):
    """A device. `notes` and `mark` are the overlay's: 'holds', 'holds if', 'open', 'broken', or nothing."""

    device: str
    kind: str
    notes: str
    mark: str
    ends: list[EndView]


class PlaceLane(TypedDict):
    """A place with its devices. `own`: on the supply of the first console, or of the rig where there is none."""

    place: str
    words: str
    own: bool
    devices: list[DeviceView]


class CableView(TypedDict):
    """A cable. `ends`: what is at both, in words; `at`: how many of these are devices; `sort`: 'trunk', 'network' or 'line'."""

    cable: str
    words: str
    ends: list[str]
    at: int
    sort: str
    state: str
    mark: str
    heavy: bool


class SignView(TypedDict):
    """A sign that the picture uses, with its word."""

    mark: str
    words: str


class MapView(TypedDict):
    """The whole picture. `about` are the sentences above it."""

    schema: str
    title: str
    show: str
    about: list[str]
    signs: list[SignView]
    places: list[PlaceLane]
    cables: list[CableView]


def map_view(ask: Ask, sort: str = "", thing: str = "", only: str = "") -> MapView:
    """Return the rig by place; `sort` is an overlay of `overlays.SORTS`, `thing` the VLAN or the failure it is about.

    only  a place that is drawn alone, with the cables that lead away from it; empty: all.
    """
    model, shown = ask.model, overlay(ask, sort, thing)
    places = [lane for lane in lanes(ask, shown) if not only or lane["place"] == only]
    here = {end["cable"] for lane in places for device in lane["devices"] for end in device["ends"]}
    cables = [cable_view(ask, shown, name) for name in model.cables if not only or name in here]
    used = {cable["mark"] for cable in cables}
    used |= {device["mark"] for lane in places for device in lane["devices"]}
    words = {"": "cable", **shown.signs}
    capped = [{"mark": "open", "words": "laid or capped"}] if not sort and "open" in used else []
    return {
        "schema": SCHEMA,
        "title": f"{only or 'The rig by place'}{shown.title}",
        "show": show_words(model),
        "about": [about_words(sum(len(lane["devices"]) for lane in places), len(cables)), *shown.about],
        "signs": [*({"mark": m, "words": words[m]} for m in ORDER if m in used and m in words), *capped],  # type: ignore[list-item]  # two forms of one record
        "places": places,
        "cables": cables,
    }


def show_words(model: Model) -> str:
    """Return title, day and version of a show."""
    head = model.heading
    parts = (head.title, head.date or "", f"version {head.version}" if head.version else "no version")
    return ", ".join(part for part in parts if part)


def about_words(device_count: int, cable_count: int) -> str:
    """Return what the picture holds, counted, and what the ends of its lines mean."""
    counts = f"{counted(device_count, 'device')} and {counted(cable_count, 'cable')}"
    return f"{counts}; a ring ends a cable that leads to a microphone or to no device, a dot one that goes on elsewhere"


def lanes(ask: Ask, shown: Overlay) -> list[PlaceLane]:
    """Return the places in the order of the plan, those that are walked to in walking order; devices without a place last."""
    model = ask.model
    at: dict[str, list[str]] = {name: [] for name in model.places}
    for name, device in model.devices.items():
        at.setdefault(device.place or "", []).append(name)
    home = model.supply_of(model.consoles[0]) if model.consoles else None
    order = sorted(at, key=lambda name: (name not in model.places, visit(model, name)))
    return [lane(ask, shown, name, at[name], home) for name in order if at[name]]


def visit(model: Model, place: str) -> int:
    """Return when a place is walked to."""
    record = model.places.get(place)
    return 0 if record is None or record.visit is None else record.visit


def lane(ask: Ask, shown: Overlay, name: str, devices: list[str], home: str | None) -> PlaceLane:
    """Return one place."""
    model = ask.model
    place = model.places.get(name)
    supply = model.supplies.get(place.supply or "") if place else None
    words = [place.name if place else "", f"supply {place.supply}" if place and place.supply else ""]
    words.append(f"earth {supply.earth}" if supply else "")
    return {
        "place": name or NO_PLACE,
        "words": ", ".join(part for part in words if part and part != name),
        "own": bool(place) and place is not None and place.supply == home,
        "devices": [device_view(ask, shown, device) for device in neighbours(ask, devices)],
    }


def neighbours(ask: Ask, devices: list[str]) -> list[str]:
    """Return the devices of a place so that those joined by cables stand together, the one with the most cables first."""
    wired, here = ask(wiring), set(devices)
    ends: dict[str, list[str]] = {name: [] for name in devices}
    counts = dict.fromkeys(devices, 0)
    for pair in wired.ends.values():
        names = [device_of(end or "") for end in pair]
        for name, other in (names, names[::-1]):
            if name in here:
                counts[name] += 1
                ends[name] += [other] if other in here else []
    found: dict[str, None] = {}
    for first in sorted(devices, key=lambda name: -counts[name]):
        queue = [first]
        while queue:
            name = queue.pop(0)
            if name not in found:
                found[name] = None
                queue = [other for other in sorted(ends[name], key=natural) if other not in found] + queue
    return list(found)


def device_view(ask: Ask, shown: Overlay, name: str) -> DeviceView:
    """Return one device with its cables: network ports first, then by name."""
    model, wired = ask.model, ask(wiring)
    ports = shown.ports_of(name)
    notes, mark = shown.devices.get(name, ("", ""))
    ends = [
        end_view(ask, shown, cable, port)
        for port in sorted(ports, key=lambda port: (not is_network(model, port), natural(jack_of(port))))
        for cable in wired.at[port]
    ]
    return {"device": name, "kind": model.devices[name].kind, "notes": notes, "mark": mark, "ends": ends}


def is_network(model: Model, port: str) -> bool:
    """Return whether a port is one of the network."""
    kind = model.port_kind(port)
    return kind is not None and kind.medium in {"network", "cage"}


def end_view(ask: Ask, shown: Overlay, cable: str, port: str) -> EndView:
    """Return one end of a cable at a port, or at a device of which the port is not known."""
    pair = ask(wiring).ends[cable]
    far = pair[1] if pair[0] == port else pair[0]
    state = ask.model.cables[cable].state
    words = end_words(ask.model, far)
    return {
        "cable": cable,
        "port": jack_of(port),
        "far": words if state == "plugged" else f"{words}, {state}",
        "notes": shown.ends.get((cable, port), ""),
    }


def end_words(model: Model, end: str | None) -> str:
    """Return what is at the end of a cable: a port, or the source of a line."""
    if end is None:
        return "end not written"
    line = model.lines.get(end.removeprefix("line ")) if end.startswith("line ") else None
    return end if line is None or not line.source else f"{end} {line.source}"


def cable_view(ask: Ask, shown: Overlay, name: str) -> CableView:
    """Return one cable."""
    model, pair = ask.model, ask(wiring).ends[name]
    record: Cable = model.cables[name]
    kind = model.cable_kind(name)
    medium = kind.medium if kind else ""
    length = f"{plain(sum(record.pieces_m))} m" if record.pieces_m else ""
    mark, heavy = shown.cables.get(name, ("open" if record.state != "plugged" and not shown.sort else "", False))
    at = [device_of(end) for end in pair if end and device_of(end) in model.devices]
    trunk = len(at) == 2 and all(model.kind_of(device).role == "switch" for device in at)
    return {
        "cable": name,
        "words": ", ".join(part for part in (record.kind, length, record.state) if part),
        "ends": [end_words(model, end) for end in pair],
        "at": len(at),
        "sort": "trunk" if trunk else "network" if medium in {"copper data", "fibre"} else "line",
        "state": record.state,
        "mark": mark,
        "heavy": heavy or (not shown.sort and trunk),
    }
