"""Delay ledgers: how late each source is at a feed's listener, figure by figure, each with where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.arrivals import Arrival, Arrivals, arrivals, inserts_span
from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mix, bits
from tailboard.answers.signal_edges import Edge, Figure, insert_delay
from tailboard.answers.signal_ways import through
from tailboard.answers.soundpath_figures import (
    NOTHING,
    UNPATCHED,
    Span,
    air_before,
    figures_of,
    inserted,
    packet_words,
    processing,
)
from tailboard.findings import Because, Spot
from tailboard.model.records import Device, Feed
from tailboard.units.wording import worded

Edges = tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One figure of a ledger.

    start, end  the points between which it counts; words: what it is: 'link offset of CON-1'.
    least_s, worst_s  what it adds; None where it is not known. [s]
    assumption  key of an example figure: 'kind console-96'; else empty.
    spot        where it is written, or where the thing stands whose kind has it.
    """

    start: str
    end: str
    words: str
    least_s: float | None
    worst_s: float | None
    assumption: str
    spot: Spot

    @property
    def because(self) -> Because:
        """The figure as evidence."""
        known = span_words(self.least_s, self.worst_s) if self.worst_s is not None else "not known"
        return Because(self.spot, f"{self.words}: {known}" if self.worst_s != 0.0 else self.words)


@dataclass(frozen=True, slots=True)
class DelayLedger:
    """Sources that come to a listener equally late, and the ledger of the first of them.

    sources    the user's names: line numbers, stations, OSC.
    steps      the way of the first, step by step; entries: its figures.
    least_s, worst_s  sums of the known figures [s]; missing: what is not known.
    assumptions  keys of the example figures; keyed: only while a key is pressed.
    returned   by way of a desk that is not ours: how loud it is nobody here knows.
    """

    feed: str
    sources: tuple[str, ...]
    steps: Edges
    entries: tuple[Entry, ...]
    least_s: float
    worst_s: float
    missing: tuple[str, ...]
    assumptions: frozenset[str]
    keyed: bool
    returned: bool


def delay_ledgers(ask: Ask, feed: str) -> tuple[DelayLedger, ...]:
    """Return the ledgers of a feed, the earliest first; data for pictures and for `hears`."""
    found = ask(arrivals)
    if feed not in ask.model.feeds:
        return ()
    return tuple(delay_ledger(ask, found, feed, arrival) for arrival in found.at_ear(feed))


def delay_ledger(ask: Ask, found: Arrivals, feed: str, arrival: Arrival, source: int | None = None) -> DelayLedger:
    """Return the ledger of one arrival, for one of its sources, the first if none is named."""
    span = arrival.span
    first = next(bits(arrival.sources)) if source is None else source
    steps = way_to(found, f"ear {feed}", first, span)
    return DelayLedger(
        feed, found.graph.mixing.names(arrival.sources), steps, tuple(entries_of(ask, steps)),
        span.least_s, span.worst_s, span.missing, span.kinds, span.keyed, span.returned,
    )  # fmt: skip


def way_to(found: Arrivals, node: str, source: int, span: Span, seen: tuple[str, ...] = ()) -> Edges:
    """Return the steps by which a source comes to an ear, a feed or a circuit that late."""
    mix = found.graph.mixing.mixes.get(node)
    if mix is not None and mix.record.id not in found.graph.straight:
        for steps in ways_into(found, mix, source, span, seen):
            return steps
    for leg in found.legs.into.get(node, ()):
        if leg.start in seen or leg.start == node:
            continue
        for before, sources in found.leaving(leg.start).items():
            if sources >> source & 1 and before.plus(leg.span) == span:
                return (*way_to(found, leg.start, source, before, (*seen, node)), *leg.edges)
    return ()


