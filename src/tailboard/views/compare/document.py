"""The answer of `compare`: what changed, the verdict before and after, whose sheets change."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.findings import Finding, Severity, Status
from tailboard.model.reading import Reading
from tailboard.rules.run import Proof, root_of
from tailboard.views.compare.concerned import ConcernView, concerned
from tailboard.views.compare.differences import DifferenceView, differences
from tailboard.views.compare.renames import renames
from tailboard.views.places import PlaceView, Sources, place_view
from tailboard.views.sheets.book import book_sheets
from tailboard.views.sheets.marks import SheetChangeView, sheet_changes
from tailboard.views.sheets.records import Sheet
from tailboard.views.verdict import show_view, tally_of, verdict_of

SCHEMA = "tailboard/compare/1"


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two plans. `name`: how the user called it."""

    name: str
    reading: Reading
    proof: Proof


class SideView(TypedDict):
    """One of the two plans with its verdict."""

    name: str
    title: str
    version: str
    verdict: str
    errors: int
    warnings: int
    open: int


class BreakView(TypedDict):
    """A root cause that is in one of the two plans alone. `follows`: how many findings rest on it."""

    id: str
    severity: str
    message: str
    follows: int
    place: PlaceView


class CompareView(TypedDict):
    """The whole document.

    broken, mended  errors and warnings that came and that went.
    concerned       whose paper changes and why: places, boxes, people, the house; sheets: which of the book, and how.
    """

    schema: str
    before: SideView
    after: SideView
    differences: list[DifferenceView]
    broken: list[BreakView]
    mended: list[BreakView]
    concerned: list[ConcernView]
    sheets: list[SheetChangeView]


def compare_view(before: Side, after: Side) -> CompareView:
    """Return what differs between two plans."""
    known = renames(before.reading.model, after.reading.model)
    found = differences(before.reading.model, after.reading.model, known, after.reading.sources, before.reading.sources)
    return {
        "schema": SCHEMA,
        "before": side_view(before),
        "after": side_view(after),
        "differences": found,
        "broken": only_in(after, before),
        "mended": only_in(before, after),
        "concerned": concerned(before.reading.model, after.reading.model, found),
        "sheets": sheet_changes(sheets_of(after), sheets_of(before)),
    }


def sheets_of(side: Side) -> tuple[Sheet, ...]:
    """Return the book of one plan."""
    return book_sheets(Ask(side.reading.model), side.reading, side.proof)


def side_view(side: Side) -> SideView:
    """Return one plan with its verdict."""
    proof, head = side.proof, show_view(side.reading.model)
    undecided = {claim.id for claim in proof.claims if claim.status is Status.OPEN}
    tally = tally_of([found for found in proof.findings if found.id not in undecided], proof)
    return {
        "name": side.name,
        "title": head["title"],
        "version": head["version"],
        "verdict": verdict_of(tally, len(proof.claims)),
        "errors": tally["error"],
        "warnings": tally["warning"],
        "open": len(undecided),
    }


def only_in(one: Side, other: Side) -> list[BreakView]:
    """Return the errors and warnings of one plan that the other does not have, root causes alone."""
    known = {found.id for found in other.proof.findings}
    parent = one.proof.parent
    below = Counter(root_of(name, parent) for name in parent)
    return [
        break_view(found, below[found.id], one.reading.sources)
        for found in one.proof.findings
        if found.id not in known and found.id not in parent and found.severity in (Severity.ERROR, Severity.WARNING)
    ]


def break_view(found: Finding, follows: int, sources: Sources) -> BreakView:
    """Return a finding, short."""
    return {
        "id": found.id,
        "severity": found.severity.word,
        "message": found.message,
        "follows": follows,
        "place": place_view(found.spot, sources),
    }
