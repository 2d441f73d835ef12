"""The streams of a show: as declared, and those that follow from the patch because no declared one brings the signal."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import desk_of, strip_of, taken_singly
from tailboard.answers.signal_edges import FIXED, Graph, channel_point, onward, point
from tailboard.answers.signal_wires import wires
from tailboard.model.records import Feed, Line, Stream
from tailboard.model.show import Model, device_of, jack_of
from tailboard.text.fields import Record

STEREO = {"mono": 1, "stereo": 2}


@dataclass(frozen=True, slots=True)
class StreamPlan:
    """One stream.

    name       as declared, or made of its ends: 'SB-1 1-8', 'CON-1 to SB-1 1-8'.
    contents   what each channel carries, as points of the signal graph: 'SB-1 send 1', 'feed FD1'.
    receivers  device: the point that each channel enters there; empty where the channel is not taken.
    record, attribute  where the user wrote it, or what it was derived from.
    """

    name: str
    sender: str
    contents: tuple[str, ...]
    receivers: dict[str, tuple[str, ...]]
    packet_time_s: float | None
    rate_hz: float | None
    group: str | None
    vlan: str | None
    record: Record
    attribute: str
    derived: bool = False

    @property
    def words(self) -> str:
        """The stream as a reader knows it."""
        return f"stream {self.name}" + (", derived from the patch" if self.derived else "")

    @property
    def key(self) -> str:
        """The key under which consequences are filed."""
        return f"stream {self.name}"


@dataclass(frozen=True, slots=True)
class Streams:
    """All streams by name. `brings` says to which devices the declared ones bring each content."""

    plans: dict[str, StreamPlan]
    brings: dict[str, dict[str, None]] = field(default_factory=dict)

    @property
    def declared(self) -> tuple[StreamPlan, ...]:
        """Those that the user wrote."""
        return tuple(plan for plan in self.plans.values() if not plan.derived)


@dataclass(slots=True)
class Wanted:
    """What a derived stream must carry: content by channel number, and where each enters."""

    sender: str
    first: int
    record: Record
    attribute: str
    contents: dict[int, str] = field(default_factory=dict)
    enters: dict[str, dict[int, str]] = field(default_factory=dict)


def streams(ask: Ask) -> Streams:
    """Return the declared and the derived streams."""
    model, graph = ask.model, ask(wires)
    plans = {name: declared(model, stream) for name, stream in model.streams.items()}
    brings: dict[str, dict[str, None]] = {}
    brought: dict[str, set[str]] = {}
    for stream in model.streams.values():
        for feed in stream.feeds:
            brought.setdefault(feed, set()).update(stream.receivers or ())
    for plan in plans.values():
        for device in plan.receivers:
            for content, enters in zip(plan.contents, plan.receivers[device], strict=True):
                if enters:
                    brings.setdefault(content, {})[device] = None
    wanted: dict[str, Wanted] = {}
    for line in model.lines.values():
        want_line(graph, line, brings, brought, wanted)
    want_feeds(graph, brought, wanted)
    for name, need in wanted.items():
        plans.setdefault(name, derived(model, name, need))
    return Streams(pruned(ask, graph, plans), brings)


def pruned(ask: Ask, graph: Graph, plans: dict[str, StreamPlan]) -> dict[str, StreamPlan]:
    """Return the streams, those to a device alone without the channels that no line or feed uses there."""
    alone = {
        name
        for name, stream in ask.model.streams.items()
        if any(not taken for taken in (stream.receivers or {}).values())
    }
    if not alone:
        return plans
    used = used_channels(ask, graph)
    kept: dict[str, StreamPlan] = {}
    for name, plan in plans.items():
        receivers = plan.receivers
        if name in alone:
            receivers = {
                device: tuple(
                    node
                    if ":" not in node or content.startswith(("feed ", "line ")) or (content, device) in used
                    else ""
                    for content, node in zip(plan.contents, enters, strict=True)
                )
                for device, enters in plan.receivers.items()
            }
        kept[name] = replace(plan, receivers=receivers)
    return kept


def used_channels(ask: Ask, graph: Graph) -> set[tuple[str, str]]:
    """Return (sender channel, device) for each channel that a line needs at a device, or a feed past every desk."""
    model, singly = ask.model, ask(taken_singly)
    wanted: dict[str, set[str]] = {
        name: {device for device, _ in line_ends(model, line)} for name, line in model.lines.items()
    }
    for name, feed in model.feeds.items():
        if any(output in model.streams for output in feed.outputs):
            gear = {device_of(port) for port in feed.gear}
            for label in singly.get(name, ()):
                wanted.setdefault(label.removeprefix("line "), set()).update(gear)
    used: set[tuple[str, str]] = set()
    for name, devices in wanted.items():
        hole = model.lines[name].hole if name in model.lines else None
        for node in onward([hole], lambda point: graph.out.get(point, ()), FIXED) if hole and devices else ():
            used.update((node, device) for device in devices)
    return used


def content_node(model: Model, name: str, sender: str) -> str:
    """Return the point at which a stream picks up a feed or line: where it is made, or where a desk passes it on."""
    if name in model.lines:
        return f"line {name} at {sender}"
    maker = desk_of(model, model.feeds[name]) if name in model.feeds else ""
    return f"feed {name}" if maker in {sender, ""} else f"feed {name} at {sender}"


def declared(model: Model, stream: Stream) -> StreamPlan:
    """Return a stream as the user wrote it."""
    kind = model.kind_of(stream.sender)
    contents = [channel_point(model, stream.sender, channel, "send") for channel in stream.channels]
    room = max((len(channels) for channels in (stream.receivers or {}).values()), default=0)
    legs = [width(model, feed) for feed in stream.feeds]
    if sum(legs) != room:
        legs = [1] * len(legs)
    for feed, count in zip(stream.feeds, legs, strict=True):
        contents += [content_node(model, feed, stream.sender)] * count
    receivers = {
        device: tuple(entering(model, stream, device, number) for number in range(len(contents)))
        for device in stream.receivers or {}
    }
    return StreamPlan(
        stream.id, stream.sender, tuple(contents), receivers, stream.packet_time_s or kind.packet_time_s,
        stream.rate_hz or kind.rate_hz, stream.group, stream.vlan, stream, "receivers",
    )  # fmt: skip


def entering(model: Model, stream: Stream, device: str, number: int) -> str:
    """Return the receiver channel that channel `number` of a stream enters.

    Empty where none is written for it. A receiver without any takes every channel, wherever the patch uses it.
    """
    channels = (stream.receivers or {})[device]
    if not channels:
        return point(device, f"receive {stream.id}:{number + 1}")
    return channel_point(model, device, channels[number], "receive") if number < len(channels) else ""


def width(model: Model, feed: str) -> int:
    """Return the channels of a feed: two where one of its buses is stereo."""
    record = model.feeds.get(feed)
    names = record.mix if record else ()
    heads = model.bus_heads
    return max((STEREO[heads[name][1]] for name in names if name in heads), default=1)


def want_line(
    graph: Graph,
    line: Line,
    brings: dict[str, dict[str, None]],
    brought: dict[str, set[str]],
    wanted: dict[str, Wanted],
) -> None:
    """Note the stream that a line needs to reach a desk or destination that nothing brings it to."""
    model = graph.model
    if line.hole is None:
        return
    reached: list[str] | None = None
    for destination, enters in line_ends(model, line):
        if not model.kind_of(destination).receive_channels or device_of(line.hole) == destination:
            continue
        if destination in brought.get(line.id, ()):
            continue
        if reached is None:
            reached = list(onward([line.hole], lambda node: graph.out.get(node, ()), FIXED))
        if any(graph.device_of.get(node) == destination or destination in brings.get(node, ()) for node in reached):
            continue
        node = next((node for node in reached if " send " in node and node in graph.device_of), None)
        if node is not None:
            want_send(graph, line, node, (destination, enters), wanted)


def line_ends(model: Model, line: Line) -> Iterator[tuple[str, str]]:
    """Yield (device, receiver channel) of each destination of a line; the channel is empty where the patch decides."""
    for strip in line.strips:
        yield strip_of(model, strip)[0], ""
    for port in line.goes_to:
        device, jack = device_of(port), jack_of(port)
        known = (model.kind_of(device).ports or {}).get(jack)
        if known is None or known.medium == "digital":
            yield device, jack


def want_send(graph: Graph, line: Line, node: str, end: tuple[str, str], wanted: dict[str, Wanted]) -> None:
    """Note that a sender channel is needed at a device: it falls into its sender's fixed block of channels."""
    sender, (device, channel) = graph.device_of[node], end
    number = int(node.rpartition(" ")[2]) if node.rpartition(" ")[2].isdigit() else 0
    kind = graph.model.kind_of(sender)
    first = (number - 1) // kind.stream_channels * kind.stream_channels + 1 if number else 0
    last = min(first + kind.stream_channels - 1, max(kind.send_channels or number, number))
    name = f"{sender} {first}-{last}" if number else node
    need = wanted.setdefault(name, Wanted(sender, first, line, "hole"))
    numbers = range(first, last + 1) if number else range(1)
    need.contents.update({n: point(sender, f"send {n}") if number else node for n in numbers})
    enters = (
        channel_point(graph.model, device, channel, "receive")
        if channel
        else point(device, f"receive {sender}:{number}")
    )
    need.enters.setdefault(device, {})[number] = enters


