"""Edits of the library: a built-in kind is written into kinds/ again with other figures."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from edits_auto.edit import Case, Change, built_in, change, makes
from tailboard.model.show import device_of

Made = Iterator[tuple[str, list[Change], list[str]]]


def of_role(case: Case, *roles: str) -> Iterator[tuple[str, list[str]]]:
    """Yield the built-in kinds of some roles that are in use, each with its devices."""
    found: dict[str, list[str]] = {}
    for name, device in case.model.devices.items():
        if device.kind in built_in("kinds") and (not roles or case.model.kind_of(name).role in roles):
            found.setdefault(device.kind, []).append(name)
    yield from found.items()


def ports_with(kind: str, **keys: str | None) -> dict[str, dict[str, Any]]:
    """Return the ports of a kind with other keys, None for a key left out; outputs and network ports stay."""
    written: dict[str, dict[str, Any]] = built_in("kinds")[kind]["ports"]
    merged = {
        name: {**port, **keys} if port.get("way") == "in" and "medium" not in port else port
        for name, port in written.items()
    }
    return {name: {key: text for key, text in port.items() if text is not None} for name, port in merged.items()}


def lines_in(case: Case, devices: list[str]) -> list[str]:
    """Return the lines in holes of some devices."""
    return [name for name, line in case.model.lines.items() if device_of(line.hole or "") in devices]


@makes("give a console fewer strips", "chain reading")
def fewer_strips(case: Case) -> Made:
    for kind, devices in of_role(case, "console"):
        yield kind, [change("kinds", kind, strips="9")], devices


@makes("let a box send fewer channels", "chain")
def fewer_channels(case: Case) -> Made:
    for kind, devices in of_role(case, "box"):
        yield kind, [Change("kinds", kind, {"send channels": "2"})], devices


@makes("let a recorder hold fewer tracks", "chain")
def fewer_tracks(case: Case) -> Made:
    for kind, devices in of_role(case, "recorder"):
        yield kind, [change("kinds", kind, tracks="3")], devices


@makes("let jacks clip sooner", "level")
def clips_sooner(case: Case) -> Made:
    for kind, devices in of_role(case, "box"):
        yield kind, [change("kinds", kind, ports=ports_with(kind, clip="-9 dBu"))], lines_in(case, devices)


@makes("take the 48 V out of a kind of box", "level")
def no_phantom(case: Case) -> Made:
    for kind, devices in of_role(case, "box"):
        yield kind, [change("kinds", kind, ports=ports_with(kind, **{"48V": "no"}))], lines_in(case, devices)


@makes("take the preamplifiers out of a kind of box", "level")
def no_gain(case: Case) -> Made:
    for kind, devices in of_role(case, "box"):
        changed = ports_with(kind, level="line +4 dBu", gain=None, **{"48V": "no"})
        yield kind, [change("kinds", kind, ports=changed)], lines_in(case, devices)


@makes("shorten the display of a kind", "chain")
def short_display(case: Case) -> Made:
    for kind, devices in of_role(case):
        if "display" in built_in("kinds")[kind]:
            yield kind, [change("kinds", kind, display="1")], [*devices, *lines_in(case, devices)]


@makes("shrink the PoE budget of a kind of switch", "network")
def small_budget(case: Case) -> Made:
    for kind, devices in of_role(case, "switch"):
        if "PoE budget" in built_in("kinds")[kind]:
            yield kind, [Change("kinds", kind, {"PoE budget": "6 W"})], devices


@makes("let a powered kind draw more", "network")
def draws_more(case: Case) -> Made:
    for kind, devices in of_role(case):
        if "PoE power" in built_in("kinds")[kind]:
            switches = [case.wiring.far_end(cable, end) or "" for name in devices for cable, end in plugged(case, name)]
            yield kind, [Change("kinds", kind, {"PoE power": "65 W"})], [*devices, *map(device_of, switches)]


def plugged(case: Case, device: str) -> Iterator[tuple[str, str]]:
    """Yield the cables at a device with the end that is there."""
    for cable, ends in case.wiring.ends.items():
        for end in ends:
            if end and device_of(end) == device:
                yield cable, end


@makes("forget what a powered kind draws", "network noted")
def draws_unknown(case: Case) -> Made:
    for kind, devices in of_role(case):
        if "PoE power" in built_in("kinds")[kind]:
            switches = [case.wiring.far_end(cable, end) or "" for name in devices for cable, end in plugged(case, name)]
            yield kind, [Change("kinds", kind, {"PoE power": None})], [*devices, *map(device_of, switches)]


@makes("let a kind of optic send less", "light")
def weak_optic(case: Case) -> Made:
    for name, record in built_in("optics").items():
        cables = [cable for cable in case.wiring.ends if any(optic_at(case, end) == name for end in case.ends(cable))]
        if cables and "TX power" in record:
            yield name, [Change("optics", name, {"TX power": "-40..-35 dBm"})], cables


@makes("let a kind of optic send more", "light")
def strong_optic(case: Case) -> Made:
    for name, record in built_in("optics").items():
        cables = [cable for cable in case.wiring.ends if any(optic_at(case, end) == name for end in case.ends(cable))]
        if cables and "TX power" in record:
            yield name, [Change("optics", name, {"TX power": "+10..+14 dBm"})], cables


def optic_at(case: Case, port: str) -> str | None:
    """Return the kind of the optical module in a port."""
    record = case.model.ports.get(port)
    return record.optic if record else None


@makes("let a kind of data cable be shorter", "network")
def shorter_kind(case: Case) -> Made:
    for name, record in built_in("cable kinds").items():
        cables = [cable for cable, own in case.model.cables.items() if own.kind == name and own.pieces_m and own.end_b]
        if cables and "longest" in record:
            yield name, [change("cable kinds", name, longest="1 m")], cables


@makes("let a kind of transformer cable part nothing", "power")
def no_transformer(case: Case) -> Made:
    for name, record in built_in("cable kinds").items():
        cables = [cable for cable, own in case.model.cables.items() if own.kind == name and own.end_a and own.end_b]
        if cables and record.get("isolated") == "yes" and record["medium"] == "analogue":
            yield name, [change("cable kinds", name, isolated="no", screened="yes")], cables


@makes("let a kind of source bear no 48 V", "level")
def fragile_source(case: Case) -> Made:
    for name, record in built_in("source kinds").items():
        lines = [line for line, own in case.model.lines.items() if own.type == name and own.phantom]
        if lines and record.get("48V") == "needs":
            yield name, [Change("source kinds", name, {"48V": "never"})], lines


@makes("let a kind of source be louder", "level")
def loud_source(case: Case) -> Made:
    for name, record in built_in("source kinds").items():
        lines = [line for line, own in case.model.lines.items() if own.type == name and own.gain_db is not None]
        if lines and "peak" in record:
            yield name, [change("source kinds", name, peak="+30 dBu")], lines


@makes("let the house's microphones be audience microphones", "hearing")
def audience_source(case: Case) -> Made:
    for name in built_in("source kinds"):
        lines = [line for line, own in case.model.lines.items() if own.type == name]
        heard = {line for feed in case.model.feeds.values() if feed.zone for line in feed.mix}
        if heard & set(lines):
            yield name, [change("source kinds", name, audience="yes")], lines
