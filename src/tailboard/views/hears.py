"""The answer of `hears`: what a listener hears always, on key and never, each with its proof."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Heard, Hearing, ears_of, hearing
from tailboard.answers.level_ways import heard_ledger
from tailboard.answers.mixing import bits, plain
from tailboard.answers.signal_ways import short
from tailboard.answers.wanted import Wanted, wanted_rows
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest
from tailboard.text.ranges import compress
from tailboard.views.chains import WayView, way_view
from tailboard.views.contributions import ContributionView, contribution_views
from tailboard.views.levels import ends_of, level_words, loud_words
from tailboard.views.places import PlaceView, Sources, place_view

SCHEMA = "tailboard/hears/1"


class SourceView(TypedDict):
    """One source: its line number or station, and who or what it is."""

    name: str
    what: str


class HeardView(TypedDict):
    """Sources that come by one way.

    names  the sources, short: `1..5, 10`; sources: each of them.
    by     the way in short, from the first mix on; way: that of the first source, step by step.
    loud   how loud they come there, in words; empty where nobody knows.
    """

    names: str
    sources: list[SourceView]
    by: str
    loud: str
    way: WayView


class WantedView(TypedDict):
    """What hearing.csv wants of the listener.

    wish    'always', 'on key' or 'never'; names: as written.
    status  'holds', 'holds if' or 'broken'; missing: those not heard that should be; heard: those heard that should
            not be (or not without a key), or would be, were the facts in `rests` not so; by: how they get there.
    """

    wish: str
    names: str
    status: str
    missing: str
    heard: str
    by: list[str]
    rests: list[str]
    place: PlaceView


class HearsView(TypedDict):
    """The whole document.

    levels         how loud each feed comes out when its mix stands at the alignment level, in words.
    planned        what is meant to come by ways that do not work.
    never          the sources from which no way leads there, not even one that does not work.
    contributions  each source at each ear with all its ways counted; only where the whole answer is asked for.
    """

    schema: str
    listener: str
    by: list[str]
    levels: list[str]
    always: list[HeardView]
    on_key: list[HeardView]
    planned: list[HeardView]
    wanted: list[WantedView]
    never: str
    contributions: list[ContributionView]


def hears_view(ask: Ask, name: str, sources: Sources, *, full: bool = False) -> HearsView:
    """Return what a feed, station, listener, person or place hears. `name` is one that `listeners` holds.

    full  also every contribution with its ledger; else that list stays empty.
    """
    model, found = ask.model, ask(hearing)
    ears = ears_of(model, name)
    heard = found.at(*ears.points)
    lost = heard.possible & ~(heard.always | heard.on_key)
    rows = [wanted for wanted in ask(wanted_rows) if wanted.row.id == name or set(wanted.by) & set(ears.by)]
    return {
        "schema": SCHEMA,
        "listener": name,
        "by": [ear_words(model, ear) for ear in ears.by],
        "levels": [words for ear in ears.by if (words := at_alignment(ask, ear))],
        "always": heard_views(ask, found, heard.always, ears.points, sources),
        "on_key": heard_views(ask, found, heard.on_key, ears.points, sources),
        "planned": heard_views(ask, found, lost, ears.points, sources),
        "wanted": [view for row in rows for view in wanted_views(found, row, sources)],
        "never": compress(found.names(everything(found) & ~heard.possible)),
        "contributions": contribution_views(ask, found, heard.always | heard.on_key, ears_at(ears.points), sources)
        if full
        else [],
    }


def ears_at(points: tuple[str, ...]) -> tuple[str, ...]:
    """Return the points at which somebody hears; where there is none, all points."""
    return tuple(point for point in points if point.startswith("ear ")) or points


def everything(found: Hearing) -> int:
    """Return the set of all sources."""
    return (1 << len(found.mixing.labels)) - 1


def listeners(model: Model) -> list[str]:
    """Return every name that somebody hears by: feeds, stations, listeners, persons, places."""
    names = [*model.feeds, *model.stations, *model.hearing]
    names += [part.strip() for feed in model.feeds.values() for part in feed.listener.split(",")]
    names += [part.strip() for station in model.stations.values() for part in station.person.split(",")]
    names += [record.place or "" for table in (model.feeds, model.stations) for record in table.values()]
    return [name for name in dict.fromkeys(names) if name]


def near_listener(model: Model, name: str) -> str:
    """Return the listener that a name probably means, or an empty text."""
    return nearest(name, listeners(model))


def ear_words(model: Model, ear: str) -> str:
    """Return a feed or station in words: 'FD1 PRES EAR, presenter, ear by EPT-1'."""
    if ear in model.feeds:
        feed = model.feeds[ear]
        how = " by ".join(part for part in (feed.by or "", compress(feed.gear)) if part)
        himself = f"hears himself by {feed.side_tone}" if feed.side_tone else ""
        falls = f"{feed.dip_words} when interrupted" if feed.dip else ""
        parts: tuple[str, ...] = (f"{ear} {feed.label}".strip(), feed.listener, how, himself, falls)
    else:
        station = model.stations[ear]
        parts = (ear, station.person, station.device or "")
    return ", ".join(part for part in parts if part)


def at_alignment(ask: Ask, ear: str) -> str:
    """Return how loud a feed comes out when its mix stands at the alignment level; empty for others."""
    ledger = heard_ledger(ask, ear) if ear in ask.model.feeds else None
    words = level_words(ledger) if ledger is not None else ""
    return f"{ear} with its mix at alignment: {words}" if words else ""


def heard_views(ask: Ask, found: Hearing, heard: int, points: tuple[str, ...], sources: Sources) -> list[HeardView]:
    """Return the sources of a set; those that come by one way, as late as each other, stand together."""
    model = found.graph.model
    groups: dict[tuple[str, str, str], list[tuple[str, WayView]]] = {}
    for bit in bits(heard):
        way = found.way(bit, *points)
        if way is not None:
            name = plain(found.mixing.labels[bit])
            view = way_view(ask, way, sources)
            stop = view["stop"]["words"] if view["stop"] is not None else ""
            groups.setdefault((after_strip(short(found.graph, way), name), view["delay"], stop), []).append(
                (name, view)
            )
    return [
        {
            "names": compress(name for name, _ in group),
            "sources": [{"name": name, "what": source_words(model, name)} for name, _ in group],
            "by": by,
            "loud": loud_words(ends_of(view["level"] for _, view in group)),
            "way": group[0][1],
        }
        for (by, _, _), group in groups.items()
    ]


def after_strip(text: str, name: str) -> str:
    """Return the part of a way in short that follows a source's own strip: '5 - RXR-1 - 5 - MUS - PGM' -> 'MUS - PGM'."""
    names = text.split(" - ")
    own = max((number for number, part in enumerate(names) if part == name), default=0)
    return " - ".join(names[own + 1 :])


