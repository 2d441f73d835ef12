"""What the verdict rests on: example figures and facts nobody has confirmed, each with the number of claims on it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from tailboard.findings import NOWHERE, Claim
from tailboard.model.records import Device
from tailboard.model.show import Model
from tailboard.text.fields import columns_of
from tailboard.views.places import PlaceView, Sources, place_view

KIND = "kind "


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
    device, _, field = name.partition(" ")
    spot = NOWHERE
    if name.startswith(KIND):
        kind = name.removeprefix(KIND)
        users = [user for user, record in model.devices.items() if record.kind == kind]
        record = model.library.kinds.get(kind)
        spot = record.at.spot() if record is not None else NOWHERE
        words = f"the figures of kind {kind} are examples" + (f" ({shortened(users)})" if users else "")
        closes = "write the kind with its data sheet's figures into kinds/, and where they are from under 'figures'"
    elif device in model.devices:
        spot = model.devices[device].at.spot(attribute_of(field))
        words = f"'{field}' of {device} is as planned, nobody has confirmed it"
        closes = f"let who knows confirm it, and write it under 'confirmed' with 'settles: {name}'"
    else:
        words = f"{name}: nobody has confirmed it"
        closes = f"let who knows confirm it, and write it under 'confirmed' with 'settles: {name}'"
    return {"name": name, "words": words, "closes": closes, "claims": count, "place": place_view(spot, sources)}


def shortened(names: list[str]) -> str:
    """Return a few names and how many more there are."""
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")


def attribute_of(field: str) -> str:
    """Return the attribute of a device's field; empty for a field that a device does not have."""
    return next((column.attribute for column in columns_of(Device) if column.name == field), "")
