"""What a step of a sound path adds to its delay: every figure, with what it is and where it comes from."""

from __future__ import annotations

from typing import NamedTuple

from tailboard.answers.ask import Ask
from tailboard.answers.signal_comms import base_of
from tailboard.answers.signal_edges import Edge, Figure, example
from tailboard.kinds.records import Kind
from tailboard.model.records import Device, Feed, Line, Station
from tailboard.model.show import Model, device_of
from tailboard.physics.air import COLD_C, KELVIN_AT_0_C, WARM_C, air_delay_s
from tailboard.units.wording import worded

OUTSIDE = frozenset({"return", "desk"})  # steps through a desk that is not ours: what comes out is not in our hands
JUDGED = frozenset(
    {"source", "gear", "talk", "interrupt", "listen", "output"}
)  # steps that may add more than the graph says
DELAYING = frozenset({"radio receiver", "codec", "hybrid"})  # what brings a source from elsewhere
UNKNOWN = "unknown"
UNPATCHED = "way of the lines to the console"


class Span(NamedTuple):
    """The delay of a way or a part of one.

    least_s, worst_s  sums of the known figures; missing: what is not known, each once for each time it counts.
    kinds             assumption keys of the example figures in the sums.
    keyed             open only while a key is pressed.
    returned          comes back through a desk that is not ours, so that nobody here knows its level.
    through           the feeds that came back into a desk on the way, so that no circle is walked twice.
    """

    least_s: float = 0.0
    worst_s: float = 0.0
    missing: tuple[str, ...] = ()
    kinds: frozenset[str] = frozenset()
    keyed: bool = False
    returned: bool = False
    through: tuple[str, ...] = ()

    def plus(self, other: Span) -> Span:
        """Return the delay of one part after the other. Sums are kept to the nanosecond, so that equal ways are equal."""
        return Span(
            round(self.least_s + other.least_s, 9),
            round(self.worst_s + other.worst_s, 9),
            tuple(sorted(self.missing + other.missing)) if self.missing and other.missing
            else self.missing or other.missing,
            self.kinds | other.kinds,
            self.keyed or other.keyed,
            self.returned or other.returned,
            self.through + other.through,
        )  # fmt: skip

    def add(self, figure: Figure) -> Span:
        """Return the delay with one more figure."""
        least_s, worst_s, missing, kinds, keyed, returned, through = self
        if figure.least_s is None or figure.worst_s is None:
            missing = tuple(sorted((*missing, figure.words)))
        else:
            least_s, worst_s = round(least_s + figure.least_s, 9), round(worst_s + figure.worst_s, 9)
            kinds = kinds | {figure.kind} if figure.kind else kinds
        return Span(least_s, worst_s, missing, kinds, keyed, returned, through)


NOTHING = Span()


def figures_of(ask: Ask, edge: Edge) -> tuple[Figure, ...]:
    """Return every figure of a step: what the signal graph knows, and the radio, the rate converter and the air."""
    model = ask.model
    found = [edge.delay] if counts(edge.delay) else []
    if edge.step == "source":
        found += gear_of_source(model, edge)
    elif edge.step == "inside" and isinstance(edge.record, Device):
        found = converted(model.kind_of(edge.record.id), found)
    elif isinstance(edge.record, Station):
        found = talked(ask, edge, edge.record)
    elif edge.step == "output" and edge.start.startswith("channel "):
        found = []  # a circuit leaves its base where the talk, with the delay of the base, came in
    elif (
        edge.step == "output" and isinstance(edge.record, Feed) and edge.record.bed and edge.record.delay_s is not None
    ):
        found.append(inserted(edge.record))  # it shares another feed's channel up to here
    elif edge.step == "gear" and isinstance(edge.record, Feed) and edge.record.air_m is not None:
        found.append(air(model, edge.record.air_m, edge.record.place, f"to {edge.record.id}"))
    return tuple(found)


def counts(figure: Figure) -> bool:
    """Return whether a figure adds a delay or is missing."""
    return figure.worst_s is None or figure.worst_s > 0 or bool(figure.kind)