def source_words(model: Model, name: str) -> str:
    """Return who or what a line or station is."""
    if name in model.lines:
        return model.lines[name].source
    return model.stations[name].person if name in model.stations else ""


def wanted_views(found: Hearing, wanted: Wanted, sources: Sources) -> list[WantedView]:
    """Return what a row of hearing.csv wants, wish by wish, with what became of it."""
    row = wanted.row
    heard = found.at(*wanted.points)
    wishes = (("always", "always", row.always), ("on key", "on_key", row.on_key), ("never", "never", row.never))
    return [wanted_view(found, wanted, wish, attribute, heard, sources) for wish, attribute, names in wishes if names]


def wanted_view(
    found: Hearing, wanted: Wanted, wish: str, attribute: str, heard: Heard, sources: Sources
) -> WantedView:
    """Return one wish of a row: what is heard and should not be, or is not heard and should be."""
    meant = wanted.sets[attribute]
    arrived = found.at(*wanted.ears)  # a wish is met at the ear; what must never be heard is looked for on the way too
    absent = meant & ~{"always": arrived.always, "on key": arrived.always | arrived.on_key, "never": -1}[wish]
    present = meant & {"always": 0, "on key": heard.steady, "never": heard.possible}[wish]
    unless = meant & heard.excluded if wish == "never" and not present else 0
    proof = list(found.ways(present or unless, *(f"ear {name}" for name in wanted.by)))
    rests = {edge.unless for way in proof for edge in way.steps if edge.unless} - found.graph.model.settled
    if unless and not rests:
        unless, proof = 0, []
    return {
        "wish": wish,
        "names": compress(getattr(wanted.row, attribute)),
        "status": "broken" if absent or present else "holds if" if unless else "holds",
        "missing": compress(found.names(absent)),
        "heard": compress(found.names(present or unless)),
        "by": [short(found.graph, way) for way in proof],
        "rests": sorted(rests) if unless else [],
        "place": place_view(wanted.row.at.spot(attribute), sources),
    }
