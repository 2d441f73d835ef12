"""The holes of a box, and the ports of a switch or device, as rows of a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.network_ports import ports
from tailboard.answers.occupancy import LINE_JACKS, Occupancy, occupancy
from tailboard.answers.streams import streams
from tailboard.answers.wiring import Wiring, wiring
from tailboard.kinds.records import PortKind
from tailboard.model.records import Feed, Line
from tailboard.model.show import Model, device_of

NETWORK_JACKS = ("network", "cage")


class HoleRow(TypedDict):
    """One hole.

    hole     the number to plug by; way: 'in' or 'out', seen from the box.
    item     line or feed: '5', 'FD1'; two parted by a comma if both are in it. label: its label.
    plugged  what is plugged in: source or listener, and the device at the other end of the cable.
    phantom  '48V', 'off', or empty where the hole has none.
    cable    the cable in it; state: 'plugged', 'laid' or 'capped', empty without a cable.
    channel  streams and channel: 'ST-1/5'; strip: 'CON-1/5'.
    use      'used', 'spare' or 'unused'.
    """

    hole: str
    way: str
    item: str
    label: str
    plugged: str
    phantom: str
    cable: str
    state: str
    channel: str
    strip: str
    use: str


class PortRow(TypedDict):
    """One network port. `use` is 'used', 'shut' or 'unused'; `carries` its VLANs as they leave by it."""

    port: str
    carries: str
    far: str
    cable: str
    extra: str
    use: str


@dataclass(frozen=True, slots=True)
class Bench:
    """What the rows are made from."""

    model: Model
    used: Occupancy
    wired: Wiring
    channels: dict[str, list[str]]


def bench(ask: Ask) -> Bench:
    """Return what the rows are made from."""
    channels: dict[str, list[str]] = {}
    for name, plan in ask(streams).plans.items():
        for number, content in enumerate(plan.contents, 1):
            channels.setdefault(content, []).append(f"{name}/{number}")
        for enters in plan.receivers.values():
            for number, node in enumerate(enters, 1):
                channels.setdefault(node, []).append(f"{name}/{number}")
    return Bench(ask.model, ask(occupancy), ask(wiring), channels)


def hole_rows(ask: Ask, box: str) -> list[HoleRow]:
    """Return every hole of a box in the order of its kind; of a box without a kind those that are used."""
    desk = ask(bench)
    jacks = {name: jack for name, jack in (desk.model.kind_of(box).ports or {}).items() if jack.medium in LINE_JACKS}
    into = {**desk.used.holes.get(box, {})}
    for jack, lines in desk.used.goals.get(box, {}).items():
        into[jack] = (*into.get(jack, ()), *lines)
    out = desk.used.outputs.get(box, {})
    names = dict.fromkeys([*jacks, *natural(into), *natural(out)])
    return [hole_row(desk, f"{box}/{name}", jacks.get(name), into.get(name, ()), out.get(name, ())) for name in names]


def natural(names: dict[str, tuple[str, ...]]) -> list[str]:
    """Return jack names in the order in which people count: 2 before 10."""
    return sorted(filter(None, names), key=lambda name: (name.rstrip("0123456789"), int("0" + trailing(name)), name))


def trailing(name: str) -> str:
    """Return the digits at the end of a name."""
    return name[len(name.rstrip("0123456789")) :]


def hole_row(desk: Bench, jack: str, kind: PortKind | None, lines: tuple[str, ...], feeds: tuple[str, ...]) -> HoleRow:
    """Return the row of one hole with the lines and feeds in it."""
    model = desk.model
    records: list[Line | Feed] = [model.lines[name] for name in lines if name in model.lines]
    records += [model.feeds[name] for name in feeds if name in model.feeds]
    strips = [strip for record in records if isinstance(record, Line) for strip in record.strips]
    cables = cables_of(desk, jack, records)
    said = [plugged(desk, jack, record) for record in records] or far_devices(desk, jack)
    states = dict.fromkeys(model.cables[name].state for name in cables if name in model.cables)
    way = kind.way if kind is not None else "out" if feeds else "in"
    return {
        "hole": jack.partition("/")[2],
        "way": way,
        "item": ", ".join(record.id for record in records),
        "label": ", ".join(record.label for record in records if record.label),
        "plugged": ", ".join(dict.fromkeys(filter(None, said))),
        "phantom": phantom(records, kind),
        "cable": ", ".join(cables),
        "state": ", ".join(states),
        "channel": ", ".join(channels_of(desk, jack)),
        "strip": ", ".join(strips),
        "use": use_of(records, jack in desk.wired.at),
    }


def plugged(desk: Bench, jack: str, record: Line | Feed) -> str:
    """Return what is plugged in: who or what, and the device at the other end of the cable."""
    if isinstance(record, Line):
        who, gear = record.source, [device_of(record.gear)] if record.gear else []
    else:
        who, gear = record.listener, [device_of(port) for port in record.gear]
    return ", ".join(part for part in (who, *dict.fromkeys(far_devices(desk, jack) or gear)) if part)


def far_devices(desk: Bench, jack: str) -> list[str]:
    """Return the devices at the other ends of the cables at a jack."""
    ends = [desk.wired.far_end(cable, jack) for cable in desk.wired.at.get(jack, ())]
    return [device_of(end) for end in ends if end and not end.startswith("line ")]


def phantom(records: list[Line | Feed], kind: PortKind | None) -> str:
    """Return whether a hole sends 48 V: '48V', 'off', or nothing for an unused hole and one that has none."""
    said = [record.phantom for record in records if isinstance(record, Line) and record.phantom is not None]
    if any(said):
        return "48V"
    return "off" if said or (records and kind is not None and kind.phantom) else ""


def cables_of(desk: Bench, jack: str, records: list[Line | Feed]) -> list[str]:
    """Return the cables at a jack: those whose ends say so, and those that its line or feed names."""
    named = [record.cable for record in records if record.cable]
    return list(dict.fromkeys([*desk.wired.at.get(jack, ()), *named]))


def cable_words(desk: Bench, name: str) -> str:
    """Return a cable with its state if it is not plugged."""
    record = desk.model.cables.get(name)
    return name if record is None or record.state == "plugged" else f"{name} {record.state}"


def channels_of(desk: Bench, jack: str) -> list[str]:
    """Return the streams and channels by which a hole's signal leaves or comes, or the bare channel of the box."""
    box, _, name = jack.partition("/")
    paths = desk.model.kind_of(box).paths or {}
    nodes = [*paths.get(name, ()), *(begin for begin, ends in paths.items() if name in ends)]
    inner = [node for node in nodes if node.startswith(("send ", "receive "))]
    carried = [channel for node in inner for channel in desk.channels.get(f"{box} {node}", ())]
    return list(dict.fromkeys(carried))


