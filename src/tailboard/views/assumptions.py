"""What the verdict rests on: example figures and facts nobody has confirmed, each with the number of claims on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypedDict

from tailboard.findings import NOWHERE, Claim, Spot
from tailboard.model.records import Device
from tailboard.model.show import Model
from tailboard.text.fields import Record, columns_of
from tailboard.views.places import PlaceView, Sources, place_view


class AssumptionView(TypedDict):
    """One assumption.

    name    as `confirmed: settles` names it.
    words   what is assumed; closes: what turns it into a fact.
    claims  how many claims rest on it.
    """

    name: str
    words: str
    closes: str
    claims: int
    place: PlaceView


def assumption_views(model: Model, claims: Iterable[Claim], sources: Sources) -> list[AssumptionView]:
    """Return the assumptions, those with the most claims first."""
    counts: dict[str, int] = {}
    for claim in claims:
        for name in claim.assumptions:
            counts[name] = counts.get(name, 0) + 1
    ordered = sorted(counts, key=lambda name: (-counts[name], name))
    return [assumption_view(name, counts[name], model, sources) for name in ordered]


def assumption_view(name: str, count: int, model: Model, sources: Sources) -> AssumptionView:
    """Return one assumption in words, with the place where it is written."""
    words, closes, spot = figures_of_kind(name, model) or unconfirmed(name, model)
    return {"name": name, "words": words, "closes": closes, "claims": count, "place": place_view(spot, sources)}


def figures_of_kind(name: str, model: Model) -> tuple[str, str, Spot] | None:
    """Return words, repair and spot where an assumption rests on the figures of a kind; None for any other."""
    library = model.library
    tables: tuple[tuple[str, Mapping[str, Record], dict[str, str]], ...] = (
        ("kind ", library.kinds, {user: device.kind for user, device in model.devices.items()}),
        ("source kind ", library.sources, {f"line {user}": line.type or "" for user, line in model.lines.items()}),
        ("cable kind ", library.cables, {user: cable.kind for user, cable in model.cables.items()}),
        ("optic ", library.optics, {user: port.optic or "" for user, port in model.ports.items()}),
    )
    for begin, records, users in tables:
        kind = name.removeprefix(begin).partition(":")[0]
        if name.startswith(begin) and kind in records:
            used = shortened([user for user, of in users.items() if of == kind])
            words = f"example figures of {begin}{kind}" + (f" ({used})" if used else "")
            closes = "write it with its data sheet's figures into kinds/, and where they are from under 'figures'"
            return words, closes, records[kind].at.spot()
    return None


def unconfirmed(name: str, model: Model) -> tuple[str, str, Spot]:
    """Return words, repair and spot of a fact that nobody has confirmed."""
    device, _, field = name.partition(" ")
    closes = f"let who knows confirm it, and write it under 'confirmed' with 'settles: {name}'"
    if device in model.devices:
        spot = model.devices[device].at.spot(attribute_of(field))
        return f"'{field}' of {device} is as planned, nobody has confirmed it", closes, spot
    return f"'{name}': nobody has confirmed it", closes, NOWHERE


def shortened(names: list[str]) -> str:
    """Return a few names and how many more there are."""
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def attribute_of(field: str) -> str:
    """Return the attribute of a device's field; empty for a field that a device does not have."""
    return next((column.attribute for column in columns_of(Device) if column.name == field), "")