def want_feeds(graph: Graph, brought: dict[str, set[str]], wanted: dict[str, Wanted]) -> None:
    """Note the streams that feeds need from their desk to the boxes they leave by."""
    model = graph.model
    counts: dict[tuple[str, str], int] = {}
    for name, feed in model.feeds.items():
        desk = desk_of(model, feed)
        for output in feed.outputs:
            box = device_of(output)
            if box in {desk, *brought.get(name, ())} or desk not in model.devices or box not in model.devices:
                continue
            receive = next(
                (edge.start for edge in graph.into.get(output, ()) if edge.start.startswith(f"{box} receive ")), None
            )
            if receive is not None:
                number = counts.get((desk, box), 0)
                counts[desk, box] = number + 1
                want_feed(model, feed, (desk, box, receive), number, wanted)


def want_feed(model: Model, feed: Feed, way: tuple[str, str, str], number: int, wanted: dict[str, Wanted]) -> None:
    """Note that a feed is needed at a box: feeds of one desk to one box fill streams in the order written."""
    desk, box, receive = way
    size = model.kind_of(desk).stream_channels
    first = number // size * size + 1
    name = f"{desk} to {box} {first}-{first + size - 1}"
    need = wanted.setdefault(name, Wanted(desk, first, feed, "outputs"))
    need.contents[number + 1] = f"feed {feed.id}"
    need.enters.setdefault(box, {})[number + 1] = receive


def derived(model: Model, name: str, need: Wanted) -> StreamPlan:
    """Return a stream that follows from the patch."""
    kind = model.kind_of(need.sender)
    numbers = sorted(need.contents)
    receivers = {device: tuple(enters.get(number, "") for number in numbers) for device, enters in need.enters.items()}
    contents = tuple(need.contents[number] for number in numbers)
    return StreamPlan(
        name, need.sender, contents, receivers, kind.packet_time_s, kind.rate_hz, None, None, need.record,
        need.attribute, derived=True,
    )  # fmt: skip
