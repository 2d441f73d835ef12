"""Labels: the shortest display a name must fit, and the names of a device cut to its display."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import occupancy
from tailboard.answers.streams import streams
from tailboard.kinds.records import Kind
from tailboard.model.records import Station
from tailboard.model.show import Model, device_of


@dataclass(frozen=True, slots=True)
class Display:
    """The shortest display on a chain: the device that has it, and how many characters it shows."""

    device: str
    length: int


@dataclass(frozen=True, slots=True)
class Name:
    """One name to type into a device.

    jack   the jack, strip or `receive N` it belongs to.
    table  'line' or 'feed'; owner: that line's or feed's id.
    full   the label as planned; cut: what the display shows of it.
    """

    jack: str
    table: str
    owner: str
    full: str
    cut: str


@dataclass(frozen=True, slots=True)
class Labels:
    """The shortest display for each line and each feed; those without a known display are left out."""

    of_line: dict[str, Display]
    of_feed: dict[str, Display]


def labels(ask: Ask) -> Labels:
    """Return the shortest display on each chain."""
    model = ask.model
    lengths = {name: model.kind_of(name).display_length for name in model.devices}
    of_line = {name: shortest(lengths, line_devices(model, name)) for name in model.lines}
    of_feed = {name: shortest(lengths, feed_devices(model, name)) for name in model.feeds}
    return Labels(
        {name: display for name, display in of_line.items() if display},
        {name: display for name, display in of_feed.items() if display},
    )


def key_map(station: Station) -> tuple[str, ...]:
    """Return what the keys of a station talk to, from left to right: party lines first, then what is talked to on a key."""
    return tuple(dict.fromkeys((*station.talk, *station.keys)))


def shortest(lengths: dict[str, int | None], devices: Iterator[str]) -> Display | None:
    """Return the shortest display of some devices, the first of equals."""
    best: Display | None = None
    for device in devices:
        length = lengths.get(device)
        if length is not None and (best is None or length < best.length):
            best = Display(device, length)
    return best


def line_devices(model: Model, name: str) -> Iterator[str]:
    """Yield the devices that show a line's name: its box, its consoles, where else it goes."""
    line = model.lines[name]
    if line.hole:
        yield device_of(line.hole)
    for port in (*line.strips, *line.goes_to):
        yield device_of(port)


def feed_devices(model: Model, name: str) -> Iterator[str]:
    """Yield the devices that show a feed's name: its console, the boxes and streams it leaves by, the gear it reaches."""
    feed = model.feeds[name]
    if feed.device:
        yield feed.device
    elif len(model.consoles) == 1:
        yield model.consoles[0]
    for port in (*feed.outputs, *feed.gear):
        stream = model.streams.get(device_of(port))
        yield from (stream.sender, *(stream.receivers or {})) if stream else (device_of(port),)


def names_for(ask: Ask, device: str) -> list[Name]:
    """Return the names to type into a device, jack by jack: lines in its holes and on its strips, feeds at its outputs."""
    model, used = ask.model, ask(occupancy)
    length = model.kind_of(device).display_length
    wanted: list[tuple[str, str, str]] = []
    for table, users in (("line", used.holes), ("line", used.strips), ("line", used.goals), ("feed", used.outputs)):
        wanted += [(jack, table, owner) for jack, owners in users.get(device, {}).items() for owner in owners]
    wanted += ask(received).get(device, ())
    names: dict[tuple[str, str], Name] = {}
    for jack, table, owner in wanted:
        full = model.lines[owner].label if table == "line" else model.feeds[owner].label
        names.setdefault((jack, owner), Name(jack, table, owner, full, full[:length].rstrip()))
    return list(names.values())


def key_names(ask: Ask, device: str) -> list[Name]:
    """Return the names over the keys of an intercom panel or pack, from left to right, cut to its display."""
    model = ask.model
    length = model.kind_of(device).display_length
    found = []
    for station in model.stations.values():
        if station.device != device:
            continue
        for number, target in enumerate(key_map(station), 1):
            feed, other = model.feeds.get(target), model.stations.get(target)
            table = "feed" if feed else "station" if other else "party line"
            full = (feed.label if feed else other.person if other else "") or target
            found.append(Name(f"key {number}", table, target, full, full[:length].rstrip()))
    return found


Clash = tuple[Name, Name]


def cut_alike(ask: Ask) -> dict[str, list[Clash]]:
    """Return for each device with a display and names the names of one table that differ in full and are equal when cut."""
    found: dict[str, list[Clash]] = {}
    for device in ask.model.devices:
        names = names_for(ask, device) if ask.model.kind_of(device).display_length else []
        first: dict[tuple[str, str], Name] = {}
        for name in names:
            clashes = found.setdefault(device, [])
            other = first.setdefault((name.table, plain_label(name.cut)), name)
            if name.full and other.owner != name.owner and plain_label(other.full) != plain_label(name.full):
                clashes.append((other, name))
    return found


def plain_label(label: str) -> str:
    """Return a label as it is compared: without blanks and capitals."""
    return "".join(label.split()).casefold()


def received(ask: Ask) -> dict[str, list[tuple[str, str, str]]]:
    """Return (`receive N`, table, owner) by device for what streams bring to devices without strips or jacks of their own."""
    model = ask.model
    found: dict[str, list[tuple[str, str, str]]] = {}
    for plan in ask(streams).plans.values():
        for device, enters in plan.receivers.items():
            kind = model.kind_of(device)
            if kind.strips is None and not kind.paths:
                names = found.setdefault(device, [])
                for content, enter in zip(plan.contents, enters, strict=True):
                    owner = content_owner(ask, plan.sender, content)
                    if enter and owner:
                        names.append((enter.removeprefix(f"{device} "), *owner))
    return found


def content_owner(ask: Ask, sender: str, content: str) -> tuple[str, str] | None:
    """Return (table, owner) of a stream's content: the feed, or the line in the hole behind a send channel."""
    if content.startswith("feed "):
        feed = content.removeprefix("feed ").partition(" at ")[0]
        return ("feed", feed) if feed in ask.model.feeds else None
    channel = content.removeprefix(f"{sender} send ")
    hole = holes_by_channel(ask.model.kind_of(sender)).get(channel, channel)
    lines = ask(occupancy).holes.get(sender, {}).get(hole)
    return ("line", lines[0]) if lines else None


@cache
def holes_by_channel(kind: Kind) -> dict[str, str]:
    """Return the hole behind each send channel of a kind."""
    return {
        end.removeprefix("send "): hole
        for hole, ends in (kind.paths or {}).items()
        for end in ends
        if end.startswith("send ")
    }
