"""Changes of the plan made on a page: looked at before they are written into the user's own text, never over another's."""

from __future__ import annotations

import threading
from typing import Annotated, Literal

from fastapi import APIRouter, Request
from pydantic import BaseModel, Field

from tailboard.edits.changes import Change, Proposal, propose, save, worse
from tailboard.text.safewrite import ChangedOnDisk
from tailboard.web.access import EDIT
from tailboard.web.api import says_no
from tailboard.web.forms import Form
from tailboard.web.problems import Problem
from tailboard.web.served import allowed, served_of

router = APIRouter(responses=says_no(507))
CELL_MAX = 2000
CHANGES_MAX = 100
Cell = Annotated[str, Field(max_length=CELL_MAX)]
_WRITING = threading.Lock()  # two pages that save at once do so one after the other


class ChangeForm(Form):
    """One cell: the table, the row by its own name, the column, the new text and the text that was seen."""

    table: Literal["lines", "feeds", "buses", "comms", "hearing"]
    row: Cell
    column: Annotated[str, Field(min_length=1, max_length=80)]
    value: Cell
    was: Cell | None = None


class ChangesForm(Form):
    """Changes to be looked at, or, `confirmed`, to be written."""

    changes: list[ChangeForm] = Field(min_length=1, max_length=CHANGES_MAX)
    confirmed: bool = False


class ClashAnswer(BaseModel):
    """A cell that says something else by now; both texts, and where."""

    table: str
    row: str
    column: str
    was: str
    value: str
    stands: str
    at: str


class ChangesAnswer(BaseModel):
    """What the changes would do or did.

    written  the files, empty before it is confirmed; ask: whether there is anything to confirm.
    harm     the errors that the plan would have with them and does not have without; refused: what cannot be written.
    """

    written: list[str]
    ask: bool
    harm: list[str]
    refused: list[str]
    clashes: list[ClashAnswer]


@router.post("/api/changes")
def change(request: Request, form: ChangesForm) -> ChangesAnswer:
    """Look what changes would do; write them once that is confirmed. The versions before are kept in log/before."""
    allowed(request, EDIT)
    live = served_of(request).live
    changes = [Change(one.table, one.row, one.column, one.value, one.was) for one in form.changes]
    with _WRITING:
        try:
            proposal = propose(live.files, changes)
            if not form.confirmed or not proposal.files or proposal.clashes:
                return answer(proposal, [found.message for found in worse(live.files, proposal, live.shown.proof)])
            return answer(proposal, [], save(live.folder, proposal))
        except ChangedOnDisk as why:
            raise Problem(409, f"{why}; look at it anew") from None
        except OSError as why:
            raise Problem(507, f"nothing was written: {why.strerror or why}") from None


def answer(proposal: Proposal, harm: list[str], written: list[str] | None = None) -> ChangesAnswer:
    """Return a proposal as its page needs it."""
    clashes = [
        ClashAnswer(
            table=one.change.table, row=one.change.row, column=one.change.column, was=one.change.was or "",
            value=one.change.value, stands=one.stands, at=str(one.spot),
        )
        for one in proposal.clashes
    ]  # fmt: skip
    return ChangesAnswer(
        written=written or [],
        ask=bool(proposal.files) and not written and not clashes,
        harm=harm,
        refused=[one.why for one in proposal.refused],
        clashes=clashes,
    )
