"""The verdict by place and by family, reasons first: what an engineer in charge reads before anything else."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.model.records import Device, Feed, Line, Station
from tailboard.model.show import Model, device_of
from tailboard.views.verdict import CheckView, FindingView

NO_PLACE = "the whole show"
ORDER = {"error": 0, "warning": 1, "note": 2}


class PlaceReadyView(TypedDict):
    """One place. `mark`: 'broken' with an error or warning that is not accepted, 'open' with open claims alone, else 'holds'.

    reasons  ids of the root causes that concern it, worst first; open: ids of its open claims.
    """

    place: str
    words: str
    mark: str
    errors: int
    warnings: int
    reasons: list[str]
    open: list[str]


class FamilyReadyView(TypedDict):
    """One family of claims, its counts in words and its mark."""

    family: str
    mark: str
    words: str
    reasons: list[str]


class ReadyView(TypedDict):
    """The whole answer. `verdict` as in `check`; every id is one of its `findings` or `open`."""

    verdict: str
    mark: str
    places: list[PlaceReadyView]
    families: list[FamilyReadyView]


def ready_view(ask: Ask, check: CheckView) -> ReadyView:
    """Return the verdict by place and family."""
    model = ask.model
    homes = home_of_names(ask)
    at: dict[str, list[FindingView]] = {}
    for found in check["findings"]:
        for place in places_of(model, homes, found["id"], [*found["also"]["lines"], *found["also"]["feeds"]]):
            at.setdefault(place, []).append(found)
    waiting: dict[str, list[str]] = {}
    for one in check["open"]:
        for place in places_of(model, homes, one["id"], []):
            waiting.setdefault(place, []).append(one["id"])
    names = [*sorted(model.places, key=lambda name: visit(model, name)), NO_PLACE]
    places = [
        place_ready(model, name, at.get(name, []), waiting.get(name, []))
        for name in names
        if name != NO_PLACE or name in at or name in waiting
    ]
    families = [family_ready(check, entry["family"]) for entry in check["families"]]
    return {"verdict": check["verdict"], "mark": mark_of(check["verdict"]), "places": places, "families": families}


def visit(model: Model, place: str) -> float:
    """Return where a place comes in walking order; those that nobody walks to come last."""
    number = model.places[place].visit
    return float("inf") if number is None else float(number)


def mark_of(verdict: str) -> str:
    """Return the sign of a verdict."""
    return {"ready": "holds", "ready with warnings": "holds if", "nothing proven": "open"}.get(verdict, "broken")


def home_of_names(ask: Ask) -> dict[str, tuple[str, ...]]:
    """Return the places of everything that a finding may name: devices, cables, lines, feeds, stations, places."""
    model = ask.model
    homes: dict[str, tuple[str, ...]] = {name: (name,) for name in model.places}
    tables: tuple[Mapping[str, Station | Feed | Line | Device], ...] = (
        model.stations,
        model.feeds,
        model.lines,
        model.devices,
    )
    for table in tables:
        homes |= {name: (record.place,) for name, record in table.items() if record.place}
    devices = {name: record.place for name, record in model.devices.items() if record.place}
    for jack, cables in ask(wiring).at.items():
        place = devices.get(device_of(jack))
        for cable in cables if place else ():
            homes[cable] = tuple(dict.fromkeys((*homes.get(cable, ()), place or "")))
    return homes


def places_of(model: Model, homes: dict[str, tuple[str, ...]], claim: str, suffer: list[str]) -> list[str]:
    """Return the places that a claim is about by the names in its id, else those of the lines and feeds that suffer."""
    names = claim.split(":")[1:]
    found = [place for name in names for place in homes_of(homes, name)]
    if not found:
        found = [place for name in suffer for place in homes.get(name, ())]
    return [place for place in dict.fromkeys(found) if place in model.places] or [NO_PLACE]


def homes_of(homes: dict[str, tuple[str, ...]], name: str) -> tuple[str, ...]:
    """Return the places of one name in a claim's id: `SW-B/S1`, `line 5`, `F-01~COMMS`, `SB-1`."""
    for part in (name, device_of(name), name.partition("~")[0], re.sub(r"^(line|feed|cable|device) ", "", name)):
        if part in homes:
            return homes[part]
    return ()


def place_ready(model: Model, name: str, found: list[FindingView], waiting: list[str]) -> PlaceReadyView:
    """Return one place."""
    found = sorted(found, key=lambda one: ORDER.get(one["severity"], 3))
    errors = sum(one["severity"] == "error" for one in found)
    warnings = sum(one["severity"] == "warning" for one in found)
    record = model.places.get(name)
    return {
        "place": name,
        "words": record.name if record is not None and record.name else "",
        "mark": "broken" if errors else "holds if" if warnings else "open" if waiting else "holds",
        "errors": errors,
        "warnings": warnings,
        "reasons": [one["id"] for one in found if one["severity"] != "note"],
        "open": waiting,
    }


def family_ready(check: CheckView, family: str) -> FamilyReadyView:
    """Return one family."""
    counts = next(entry["counts"] for entry in check["families"] if entry["family"] == family)
    told = (
        ("broken", counts["broken"]),
        ("accepted", counts["accepted"]),
        ("open", counts["open"]),
        ("hold if", counts["holds_if"]),
        ("hold", counts["holds"]),
        ("none listed in this plan; not a safety statement", counts["none_listed"]),
    )
    return {
        "family": family,
        "mark": "broken"
        if counts["broken"]
        else "open"
        if counts["open"]
        else "holds if"
        if counts["holds_if"]
        else "holds",
        "words": ", ".join(f"{count} {word}" for word, count in told if count),
        "reasons": [one["id"] for one in check["findings"] if one["family"] == family and one["severity"] != "note"],
    }
