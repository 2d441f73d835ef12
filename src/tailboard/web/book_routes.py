"""The record and the book as pages, and the book's files, made anew when the plan has changed."""

from __future__ import annotations

import threading
from datetime import UTC, datetime

from fastapi import APIRouter, Request
from starlette.responses import Response

from tailboard.book.binding import Choice, bound, stamp_words
from tailboard.book.labels import grid_of
from tailboard.book.register import entries_of
from tailboard.book.workbook import workbook_bytes
from tailboard.views.rig_map import show_words
from tailboard.views.sheets.book import book_sheets
from tailboard.views.sheets.records import Sheet
from tailboard.web.page_routes import page
from tailboard.web.pages.content import kept
from tailboard.web.pages.frame import rendered
from tailboard.web.pages.shown import Part, Shown
from tailboard.web.problems import Problem
from tailboard.web.served import Served, served_of

router = APIRouter(include_in_schema=False)
SHOWN_MAX = 300  # operations on the page; the export has all
KINDS = {".pdf": "application/pdf", ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}
_PRINTING = threading.Lock()  # one book at a time: it takes most of a core


@router.get("/record")
def record(request: Request) -> Response:
    """Return the record, the latest first."""
    served = served_of(request)
    rows = [
        {
            "when": datetime.fromtimestamp(one.received_ms / 1000, UTC).strftime("%Y-%m-%d %H:%M:%S UTC"),
            "by": one.operation.by, "what": one.operation.subject, "verdict": one.operation.verdict,
            "words": " ".join(filter(None, (one.operation.value, one.operation.words))), "version": one.operation.plan_version,
        }
        for one in reversed(served.since(max(0, served.record.cursor - SHOWN_MAX)))
    ]  # fmt: skip
    return page(
        request, lambda shown: Part("Record", "record", rendered(shown, "record.html", rows=rows, most=SHOWN_MAX))
    )


@router.get("/book")
def book(request: Request) -> Response:
    """Return what the book holds, with its files to be fetched."""

    def made(shown: Shown) -> Part:
        listed = [
            {"title": f"{sheet.title} {sheet.subject}".strip(), "place": sheet.place, "department": sheet.department}
            for sheet in sheets_of(shown)
        ]
        return Part("Book", "book", rendered(shown, "book.html", sheets=listed))

    return page(request, made)


@router.get("/book/{name}")
def book_file(request: Request, name: str) -> Response:
    """Return one file of the book: book.pdf, labels.pdf or workbook.xlsx."""
    served = served_of(request)
    with _PRINTING:
        files = kept(served.shown, "book files", lambda: files_of(served))
    if name not in files:
        raise Problem(404, f"the book has no file {name[:40]!r}")
    kind = next(kind for ending, kind in KINDS.items() if name.endswith(ending))
    return Response(files[name], media_type=kind, headers={"content-disposition": f'inline; filename="{name}"'})


def sheets_of(shown: Shown) -> tuple[Sheet, ...]:
    """Return the sheets of the book of one state of the plan."""
    return kept(shown, "sheets", lambda: book_sheets(shown.ask, shown.reading, shown.proof))


def files_of(served: Served) -> dict[str, bytes]:
    """Return the files of the book. A page only reads: the book's number is that of the last one made by the command."""
    shown = served.shown
    moment = datetime.now().astimezone().replace(microsecond=0)
    choice = Choice(moment, "a4", grid_of("", "a4"), 1, asked=False)
    made = bound(shown.ask, sheets_of(shown), entries_of(served.live.folder), choice)
    head = f"{show_words(shown.model)}, made {stamp_words(moment)}"
    workbook = workbook_bytes(served.live.files, sheets_of(shown), head, moment.replace(tzinfo=None))
    return {**made.files, "workbook.xlsx": workbook}
