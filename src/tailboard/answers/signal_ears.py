"""The feeds by listener: the legs that belong together, where each feed leads, and the places in which it sounds."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from tailboard.answers.ask import Ask
from tailboard.answers.signal import signal
from tailboard.answers.signal_edges import FIXED, Edge, onward
from tailboard.model.records import Feed
from tailboard.model.show import Model, device_of

STEPS = FIXED | {"desk", "return", "interrupt"}
NUMBERS = re.compile(r"(\d+)")


@dataclass(frozen=True, slots=True)
class Listening:
    """Feeds that are one to their listener: the legs of a stereo feed.

    ids    their ids, in order of number; feeds: their records.
    points the points at which they are heard: the desk's feed and the ear, of each.
    """

    ids: tuple[str, ...]
    feeds: tuple[Feed, ...]

    @property
    def points(self) -> tuple[str, ...]:
        """The points at which they are heard."""
        return tuple(f"{word} {name}" for name in self.ids for word in ("ear", "feed"))

    @property
    def first(self) -> Feed:
        """The first of the feeds: what they have in common stands in each."""
        return self.feeds[0]


def listenings(ask: Ask) -> tuple[Listening, ...]:
    """Return the feeds, legs of one feed joined: same listener, place, way, mix, minus, interrupts and own voice."""
    groups: dict[tuple[object, ...], list[Feed]] = {}
    for feed in ask.model.feeds.values():
        alike = (
            feed.listener or feed.id,
            feed.place,
            feed.zone,
            feed.by,
            feed.mix,
            feed.minus,
            feed.cues,
            feed.interrupts,
            feed.dip,
            feed.own,
            feed.device,
        )
        groups.setdefault(alike, []).append(feed)
    found = []
    for feeds in groups.values():
        ordered = sorted(feeds, key=lambda feed: natural(feed.id))
        found.append(Listening(tuple(feed.id for feed in ordered), tuple(ordered)))
    return tuple(found)


@lru_cache(maxsize=65536)
def natural(name: str) -> tuple[tuple[int, str], ...]:
    """Return a sorting key by which FD9 stands before FD10."""
    return tuple((int(part), "") if part.isdecimal() else (-1, part) for part in NUMBERS.split(name) if part)


def leads(ask: Ask) -> dict[str, dict[str, Edge | None]]:
    """Return for each feed every point it leads to as planned, with the edge it came by, up to the strips it enters."""
    out = ask(signal).out
    return {
        name: onward([f"feed {name}"], lambda node: (edge for edge in out.get(node, ()) if not edge.unless), STEPS)
        for name in ask.model.feeds
    }


@dataclass(frozen=True, slots=True)
class Sounding:
    """Where a feed is heard in the air.

    places        places in which it sounds, those of one PA zone together.
    loudspeakers  the devices that sound, as far as they are written; points: where the signal enters them.
    desk          the outside desk that it passes, if any.
    """

    places: tuple[str, ...]
    loudspeakers: tuple[str, ...]
    points: tuple[str, ...]
    desk: str


def soundings(ask: Ask) -> dict[str, Sounding]:
    """Return the feeds that sound in a place."""
    model, devices = ask.model, ask(signal).device_of
    zones: dict[str, list[str]] = {}
    for name, place in model.places.items():
        if place.zone is not None:
            zones.setdefault(place.zone, []).append(name)
    found: dict[str, Sounding] = {}
    for name, came in ask(leads).items():
        feed = model.feeds[name]
        if feed.by == "ear":
            continue
        points = [node for node in came if model.kind_of(devices.get(node, "")).loudspeaker]
        speakers = tuple(dict.fromkeys(devices[node] for node in points))
        if not speakers and feed.by != "loudspeaker":
            continue
        own = [model.place_of(speaker) or feed.place for speaker in speakers]
        if feed.zone is not None and feed.zone in zones:
            own += zones[feed.zone]
        own = own or [feed.place]
        desks = [devices[node] for node in came if model.kind_of(devices.get(node, "")).returns]
        desks += [device_of(gear) for gear in feed.gear if model.kind_of(device_of(gear)).returns]
        found[name] = Sounding(zoned(model, zones, own), speakers, tuple(points), next(iter(desks), ""))
    return found


def zoned(model: Model, zones: dict[str, list[str]], own: list[str | None]) -> tuple[str, ...]:
    """Return places with those that share a PA zone with one of them."""
    places: dict[str, None] = {}
    for name in own:
        if name is not None:
            zone = model.places[name].zone if name in model.places else None
            places.update(dict.fromkeys([name, *(zones[zone] if zone else [])]))
    return tuple(places)
