"""The answer of `hears`: what a listener hears always, on key and never, each with its proof."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Heard, Hearing, ears_of, hearing
from tailboard.answers.mixing import bits, plain
from tailboard.answers.signal_ways import short
from tailboard.model.records import Hearing as HearingRow
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest
from tailboard.text.ranges import compress
from tailboard.views.chains import WayView, way_view
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
    """

    names: str
    sources: list[SourceView]
    by: str
    way: WayView


class WantedView(TypedDict):
    """What hearing.csv wants of the listener.

    wish    'always', 'on key' or 'never'; names: as written.
    status  'holds', 'holds if' or 'broken'; wrong: those that make it so; by: how a wrong one gets there.
    rests   the fact that 'holds if' rests on.
    """

    wish: str
    names: str
    status: str
    wrong: str
    by: list[str]
    rests: list[str]
    place: PlaceView


class HearsView(TypedDict):
    """The whole document. `planned` is what is meant to come by ways that do not work."""

    schema: str
    listener: str
    by: list[str]
    always: list[HeardView]
    on_key: list[HeardView]
    planned: list[HeardView]
    wanted: list[WantedView]


def hears_view(ask: Ask, name: str, sources: Sources) -> HearsView:
    """Return what a feed, station, listener, person or place hears. `name` is one that `listeners` holds."""
    model, found = ask.model, ask(hearing)
    ears = ears_of(model, name)
    heard = found.at(*ears.points)
    lost = heard.possible & ~(heard.always | heard.on_key)
    rows = [row for row in model.hearing.values() if row.id == name or set(row.by) & set(ears.by)]
    return {
        "schema": SCHEMA,
        "listener": name,
        "by": [ear_words(model, ear) for ear in ears.by],
        "always": heard_views(found, heard.always, ears.points, sources),
        "on_key": heard_views(found, heard.on_key, ears.points, sources),
        "planned": heard_views(found, lost, ears.points, sources),
        "wanted": [view for row in rows for view in wanted_views(found, row, sources)],
    }


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
        parts = (f"{ear} {feed.label}".strip(), feed.listener, how)
    else:
        station = model.stations[ear]
        parts = (ear, station.person, station.device or "")
    return ", ".join(part for part in parts if part)


def heard_views(found: Hearing, heard: int, points: tuple[str, ...], sources: Sources) -> list[HeardView]:
    """Return the sources of a set; those that come by one way, as late as each other, stand together."""
    model = found.graph.model
    groups: dict[tuple[str, str, str], list[tuple[str, WayView]]] = {}
    for bit in bits(heard):
        way = found.way(bit, *points)
        if way is not None:
            name = plain(found.mixing.labels[bit])
            view = way_view(model, way, sources)
            stop = view["stop"]["words"] if view["stop"] is not None else ""
            groups.setdefault((after_strip(short(found.graph, way), name), view["delay"], stop), []).append(
                (name, view)
            )
    return [
        {
            "names": compress(name for name, _ in group),
            "sources": [{"name": name, "what": source_words(model, name)} for name, _ in group],
            "by": by,
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


def wanted_views(found: Hearing, row: HearingRow, sources: Sources) -> list[WantedView]:
    """Return what a row of hearing.csv wants, wish by wish, with what became of it."""
    points = tuple(f"ear {ear}" for ear in row.by)
    heard = found.at(*points)
    named = {
        wish: names for wish, names in (("always", row.always), ("on key", row.on_key), ("never", row.never)) if names
    }
    return [wanted_view(found, row, wish, names, heard, sources) for wish, names in named.items()]


def wanted_view(
    found: Hearing, row: HearingRow, wish: str, names: tuple[str, ...], heard: Heard, sources: Sources
) -> WantedView:
    """Return one wish of a row: what is heard and should not be, or is not heard and should be."""
    meant = meant_by(found, row, names)
    ways = {"always": heard.always, "on key": heard.always | heard.on_key, "never": ~heard.possible}
    wrong = meant & ~ways[wish] if wish != "never" else meant & heard.possible
    unless = meant & heard.excluded if wish == "never" else 0
    points = tuple(f"ear {ear}" for ear in row.by)
    shown = wrong or unless
    proof = list(found.ways(shown, *points)) if wish == "never" else []
    attribute = {"always": "always", "on key": "on_key", "never": "never"}[wish]
    return {
        "wish": wish,
        "names": compress(names),
        "status": "broken" if wrong else "holds if" if unless else "holds",
        "wrong": compress(found.names(shown)),
        "by": [short(found.graph, way) for way in proof],
        "rests": sorted({edge.unless for way in proof for edge in way.steps if edge.unless}) if not wrong else [],
        "place": place_view(row.at.spot(attribute), sources),
    }


def meant_by(found: Hearing, row: HearingRow, names: Iterable[str]) -> int:
    """Return the set that names in hearing.csv mean; of a party line the stations that the row does not name itself."""
    model = found.graph.model
    everywhere = (*row.always, *row.on_key, *row.never)
    single = 0
    for name in everywhere:
        single |= set_of(found, name) if name in model.stations or not is_channel(model, name) else 0
    meant = 0
    for name in names:
        if is_channel(model, name):
            own = found.mixing.set_of(*(f"station {ear}" for ear in row.by))
            meant |= set_of(found, name) & ~single & ~own
        else:
            meant |= set_of(found, name)
    return meant


def is_channel(model: Model, name: str) -> bool:
    """Return whether a name is that of a party line or circuit."""
    if name in model.stations or name in model.lines:
        return False
    return any(name in station.talk or name in station.keys for station in model.stations.values())


def set_of(found: Hearing, name: str) -> int:
    """Return the set of one name: a line, a station, a party line, a bus, a person."""
    mixing, model = found.mixing, found.graph.model
    if name in mixing.masks:
        return mixing.masks[name]
    if f"bus {name}" in mixing.mixes:
        return mixing.mixes[f"bus {name}"].mask
    people = [f"station {key}" for key, station in model.stations.items() if station.person == name]
    lines = [f"line {key}" for key, line in model.lines.items() if line.source == name]
    return mixing.set_of(*people, *lines)
