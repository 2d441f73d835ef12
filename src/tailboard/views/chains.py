"""The answer of `trace`: every way from one thing to another, station by station, with its delay."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import ears_of
from tailboard.answers.level_ways import way_ledger
from tailboard.answers.mixing import label_of, strip_of
from tailboard.answers.paths import ahead
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_contributions import contributions
from tailboard.answers.signal_edges import Edge, Stop
from tailboard.answers.signal_reach import Terms
from tailboard.answers.signal_ways import COUNTED_MAX, Way, Ways, ways
from tailboard.answers.soundpath import Entry, entries_of
from tailboard.findings import Because
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest
from tailboard.units.wording import worded
from tailboard.views.levels import WayLevelView, level_view
from tailboard.views.places import PlaceView, ReasonView, Sources, place_view, reason_views

SCHEMA = "tailboard/trace/1"
LISTED = 6
SHORT_STEPS = frozenset({"cable", "stream"})


class HopView(TypedDict):
    """One cable that a stream crosses."""

    cable: str
    words: str


class StepView(TypedDict):
    """One step of a way.

    by       what carries it, short: a cable, a stream, 'inside', 'mix'; words: the same in full.
    delay    of this step, empty where it has none or nobody knows.
    on_key   only while somebody presses a key.
    stops    why it does not work, empty where it does.
    """

    begins: str
    ends: str
    step: str
    by: str
    words: str
    delay: str
    on_key: bool
    stops: str
    place: PlaceView
    hops: list[HopView]


class StopView(TypedDict):
    """Where and why a way ends."""

    words: str
    place: PlaceView


class WayView(TypedDict):
    """One way. `delay` is the sum of the known figures; `missing` names the others; `assumptions` the example figures.

    level  how loud it comes there; None where it does not begin at a line with an analogue source.
    """

    works: bool
    on_key: bool
    steps: list[StepView]
    delay: str
    missing: list[str]
    assumptions: list[str]
    level: WayLevelView | None
    stop: StopView | None


class TraceView(TypedDict):
    """The whole document.

    count  ways found; more: whether counting stopped there.
    begun  where there is no way: how far the signal gets, if it gets stuck; minus: the entries that keep it out.
    """

    schema: str
    begins: str
    ends: str
    count: int
    more: bool
    ways: list[WayView]
    begun: WayView | None
    minus: list[ReasonView]


def trace_view(ask: Ask, begins: str, ends: str, sources: Sources) -> TraceView:
    """Return the ways between two things; each name is one that `starts_of` and `ends_of` know."""
    graph = ask(signal)
    pairs = [(start, end) for start in starts_of(graph, begins) for end in ends_of(graph, ends)]
    answers = [ways_between(graph, start, end) for start, end in pairs]
    found = [way for answer in answers for way in answer.listed]
    found.sort(key=lambda way: (way.stop is not None, way.keyed, len(way.steps)))
    begun = None
    if not found:
        far = max((tuple(ahead(graph, start, end)) for start, end in pairs), key=len, default=())
        stuck = bool(far) and not far[-1].end.startswith("ear ") and far[-1].end not in graph.strips
        begun = way_view(ask, Way(far), sources) if stuck else None
    exact = [exact_count(graph, start, end) for start, end in pairs]
    count = sum(answer.count for answer in answers)
    more = count > COUNTED_MAX or any(answer.more for answer in answers)
    if more and exact and all(number is not None for number in exact):
        count, more = sum(number or 0 for number in exact), False
    return {
        "schema": SCHEMA,
        "begins": begins,
        "ends": ends,
        "count": min(count, COUNTED_MAX) if more else count,
        "more": more,
        "ways": [way_view(ask, way, sources) for way in found[:LISTED]],
        "begun": begun,
        "minus": [] if found else [view for start, end in pairs for view in kept_out(graph, start, end, sources)],
    }


def exact_count(graph: Signal, start: str, end: str) -> int | None:
    """Return how many ways lead from one point to another, planned ones that do not work among them; None: too many circles."""
    if start in graph.mixing.mixes:
        return None
    found = contributions(graph, start, end, Terms(), 1)
    return found.count if found.exact else None


def kept_out(graph: Signal, start: str, end: str, sources: Sources) -> list[ReasonView]:
    """Return the minus entries that keep a source out of what a feed's listener gets."""
    mixes, bit = graph.mixing.mixes, graph.mixing.set_of(start)
    queue, found = [f"feed {end.removeprefix('ear ')}", f"feed {end}", end], {}
    while queue:
        mix = mixes.get(queue.pop(0))
        if mix is None or mix.name in found:
            continue
        words = f"the minus of {mix.record.id} names {start}" if mix.minus & bit else ""
        found[mix.name] = Because(mix.record.at.spot("minus"), words)
        queue += [f"{kind} {name}" for name in mix.members for kind in ("bus", "feed")]
    return reason_views([reason for reason in found.values() if reason.words], sources)


def ways_between(graph: Signal, start: str, end: str) -> Ways:
    """Return the ways between two points; from a bus they lead on through every mix that holds it."""
    if start not in graph.mixing.mixes or start.startswith("feed "):
        return ways(graph, start, end, LISTED)
    count, more, listed = 0, False, []
    stack: list[tuple[Edge, ...]] = [()]
    while stack:
        steps = stack.pop()
        here = steps[-1].end if steps else start
        if steps and here in {end, *graph.out}:
            after = Ways(1, (Way(()),), more=False) if here == end else ways(graph, here, end, LISTED)
            count, more = count + after.count, more or after.more
            listed += [Way((*steps, *way.steps)) for way in after.listed]
        for mix in graph.mixing.mixes.values():
            inside = here.partition(" ")[2] in mix.members and mix.name not in {start, *(edge.end for edge in steps)}
            if inside:
                stack.append((*steps, graph.step_into(mix, here, here)))
    return Ways(count, tuple(listed), more)