def use_of(records: list[Line | Feed], cabled: bool) -> str:
    """Return whether a hole is used, holds a spare, or is unused."""
    if not records:
        return "used" if cabled else "unused"
    return "spare" if all(is_spare(record) for record in records) else "used"


def is_spare(record: Line | Feed) -> bool:
    """Return whether a line or feed is a spare: it says so, or its source or listener begins with the word."""
    if isinstance(record, Line):
        return bool(record.spare) or record.source.lower().startswith("spare")
    return record.listener.lower().startswith("spare")


def port_rows(ask: Ask, device: str) -> list[PortRow]:
    """Return the network ports of a device in the order of its kind."""
    desk = ask(bench)
    jacks = [name for name, jack in (desk.model.kind_of(device).ports or {}).items() if jack.medium in NETWORK_JACKS]
    return [port_row(ask, desk, f"{device}/{name}") for name in jacks]


def port_row(ask: Ask, desk: Bench, port: str) -> PortRow:
    """Return the row of one network port."""
    model, found = desk.model, ask(ports)
    cables = desk.wired.at.get(port, ())
    shut = port in found.shut
    own = model.ports.get(port)
    extras = ["PoE"] if own is not None and own.poe else []
    extras += [own.optic] if own is not None and own.optic else []
    setting = found.settings.get(port)
    meant = ", ".join(found.vlans.get(port, ()))
    carries = meant if setting is None else carried_words(setting.untagged, sorted(setting.tagged))
    return {
        "port": port.partition("/")[2],
        "carries": carries,
        "far": ", ".join(desk.wired.far_end(cable, port) or "" for cable in cables),
        "cable": ", ".join(cable_words(desk, cable) for cable in cables),
        "extra": ", ".join(extras),
        "use": "shut" if shut else "used" if cables else "unused",
    }


def carried_words(untagged: str | None, tagged: list[str]) -> str:
    """Return the VLANs of a port: 'AUDIO', or 'tagged A, B; untagged PARK'."""
    if not tagged:
        return untagged or ""
    return f"tagged {', '.join(tagged)}" + (f"; untagged {untagged}" if untagged else "")