def inserted(feed: Feed) -> Figure:
    """Return the delay that is inserted into a feed on purpose."""
    return Figure(feed.delay_s, feed.delay_s, f"delay inserted into {feed.id}")


def air_before(model: Model, line: Line) -> tuple[Figure, ...]:
    """Return the delay of the air between a source and its microphone, where the distance is written."""
    return () if line.air_m is None else (air(model, line.air_m, line.place, f"of line {line.id}"),)


def air(model: Model, distance_m: float, place: str | None, whose: str) -> Figure:
    """Return the delay of a distance in the air of a place; where no temperature is written, from 0 to 30 degrees."""
    record = model.places.get(place or "")
    stated = record.temperature_c if record else None
    warm, cold = (WARM_C, COLD_C) if stated is None else (stated, stated)
    how = f"at {cold} to {warm} °C" if stated is None else f"at {stated} °C"
    least_s, worst_s = (air_delay_s(distance_m, KELVIN_AT_0_C + degrees) for degrees in (warm, cold))
    return Figure(least_s, worst_s, f"{worded(distance_m, 'm')} of air {whose}, {how}")


def processing(kind: Kind, device: str, word: str = "processing") -> Figure:
    """Return the delay of a kind from input to output, or what is missing."""
    if kind.id == UNKNOWN:
        return Figure(None, None, f"kind of {device or 'the console'}")
    return Figure(kind.process_delay_s, kind.process_delay_s, f"{word} of kind {kind.id}", example(kind))


def gear_of_source(model: Model, edge: Edge) -> list[Figure]:
    """Return the delay of the gear by which a source comes, as far as its kind states one; a codec or telephone must.

    A radio receiver whose kind states none is taken to have none, and that is an assumption: it may be a digital one.
    """
    if counts(edge.delay) or "/" not in edge.end:
        return []
    device = device_of(edge.end)
    kind = model.kind_of(device)
    if kind.mixes or (kind.process_delay_s is None and kind.role not in DELAYING):
        return []
    radio = kind.role == "radio receiver"
    if radio and kind.process_delay_s is None:
        return [Figure(0.0, 0.0, f"radio of kind {kind.id}, which states no processing", f"kind {kind.id}")]
    return [processing(kind, device, "radio" if radio else "processing")]


def converted(kind: Kind, found: list[Figure]) -> list[Figure]:
    """Return the figure of a gateway: its rate converter, where the graph misses an analogue one that it does not have."""
    if found and found[0].least_s is None and kind.role == "gateway":
        word = "rate conversion" if kind.process_delay_s is not None else "processing"
        return [processing(kind, kind.id, word)]
    return found


def talked(ask: Ask, edge: Edge, station: Station) -> list[Figure]:
    """Return the delay of talk by way of an intercom base: the link offset of the base and what it needs to pass talk on.

    Counted once, where the talk comes in; the ears of stations add nothing here.
    """
    base = base_of(ask, station)
    if base is None or edge.step == "listen":
        return []
    found = [processing(ask.model.kind_of(base), base)]
    device = ask.model.devices.get(base)
    if station.device is not None and device is not None:
        offsets_s = [*(device.link_offset_s_by_port or {}).values(), *filter(None, [device.link_offset_s])]
        least_s, worst_s = min(offsets_s, default=None), max(offsets_s, default=None)
        found.insert(0, Figure(least_s, worst_s, f"link offset of {base}"))
    return found


def packet_words(ask: Ask, edge: Edge) -> str:
    """Return the packet time of a stream, which its link offset holds already; empty for other steps and where unknown."""
    if edge.step != "stream":
        return ""
    written: float | None = getattr(edge.record, "packet_time_s", None)
    if written is None:
        sender = ask.model.devices.get(getattr(edge.record, "sender", ""))
        written = None if sender is None else ask.model.kind_of(sender.id).packet_time_s
    return "" if written is None else f"packet time {worded(written, 's')}, inside the link offset"
