"""When each source arrives at a listener: all sources at once, those that are equally late together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mix, bits
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_edges import insert_delay
from tailboard.answers.soundpath_figures import NOTHING, UNPATCHED, Span, processing
from tailboard.answers.soundpath_legs import Legs, legs

ROUNDS_MAX = 8  # how often what came back into a desk is followed again; a circle is a fault of its own: feed-loop
Spread = dict[Span, int]  # how late: which sources, as bits of `Mixing.labels`


@dataclass(frozen=True, slots=True)
class Arrival:
    """Sources that come to a listener by ways that take equally long: as bits of `Mixing.labels`, and how late."""

    sources: int
    span: Span


@dataclass(slots=True)
class Desk:
    """What the entries of a desk carry, its own processing added.

    plain  how late: the labels whose entries carry exactly their own source so late.
    odd    label bit: what its entries carry, where that is something else; mask: those labels.
    """

    plain: Spread = field(default_factory=dict)
    odd: dict[int, Spread] = field(default_factory=dict)
    mask: int = 0


class Arrivals:
    """How late every source is at every feed, worked out feed by feed when it is asked for."""

    def __init__(self, ask: Ask, graph: Signal, found: Legs) -> None:
        self.ask = ask
        self.graph = graph
        self.legs = found
        self.strips: dict[str, Spread] = {}
        self.desks: dict[str, Desk] = {}
        self.sent: dict[str, Spread] = {}
        self.ears: dict[str, tuple[Arrival, ...]] = {}
        self.enter_lines()
        self.enter_returns()

    def enter_lines(self) -> None:
        """Bring every line to the strips it reaches."""
        for label, number in self.graph.mixing.index.items():
            for leg in self.legs.out.get(label, ()):
                if leg.end in self.graph.strips:
                    merge(self.strips.setdefault(leg.end, {}), {leg.span: self.graph.mixing.units[number]})

    def enter_returns(self) -> None:
        """Bring feeds that lead into a desk to their strips there, round by round, each feed once on a way."""
        strips = self.graph.strips
        coming = [leg for name in self.graph.model.feeds for leg in self.legs.out.get(f"feed {name}", ())
                  if leg.end in strips]  # fmt: skip
        for _ in range(ROUNDS_MAX if coming else 0):
            self.sent.clear()
            self.desks.clear()
            changed = False
            for leg in coming:
                more = {span.plus(leg.span)._replace(through=(*span.through, leg.start)): sources
                        for span, sources in self.leaving(leg.start).items() if leg.start not in span.through}  # fmt: skip
                changed |= merge(self.strips.setdefault(leg.end, {}), more)
            if not changed:
                break
        self.sent.clear()
        self.desks.clear()

    def leaving(self, node: str, seen: tuple[str, ...] = ()) -> Spread:
        """Return what is at a feed, a circuit or a source, and how late."""
        index = self.graph.mixing.index
        if node in index:
            return {NOTHING: self.graph.mixing.units[index[node]]}
        if node in self.sent:
            return self.sent[node]
        found: Spread = {}
        mix = self.graph.mixing.mixes.get(node)
        if mix is not None and mix.record.id not in self.graph.straight:
            merge(found, self.mixed(mix))
        for leg in self.legs.into.get(node, ()):
            if leg.start != node and leg.start not in seen:
                merge(found, moved(self.leaving(leg.start, (*seen, node)), leg.span))
        if not seen:
            self.sent[node] = found
        return found

    def mixed(self, mix: Mix) -> Spread:
        """Return what is in a mix, and how late it is when it comes out."""
        desk = self.desk(mix.desk)
        found: Spread = {}
        for more, mask in self.inserted(mix).items():
            for span, labels in desk.plain.items():
                if labels & mask:
                    merge(found, {span.plus(more): labels & mask})
            for bit in bits(mask & desk.mask):
                merge(found, moved(desk.odd[bit], more))
        return found

    def inserted(self, mix: Mix) -> Spread:
        """Return what the inserts of the buses on the way into a mix add, and to which labels; one may come by several ways."""
        graph = self.graph
        if not any(map(graph.inserts_of, graph.mixing.mixes.values())):
            return {NOTHING: mix.mask}
        found: Spread = {}
        for bit in bits(mix.mask):
            for route in graph.mixing.routes(mix.name, graph.mixing.labels[bit]):
                merge(found, {inserts_span(graph, route): 1 << bit})
        return found

    def desk(self, name: str) -> Desk:
        """Return what the entries of a desk carry."""
        known = self.desks.get(name)
        if known is not None:
            return known
        graph, desk = self.graph, Desk()
        kind = graph.model.kind_of(name)
        own = NOTHING.add(processing(kind, name))
        entries = graph.entries.get(name, {})
        for label, nodes in entries.items():
            bit = graph.mixing.index[label]
            carried: Spread = {}
            for node in nodes:
                merge(carried, moved(self.strips.get(node, {}), own))
            alone = graph.mixing.units[bit]
            if all(sources == alone for sources in carried.values()):
                merge(desk.plain, dict.fromkeys(carried, alone))
            else:
                desk.odd[bit] = carried
        for bit, span in self.direct(name, own):
            merge(desk.plain, {span: graph.mixing.units[bit]})
        desk.mask = sum(1 << bit for bit in desk.odd)
        self.desks[name] = desk
        return desk

    def direct(self, name: str, own: Span) -> Iterator[tuple[int, Span]]:
        """Yield the labels that are in a desk's mixes without an entry of their own, and how late they are."""
        graph = self.graph
        union = 0
        for mix in graph.mixing.mixes.values():
            if mix.desk == name and not mix.name.startswith("set "):
                union |= mix.mask
        entries, patched = graph.entries.get(name, {}), bool(graph.strips) and name in graph.model.devices
        for bit in bits(union):
            label = graph.mixing.labels[bit]
            if label in entries or (label.startswith("line ") and patched):
                continue
            span = own
            if label.startswith("line "):
                source = graph.model.source_kind(label.removeprefix("line "))
                span = own._replace(keyed=source is not None and source.keyed)
                span = span._replace(missing=tuple(sorted((*span.missing, UNPATCHED))))
            yield bit, span

    def at_ear(self, feed: str) -> tuple[Arrival, ...]:
        """Return the sources that come to the listener of a feed by ways that work, those that are equally late together."""
        known = self.ears.get(feed)
        if known is None:
            found: Spread = {}
            for leg in self.legs.into.get(f"ear {feed}", ()):
                merge(found, moved(self.leaving(leg.start), leg.span))
            ordered = sorted(found, key=lambda span: span[:3])
            known = self.ears[feed] = tuple(Arrival(found[span], span) for span in ordered)
        return known


def inserts_span(graph: Signal, route: tuple[str, ...]) -> Span:
    """Return what the inserts of the buses on a route add."""
    span = NOTHING
    for device in graph.inserted_on(route):
        span = span.add(insert_delay(graph.model, device))
    return span


def merge(into: Spread, more: Spread) -> bool:
    """Add a spread to another; return whether it brought something new."""
    changed = False
    for span, sources in more.items():
        held = into.get(span, 0)
        if sources | held != held:
            into[span] = held | sources if held else sources  # the same number, not a copy of it
            changed = True
    return changed


def moved(spread: Spread, by: Span) -> Spread:
    """Return a spread that much later."""
    if by == NOTHING:
        return spread
    found: Spread = {}
    for span, sources in spread.items():
        merge(found, {span.plus(by): sources})
    return found


def arrivals(ask: Ask) -> Arrivals:
    """Return how late every source is at every feed."""
    return Arrivals(ask, ask(signal), ask(legs))
