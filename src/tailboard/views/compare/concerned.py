"""Whom a change concerns: the places, boxes and people whose paper is no longer right, each with the reason."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypedDict

from tailboard.model.show import Model, device_of
from tailboard.text.fields import Record
from tailboard.views.compare.differences import DifferenceView, thing_words

REASONS_MAX = 3  # own choice: a line of a page; all of them stand in the list of what changed


class ConcernView(TypedDict):
    """One whose paper changes. `sort`: `place`, `box`, `person` or `house` (an owner that is not us); reasons: the changes, at most three."""

    sort: str
    name: str
    reasons: list[str]
    count: int


def concerned(old: Model, new: Model, found: list[DifferenceView]) -> list[ConcernView]:
    """Return everybody and every box whose paper changes, places first, in the order of the changes."""
    told: dict[tuple[str, str], list[str]] = {}
    for one in found:
        for model, name in ((old, one["was"]), (new, one["id"])):
            record = record_of(model, one["section"], name)
            for touched in touches(model, record) if record is not None else ():
                reasons = told.setdefault(touched, [])
                sentence = f"{thing_words(one)}: {one['words']}"
                if sentence not in reasons:
                    reasons.append(sentence)
    order = {"place": 0, "box": 1, "person": 2, "house": 3}
    return [
        {"sort": sort, "name": name, "reasons": reasons[:REASONS_MAX], "count": len(reasons)}
        for (sort, name), reasons in sorted(told.items(), key=lambda item: order[item[0][0]])
    ]


def record_of(model: Model, section: str, name: str) -> Record | None:
    """Return the record of a difference in one of the plans."""
    attribute = "ports" if section == "switch ports" else section
    records = getattr(model, attribute, {})
    found: Record | None = records.get(name) if isinstance(records, dict) else None
    return found


def touches(model: Model, record: Record) -> Iterator[tuple[str, str]]:
    """Yield (sort, name) of whoever works from a record."""
    place = getattr(record, "place", None)
    if place:
        yield "place", place
    for device in devices_of(model, record):
        yield "box", device
        at = model.place_of(device)
        if at:
            yield "place", at
        if model.devices[device].owner:
            yield "house", model.devices[device].owner
    for person in (getattr(record, "person", ""), getattr(record, "listener", "")):
        if person:
            yield "person", person


def devices_of(model: Model, record: Record) -> list[str]:
    """Return the devices that a record names: itself, its jacks, its ends."""
    own = [record.id] if record.id in model.devices else [device_of(record.id)] if "/" in record.id else []
    jacks = [getattr(record, name, None) for name in ("hole", "end_a", "end_b", "gain_owner", "device")]
    many = [
        port for name in ("strips", "outputs", "goes_to", "gear") for port in listed_ports(getattr(record, name, None))
    ]
    named = [*own, *(device_of(jack) for jack in [*jacks, *many] if jack)]
    return [device for device in dict.fromkeys(named) if device in model.devices]


def listed_ports(value: object) -> tuple[str, ...]:
    """Return the jacks a field names, one or several."""
    return (value,) if isinstance(value, str) and value else value if isinstance(value, tuple) else ()
