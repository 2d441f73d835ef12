"""Labels: the shortest display a name must fit, and the names of a device cut to its display."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import occupancy
from tailboard.kinds.records import Kind
from tailboard.model.show import Model, device_of, jack_of


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
    wanted += received(model, device)
    names: dict[tuple[str, str], Name] = {}
    for jack, table, owner in wanted:
        full = model.lines[owner].label if table == "line" else model.feeds[owner].label
        names.setdefault((jack, owner), Name(jack, table, owner, full, full[:length].rstrip()))
    return list(names.values())


def received(model: Model, device: str) -> Iterator[tuple[str, str, str]]:
    """Yield (`receive N`, table, owner) for what the streams written in the plan bring to a device without strips."""
    kind = model.kind_of(device)
    if kind.strips is not None or kind.role == "box":
        return
    for stream in model.streams.values():
        channels = (stream.receivers or {}).get(device, ())
        yield from (
            (f"receive {channel}", table, owner)
            for channel, (table, owner) in zip(channels, sent(model, stream.id), strict=False)
            if owner in (model.lines if table == "line" else model.feeds)
        )


def sent(model: Model, stream_id: str) -> Iterator[tuple[str, str]]:
    """Yield (table, owner) for each channel of a stream; a stereo feed fills two; an unused channel gives ('line', '')."""
    stream = model.streams[stream_id]
    for feed in stream.feeds:
        yield from [("feed", feed)] * feed_width(model, feed)
    if stream.channels:
        holes = holes_by_channel(model.kind_of(stream.sender))
        lines = {line.hole: name for name, line in model.lines.items() if line.hole}
        for channel in stream.channels:
            yield "line", lines.get(f"{stream.sender}/{holes.get(channel, channel)}", "")


def holes_by_channel(kind: Kind) -> dict[str, str]:
    """Return the hole behind each send channel of a kind."""
    return {
        end.removeprefix("send "): hole
        for hole, ends in (kind.paths or {}).items()
        for end in ends
        if end.startswith("send ")
    }


def feed_width(model: Model, feed: str) -> int:
    """Return how many channels a feed takes in a stream: two where a stereo bus is in its mix and it has no jack of its own."""
    record = model.feeds.get(feed)
    if record is None or any(jack_of(port) for port in record.outputs):
        return 1
    return 2 if any(name in model.buses and model.buses[name].width == "stereo" for name in record.mix) else 1
