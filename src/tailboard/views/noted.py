"""What the crew noted about a row, as a reader sees it: who, when, what, and whether they agree."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypedDict

from tailboard.record.operations import Kept
from tailboard.record.standing import Row, Standing
from tailboard.views.sheets.sums import content_sum


class NoteView(TypedDict):
    """One operation. `id` names it; at_ms and received_ms are the clocks of the page and of the server.

    stale  why it may no longer count: the row or the plan has changed since; empty where it counts.
    """

    id: str
    number: int
    verdict: str
    value: str
    words: str
    by: str
    at_ms: int
    received_ms: int
    source: str
    photo: bool
    stale: str


class NotedView(TypedDict):
    """What stands on a row. `state`: 'open' while nobody noted anything, 'conflict' where people differ, else the verdict.

    says     the state in a few words; history: how many operations there are on the row.
    """

    state: str
    says: str
    notes: list[NoteView]
    history: int


class Plan:
    """What notes are held against: the version and the check sum of the plan, and what stands by row."""

    def __init__(
        self, version: str, plan_sum: str, standing: Mapping[Row, Standing], photos: frozenset[str] = frozenset()
    ) -> None:
        self.version, self.plan_sum, self.standing, self.photos = version, plan_sum, standing, photos

    def noted(self, sort: str, subject: str, row_sum: str) -> NotedView:
        """Return what stands on a row of which the check sum is now `row_sum`."""
        found = self.standing.get((sort, subject))
        if found is None:
            return {"state": "open", "says": "open", "notes": [], "history": 0}
        notes = [self.note(kept, row_sum) for kept in found.kept]
        return {
            "state": "conflict" if found.conflict else found.kept[-1].operation.verdict if found.kept else "open",
            "says": says(found, notes),
            "notes": notes,
            "history": len(found.history),
        }

    def note(self, kept: Kept, row_sum: str) -> NoteView:
        """Return one operation as a note."""
        one = kept.operation
        return {
            "id": one.id, "number": kept.number, "verdict": one.verdict, "value": one.value, "words": one.words,
            "by": one.by, "at_ms": one.at_ms, "received_ms": kept.received_ms, "source": one.source,
            "photo": one.id in self.photos, "stale": self.stale(kept, row_sum),
        }  # fmt: skip

    def stale(self, kept: Kept, row_sum: str) -> str:
        """Return why a note may no longer count; empty where the row is as it was noted against."""
        one = kept.operation
        if one.row_sum:
            return "" if one.row_sum == row_sum else "the row has changed since: check it again"
        if one.plan_sum:
            return (
                "" if one.plan_sum == self.plan_sum else "the plan has changed since; whether this row did is not known"
            )
        if one.plan_version == self.version:
            return ""
        named = f"version {one.plan_version}" if one.plan_version else "a sheet without a version"
        return f"noted against {named}; the plan is version {self.version or 'without a number'} now"


def says(found: Standing, notes: list[NoteView]) -> str:
    """Return what stands in a few words: 'pass, Ann'; 'Ann: pass; Ben: fault'."""
    if found.conflict:
        return "; ".join(f"{note['by']}: {worded(note)}" for note in notes)
    people = ", ".join(dict.fromkeys(note["by"] for note in notes))
    words = ", ".join(dict.fromkeys(worded(note) for note in notes if note["verdict"] != "later" or len(notes) == 1))
    return f"{words or 'later'}, {people}"


def worded(note: NoteView) -> str:
    """Return a verdict with its reading and its words."""
    verdict = note["value"] if note["verdict"] == "read" else note["verdict"]
    return f"{verdict} ({note['words']})" if note["words"] else verdict


def row_sum(row: Mapping[str, object]) -> str:
    """Return the check sum of what a row tells to do: notes against another sum are old."""
    return content_sum(dict(row))
