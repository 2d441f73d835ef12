"""The legs of sound paths: every way without a mix in it, from a source to a strip, from a feed to an ear, with its delay."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from tailboard.answers.ask import Ask
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_edges import NO_DELAY, Edge
from tailboard.answers.soundpath_figures import JUDGED, NOTHING, OUTSIDE, Span, air_before, figures_of

STEPS_MAX = 400  # steps looked at from one start: far above any plan, and an end to a knot of cables


class Leg(NamedTuple):
    """A way from one point to another by which a signal works, and its delay."""

    start: str
    end: str
    span: Span
    edges: tuple[Edge, ...]


@dataclass(frozen=True, slots=True)
class Legs:
    """All legs, by where they begin and by where they end."""

    out: dict[str, list[Leg]] = field(default_factory=dict)
    into: dict[str, list[Leg]] = field(default_factory=dict)


def legs(ask: Ask) -> Legs:
    """Return the legs from lines, stations, circuits and feeds to strips, circuits, feeds, and the ears of feeds.

    What stations hear of a circuit or party line is left out: their number grows with the square of the stations.
    """
    model, graph = ask.model, ask(signal)
    found = Legs()
    for name, line in model.lines.items():
        before = NOTHING
        for figure in air_before(model, line):
            before = before.add(figure)
        put(found, legs_from(ask, graph, f"line {name}", before))
    starts = [f"station {name}" for name in model.stations]
    starts += [node for node in graph.out if node.startswith("channel ")]
    for name, feed in model.feeds.items():
        delay = NOTHING if feed.delay_s is None else Span(feed.delay_s, feed.delay_s)
        put(found, legs_from(ask, graph, f"feed {name}", delay))
    for start in starts:
        put(found, legs_from(ask, graph, start, NOTHING))
    return found


def put(found: Legs, some: Iterable[Leg]) -> None:
    """Add some legs."""
    for leg in some:
        found.out.setdefault(leg.start, []).append(leg)
        found.into.setdefault(leg.end, []).append(leg)


def legs_from(ask: Ask, graph: Signal, start: str, before: Span) -> list[Leg]:
    """Return the legs from a point; nothing is walked twice on one leg."""
    out, mixes, strips = graph.out, graph.mixing.mixes, graph.strips
    found: list[Leg] = []
    stack: list[tuple[str, Span, tuple[Edge, ...]]] = [(start, before, ())]
    walked = 0
    while stack and walked < STEPS_MAX:
        node, span, edges = stack.pop()
        for edge in out.get(node, ()):
            if edge.stop is not None or edge.unless or (edge.step == "listen" and not is_feed_ear(graph, edge.end)):
                continue
            walked += 1
            end, way = edge.end, (*edges, edge)
            after = passed(ask, span, edge)
            if end in strips or end in mixes or end[:4] == "ear " or end[:8] == "channel ":
                found.append(Leg(start, end, after, way))
                continue
            for earlier in edges:
                if earlier.start == end:
                    break
            else:
                stack.append((end, after, way))
    return found


def is_feed_ear(graph: Signal, node: str) -> bool:
    """Return whether a point is the ear of a feed, not that of a station."""
    return node.startswith("ear ") and node.removeprefix("ear ") in graph.model.feeds


def passed(ask: Ask, span: Span, edge: Edge) -> Span:
    """Return the delay after one more step."""
    step, delay = edge.step, edge.delay
    if edge.keyed or step in OUTSIDE:
        span = span._replace(keyed=span.keyed or edge.keyed, returned=span.returned or step in OUTSIDE)
    if step in JUDGED or (step == "inside" and delay.worst_s is None):
        for figure in figures_of(ask, edge):
            span = span.add(figure)
    elif delay is not NO_DELAY:
        span = span.add(delay)
    return span
