"""What the verdict rests on: example figures and facts nobody has confirmed, each with the number of claims on it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypedDict

from tailboard.answers.questions import FIGURES, about
from tailboard.findings import NOWHERE, Claim
from tailboard.model.show import Model
from tailboard.views.places import PlaceView, Sources, place_view

FACT_CLOSES = "let who knows confirm it, and write it under 'confirmed' with 'settles: {name}'"
FIGURES_CLOSE = "write it with its data sheet's figures into kinds/, and where they are from under 'figures'"


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
    thing = about(name, model)
    spot = NOWHERE if thing is None else thing.spot
    words, closes = f"'{name}': nobody has confirmed it", FACT_CLOSES.format(name=name)
    if thing is not None and thing.sort in FIGURES:
        words = f"example figures of {thing.sort} {thing.thing}" + (
            f" ({shortened(thing.users)})" if thing.users else ""
        )
        closes = FIGURES_CLOSE
    elif thing is not None:
        words = f"'{thing.field}' of {thing.thing} is as planned, nobody has confirmed it"
    return {"name": name, "words": words, "closes": closes, "claims": count, "place": place_view(spot, sources)}


def shortened(names: tuple[str, ...]) -> str:
    """Return a few names and how many more there are."""
    return ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "")
