"""Why an edit may be passed over in silence: a predicate with words, and what such predicates look at."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from edits_auto.edit import Case, Edit
from tailboard.model.records import Line
from tailboard.model.show import device_of


@dataclass(frozen=True, slots=True)
class Reason:
    """Why nothing is said of some edits: their kinds, a predicate, and the reason in words."""

    kinds: tuple[str, ...]
    words: str
    applies: Callable[[Case, Edit], bool]


def first(edit: Edit) -> str:
    """Return the name of the entry that is edited."""
    return edit.changes[0].name


def lines_of(case: Case, edit: Edit) -> list[Line]:
    """Return the lines that are edited."""
    return [case.model.lines[change.name] for change in edit.changes if change.table == "lines"]


def new_values(edit: Edit) -> Mapping[str, Any]:
    """Return the new values of the entry that is edited."""
    return edit.changes[0].values or {}


def medium(case: Case, edit: Edit) -> str:
    """Return the medium of the cable that is edited."""
    kind = case.model.cable_kind(first(edit))
    return kind.medium if kind else ""


def mixes_in(case: Case, feed: str) -> set[str]:
    """Return the buses that a feed is made of, those in buses too."""
    found: set[str] = set()
    left = list(case.model.feeds[feed].mix)
    while left:
        name = left.pop()
        if name in case.model.buses and name not in found:
            found.add(name)
            left += case.model.buses[name].members
    return found


def expanded(case: Case, *names: str) -> set[str]:
    """Return the lines that names stand for: lines, buses without their minus, and sets; other names are left as they are."""
    found: set[str] = set()
    for name in names:
        if name in case.model.buses:
            bus = case.model.buses[name]
            found |= expanded(case, *bus.members) - expanded(case, *bus.minus)
        elif name in case.model.sets:
            found |= expanded(case, *case.model.sets[name].lines)
        else:
            found.add(name)
    return found


def held(case: Case, *names: str) -> set[str]:
    """Return the lines in mixes, those of the people on party lines too."""
    talking = [station for station in case.model.stations.values() if set(names) & set(station.talk)]
    return expanded(case, *names, *(station.line for station in talking if station.line))


def feed_lines(case: Case, feed: str) -> set[str]:
    """Return the lines in a feed, its minus taken out."""
    record = case.model.feeds[feed]
    return held(case, *record.mix) - expanded(case, *record.minus)


def in_stream(case: Case, feed: str) -> bool:
    """Return whether a stream that is written carries a feed."""
    return any(feed in stream.feeds for stream in case.model.streams.values())


def is_reserve(case: Case, line: str) -> bool:
    """Return whether a line is the reserve of another."""
    return any(line in other.reserve for other in case.model.lines.values())


def hearers_of(case: Case, channel: str) -> set[str] | None:
    """Return the stations and feeds that hear a party line; None where none is named."""
    if not channel:
        return None
    stations = {name for name, station in case.model.stations.items() if channel in station.listen}
    return stations | {name for name, feed in case.model.feeds.items() if channel in (*feed.mix, *feed.cues)}


def at_desk(case: Case, line: str, feed: str) -> bool:
    """Return whether a line comes to the desk that makes a feed."""
    desks = [device for device in case.model.consoles if len(case.model.consoles) == 1]
    desk = case.model.feeds[feed].device or (desks[0] if desks else "")
    ends = (*case.model.lines[line].strips, *case.model.lines[line].goes_to)
    return any(device_of(end) == desk for end in ends)


def used(case: Case, device: str) -> bool:
    """Return whether a line, feed or station names a device."""
    lines = [port for line in case.model.lines.values() for port in (line.hole, line.gear, *line.strips, *line.goes_to)]
    feeds = [port for feed in case.model.feeds.values() for port in (feed.device, *feed.outputs, *feed.gear)]
    stations = [station.device for station in case.model.stations.values()]
    return device in {device_of(port) for port in (*lines, *feeds, *stations) if port}


def some(names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the first, the middle and the last of a list."""
    return tuple(dict.fromkeys([names[0], names[len(names) // 2], names[-1]])) if names else ()