def starts_of(graph: Signal, name: str) -> tuple[str, ...]:
    """Return the points at which a signal called `name` begins: a line, a person who speaks, a mix, a jack or strip."""
    model = graph.model
    line = name.removeprefix("line ")
    if line in model.lines:
        return (f"line {line}",)
    if name in model.stations:
        return (label_of(model, name),)
    for node in (f"bus {name}", f"feed {name}", name):
        if node in graph.mixing.mixes or node in graph.out or node in graph.mixing.index:
            return (node,)
    sources = [f"line {key}" for key, record in model.lines.items() if name in {record.label, record.source}]
    people = [label_of(model, key) for key, record in model.stations.items() if record.person == name]
    return tuple(dict.fromkeys((*sources, *people))) or points_at(graph, name, begin=True)


def ends_of(graph: Signal, name: str) -> tuple[str, ...]:
    """Return the points at which a signal arrives at `name`: an ear, a mix, a strip, a jack, the inputs of a device."""
    model = graph.model
    ears = ears_of(model, name).points
    if ears:
        return ears
    for node in (f"bus {name}", name):
        if node in graph.mixing.mixes or node in graph.into:
            return (node,)
    return points_at(graph, name, begin=False)


def points_at(graph: Signal, name: str, *, begin: bool) -> tuple[str, ...]:
    """Return the points of a strip written as CON-1/5, or those of a device where a signal comes in or goes out."""
    edges = graph.out if begin else graph.into
    device, strip = strip_of(graph.model, name)
    node = f"{device} strip {strip}"
    if node in graph.strips or node in edges:
        return (node,)
    return tuple(point for point, owner in graph.device_of.items() if owner == name and edges.get(point))


def near_name(graph: Signal, name: str) -> str:
    """Return what a name in a trace probably means, or an empty text."""
    model = graph.model
    points = [point.removeprefix("bus ").removeprefix("ear ") for point in (*graph.out, *graph.into)]
    listeners = [feed.listener for feed in model.feeds.values()]
    people = [station.person for station in model.stations.values()]
    known = (*model.lines, *model.buses, *model.feeds, *model.stations, *listeners, *people, *model.devices, *points)
    return nearest(name, [text for text in known if text])


def way_view(ask: Ask, way: Way, sources: Sources) -> WayView:
    """Return one way with its ledger."""
    ledger = [tuple(entries_of(ask, (edge,))) for edge in way.steps]
    every = [entry for entries in ledger for entry in entries]
    stop, level = way.stop, way_ledger(ask, way.steps)
    return {
        "works": stop is None,
        "on_key": way.keyed,
        "steps": [
            step_view(ask.model, edge, entries, sources) for edge, entries in zip(way.steps, ledger, strict=True)
        ],
        "delay": delay_words(every),
        "missing": list(dict.fromkeys(entry.words for entry in every if entry.worst_s is None)),
        "assumptions": sorted({entry.assumption for entry in every} - {""}),
        "level": level_view(level) if level is not None and stop is None else None,
        "stop": stop_view(stop, sources) if stop is not None else None,
    }


def delay_words(entries: Iterable[Entry]) -> str:
    """Return the sum of the known figures."""
    known = [entry for entry in entries if entry.least_s is not None and entry.worst_s is not None]
    return span_words(sum(entry.least_s or 0.0 for entry in known), sum(entry.worst_s or 0.0 for entry in known))


def stop_view(stop: Stop, sources: Sources) -> StopView:
    """Return where and why a way ends."""
    return {"words": stop.words, "place": place_view(stop.spot, sources)}


def step_view(model: Model, edge: Edge, entries: tuple[Entry, ...], sources: Sources) -> StepView:
    """Return one step with its delay."""
    known = all(entry.worst_s is not None for entry in entries)
    return {
        "begins": point_words(model, edge.start),
        "ends": point_words(model, edge.end),
        "step": edge.step,
        "by": carrier_words(edge),
        "words": edge.words,
        "delay": delay_words(entries) if known else "",
        "on_key": edge.keyed,
        "stops": edge.stop.words if edge.stop is not None else "",
        "place": place_view(edge.spot, sources),
        "hops": [{"cable": hop.cable, "words": hop.words} for hop in edge.hops],
    }


def carrier_words(edge: Edge) -> str:
    """Return what carries a step, short."""
    if edge.step not in SHORT_STEPS:
        return "on key" if edge.keyed else edge.step
    return edge.words.removeprefix("cable ").removeprefix("stream ").partition(", derived")[0]


def point_words(model: Model, point: str) -> str:
    """Return a point as a reader knows it: an ear by its listener, everything else by its name."""
    kind, _, name = point.partition(" ")
    if kind == "ear" and name in model.feeds and model.feeds[name].listener:
        return f"{model.feeds[name].listener} ({name})"
    if kind in {"ear", "station"} and name in model.stations and model.stations[name].person:
        return f"{model.stations[name].person} ({name})"
    return name if kind in {"channel", "ear", "station"} and name else point


def span_words(least_s: float | None, worst_s: float | None) -> str:
    """Return a delay, or its least and worst; an empty text for none."""
    if not least_s and not worst_s:
        return ""
    least, worst = worded(least_s or 0.0, "s"), worded(worst_s or 0.0, "s")
    return least if least == worst else f"{least} to {worst}"