def ways_into(found: Arrivals, mix: Mix, source: int, span: Span, seen: tuple[str, ...]) -> Iterator[Edges]:
    """Yield the steps by which a source comes into a mix that late: by a strip, or without one."""
    graph = found.graph
    own = NOTHING.add(processing(graph.model.kind_of(mix.desk), mix.desk))
    entries = graph.entries.get(mix.desk, {})
    odd = found.desk(mix.desk).odd
    labels = [graph.mixing.labels[bit] for bit in bits(mix.mask) if bit == source or bit in odd]
    for label in labels:
        for route in list(graph.mixing.routes(mix.name, label)) or [(mix.name,)]:
            late = own.plus(inserts_span(graph, route))
            for strip in entries.get(label, ()):
                for before, sources in found.strips.get(strip, {}).items():
                    if sources >> source & 1 and before.plus(late) == span:
                        yield (*way_to_strip(found, strip, source, before, seen), *through(graph, strip, label, route))
            if label not in entries and graph.mixing.index[label] == source and not span.through:
                yield through(graph, label, label, route)


def way_to_strip(found: Arrivals, strip: str, source: int, span: Span, seen: tuple[str, ...]) -> Edges:
    """Return the steps by which a source comes to a strip that late: directly, or by a feed that comes back."""
    label = found.graph.mixing.labels[source]
    for leg in found.legs.into.get(strip, ()):
        if leg.start == label and leg.span == span:
            return leg.edges
        if not leg.start.startswith("feed ") or leg.start in seen:
            continue
        for before, sources in found.leaving(leg.start).items():
            came = before.plus(leg.span)._replace(through=(*before.through, leg.start))
            if sources >> source & 1 and came == span:
                return (*way_to(found, leg.start, source, before, (*seen, leg.start)), *leg.edges)
    return ()


def entries_of(ask: Ask, steps: Edges) -> Iterator[Entry]:
    """Yield the figures of a way in order."""
    model = ask.model
    for number, edge in enumerate(steps):
        line = model.lines.get(edge.start.removeprefix("line "))
        if number == 0 and line is not None and edge.start == f"line {line.id}":
            for figure in air_before(model, line):
                yield entry(ask, edge, figure, line.at.spot("air_m"))
        if edge.step == "mix":
            yield from mixed_entries(ask, edge)
            continue
        for figure in figures_of(ask, edge):
            yield entry(ask, edge, figure)
        inside = packet_words(ask, edge)
        if inside:
            yield Entry(edge.start, edge.end, inside, 0.0, 0.0, "", edge.spot)


def mixed_entries(ask: Ask, edge: Edge) -> Iterator[Entry]:
    """Yield the figures of a step into a mix: the desk's processing where it begins, the delay inserted into a feed."""
    found = ask(arrivals).graph
    mix = found.mixing.mixes.get(edge.end)
    desk = mix.desk if mix is not None else ""
    if edge.start in found.strips or edge.start in found.mixing.index:
        device = ask.model.devices.get(desk)
        spot = device.at.spot("kind") if device is not None else edge.spot
        yield entry(ask, edge, processing(ask.model.kind_of(desk), desk), spot)
        if edge.start.startswith("line "):
            yield entry(ask, edge, Figure(None, None, UNPATCHED))
    for name in found.inserts_of(mix) if mix is not None else ():
        yield entry(ask, edge, insert_delay(ask.model, name), edge.record.at.spot("inserts"))
    record = mix.record if mix is not None else None
    if isinstance(record, Feed) and record.delay_s is not None:
        yield entry(ask, edge, inserted(record), record.at.spot("delay_s"))


def entry(ask: Ask, edge: Edge, figure: Figure, spot: Spot | None = None) -> Entry:
    """Return a figure as an entry."""
    if spot is None:
        device = ask.model.devices.get(figure.words.removeprefix("link offset of "))
        spot = device.at.spot("link_offset_s") if device is not None else figure_spot(edge)
    return Entry(edge.start, edge.end, figure.words, figure.least_s, figure.worst_s, figure.kind, spot)


def figure_spot(edge: Edge) -> Spot:
    """Return where a figure that no record of its own has is to be looked up: at the device, or where the step is written."""
    if isinstance(edge.record, Device):
        return edge.record.at.spot("kind")
    if isinstance(edge.record, Feed) and edge.step == "gear":
        return edge.record.at.spot("gear")
    return edge.spot


def span_words(least_s: float | None, worst_s: float | None) -> str:
    """Return a delay as people say it: '2.75 ms', '2.2 to 5.7 ms'."""
    least, worst = worded(least_s or 0.0, "s"), worded(worst_s or 0.0, "s")
    number, _, unit = least.rpartition(" ")
    return worst if least == worst else f"{number if worst.endswith(unit) else least} to {worst}"
