"""The whole book of a show: its sheets as pages, its labels, its number, and what could not be printed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from multiprocessing import get_all_start_methods, get_context
from multiprocessing.context import BaseContext
from typing import Any

from tailboard.answers.ask import Ask
from tailboard.book.glyphs import glyph_findings
from tailboard.book.labels import Grid, grid_of, labels_pdf
from tailboard.book.pages import TEMPLATE, Imprint, book_data
from tailboard.book.pictures import drawing, parts_of
from tailboard.book.register import Edition, Entry, edition_of
from tailboard.book.setting import pdf_of
from tailboard.book.type import Signs
from tailboard.findings import Finding
from tailboard.model.show import Model
from tailboard.views.label_sheet import LabelView, label_views
from tailboard.views.sheets.records import Sheet
from tailboard.views.sheets.sums import book_sum, content_sum, sheet_sums

LABELS = "labels"
LABELS_MAX = 5000  # about 200 sheets: more are not printed by the way, own choice
VOLUME_CELLS = 40_000  # of a volume: about 700 MB while it is set (20 KB a cell, own measure), and 250 pages
PICTURE_CELLS = 400  # what a drawing weighs beside cells, own estimate
WORKERS = 2  # volumes set at a time; each may take as much memory
PX_PER_PT = 96 / 72
PART_PX = {
    "a4": 895.0,
    "letter": 830.0,
}  # a picture's part beneath the title of its sheet: the page less head, title, foot

Others = Callable[[], dict[str, bytes]]


@dataclass(frozen=True, slots=True)
class Choice:
    """How a book is printed.

    moment  its time stamp. grid, start: the label stock, and the first free label of the first sheet.
    asked   whether labels were asked for: else a show that has more than `LABELS_MAX` gets none.
    """

    moment: datetime
    paper: str
    grid: Grid
    start: int = 1
    asked: bool = True


@dataclass(frozen=True, slots=True)
class Bound:
    """A book ready to be written: files by name, its number, its entry for the register, what could not be printed.

    notes  what was left out, in sentences.
    """

    files: dict[str, bytes]
    edition: Edition
    entry: Entry
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()


def stamp_words(moment: datetime) -> str:
    """Return a moment as every page bears it: '2026-11-25 18:00 UTC', '2026-11-25 19:00 +01:00'."""
    offset = moment.strftime("%z")
    zone = "UTC" if offset in {"+0000", ""} else f"{offset[:3]}:{offset[3:5]}"
    return f"{moment:%Y-%m-%d %H:%M} {zone}"


def version_words(model: Model) -> str:
    """Return the version of the plan as every page bears it."""
    return f"version {model.heading.version}" if model.heading.version else "no version"


def all_sums(sheets: Sequence[Sheet], labels: Sequence[LabelView]) -> dict[str, str]:
    """Return the check sums of a book by sheet, that of the labels last."""
    return {**sheet_sums(sheets), LABELS: content_sum(list(labels))}


def bound(ask: Ask, sheets: Sequence[Sheet], entries: Sequence[Entry], choice: Choice, others: Others = dict) -> Bound:
    """Return the book of a show.

    sheets   its sheets, the rows that changed marked.
    entries  the books made of it so far.
    others   makes the files that go with it, by name; called while the volumes of a large book are set.
    """
    model = ask.model
    labels = label_views(ask)
    sums = all_sums(sheets, labels)
    content = book_sum(sums)
    version = version_words(model)
    edition = edition_of(entries, content, version)
    imprint = imprint_of(model, edition.words, choice)
    files, missing = sheet_files(ask, sheets, imprint, others)
    misfits: list[Finding] = []
    notes: tuple[str, ...] = ()
    if choice.asked or len(labels) <= LABELS_MAX:
        files["labels.pdf"], more, misfits = labels_pdf(labels, imprint, sums[LABELS], choice.grid, choice.start, model)
        missing |= more.missing
    else:
        notes = (f"{len(labels)} labels are not printed unless you ask for them, as in --labels 3x8.",)
    entry = Entry(edition.number, imprint.stamp, version, content, sums)
    return Bound(files, edition, entry, (*glyph_findings(model, missing), *misfits), notes)


def single_page(ask: Ask, sheet: Sheet, paper: str = "a4") -> bytes:
    """Return one sheet alone as a PDF, bearing no number of a book."""
    moment = datetime.now().astimezone()
    imprint = imprint_of(ask.model, "no book", Choice(moment, paper, grid_of("", paper)))
    return sheet_pages(ask, [sheet], imprint)[0]


def imprint_of(model: Model, edition: str, choice: Choice) -> Imprint:
    """Return what every page of a book bears."""
    show = (
        ", ".join(part for part in (model.heading.title, model.heading.date or "") if part) or "a show without a title"
    )
    return Imprint(
        show, version_words(model), edition, stamp_words(choice.moment), int(choice.moment.timestamp()), choice.paper
    )


def sheet_files(
    ask: Ask, sheets: Sequence[Sheet], imprint: Imprint, others: Others
) -> tuple[dict[str, bytes], set[str]]:
    """Return the pages and what goes with them as files, and the signs that could not be printed.

    A large book comes in volumes. Each is set in a process of its own, two at a time, those with the most cells first:
    the typesetter keeps all it has set until its process ends.
    """
    parts = volumes(sheets)
    if len(parts) == 1:
        pages, signs = sheet_pages(ask, sheets, imprint)
        return {"book.pdf": pages, **others()}, set(signs.missing)
    jobs, missing = {}, set[str]()
    with ProcessPoolExecutor(WORKERS, workers_context(), max_tasks_per_child=1) as pool:
        for number in sorted(range(len(parts)), key=lambda at: -sum(map(cells_of, parts[at]))):
            document, signs = sheet_data_of(ask, parts[number], imprint, f"volume {number + 1} of {len(parts)}")
            jobs[number] = pool.submit(pdf_of, TEMPLATE, document, imprint.seconds)
            missing |= signs.missing
        more = others()
        made = {f"book-{number + 1}.pdf": jobs[number].result() for number in range(len(parts))}
    return {**made, **more}, missing


def workers_context() -> BaseContext:
    """Return how processes are started: from one that has loaded the typesetter already, where the system can do that."""
    if "forkserver" not in get_all_start_methods():
        return get_context("spawn")
    context = get_context("forkserver")
    context.set_forkserver_preload([pdf_of.__module__])
    return context


def volumes(sheets: Sequence[Sheet]) -> list[list[Sheet]]:
    """Return the sheets volume by volume, in their order; a sheet is never divided."""
    found: list[list[Sheet]] = [[]]
    count = 0
    for sheet in sheets:
        cells = cells_of(sheet)
        if found[-1] and count + cells > VOLUME_CELLS:
            found.append([])
            count = 0
        found[-1].append(sheet)
        count += cells
    return found


def cells_of(sheet: Sheet) -> int:
    """Return how many cells a sheet is to set, its drawings weighed as cells."""
    return sum(len(table.rows) * len(table.columns) for table in sheet.tables) + PICTURE_CELLS * len(sheet.pictures)


def sheet_pages(ask: Ask, sheets: Sequence[Sheet], imprint: Imprint) -> tuple[bytes, Signs]:
    """Return some sheets as pages with their pictures, and the signs that could not be printed."""
    document, signs = sheet_data_of(ask, sheets, imprint)
    return pdf_of(TEMPLATE, document, imprint.seconds), signs


def sheet_data_of(
    ask: Ask, sheets: Sequence[Sheet], imprint: Imprint, volume: str = ""
) -> tuple[dict[str, Any], Signs]:
    """Return some sheets with their pictures as the page template takes them, and the signs that could not be printed."""
    return book_data(
        sheets,
        imprint,
        lambda picture, room: parts_of(drawing(ask, picture), room * PX_PER_PT, PART_PX[imprint.paper]),
        {name: place.name for name, place in ask.model.places.items()},
        volume,
    )
