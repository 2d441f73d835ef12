"""`book`: the show book and its labels as PDF, and a check sum from a page held against the folder."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tailboard.answers.ask import Ask
from tailboard.book.binding import Bound, Choice, all_sums, bound, stamp_words
from tailboard.book.labels import Grid, GridError, grid_of
from tailboard.book.pages import PAPERS
from tailboard.book.register import Entry, enter, entries_of
from tailboard.book.verifying import sum_view
from tailboard.book.workbook import workbook_bytes
from tailboard.cli.commands.compare import side_of
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import chosen, read_show
from tailboard.findings import Finding
from tailboard.model.reading import Reading
from tailboard.rules.run import prove
from tailboard.term.signs import clean
from tailboard.text.folder import Files
from tailboard.text.nearmiss import nearest
from tailboard.text.safewrite import ChangedOnDisk, write_beside
from tailboard.units.wording import counted, listed
from tailboard.views.label_sheet import label_views
from tailboard.views.rig_map import show_words
from tailboard.views.sheet import sheet_view, subjects
from tailboard.views.sheets.book import book_sheets
from tailboard.views.sheets.marks import marked
from tailboard.views.sheets.records import Sheet
from tailboard.views.sheets.sums import book_sum

SCHEMA = "tailboard/book/1"
FINDINGS_MAX = 12  # on the terminal; more scroll the first away


def run(options: argparse.Namespace, out: Output) -> int:
    """Make the book, or say what a check sum is of."""
    show = chosen(options.names, 0, 0, "nothing beside the show")
    if not options.out and not options.verify:
        raise CannotRun("say where the book goes with --out FOLDER, or which check sum to look up with --verify SUM")
    choice = choice_of(options)
    reading = read_show(show)
    ask = Ask(reading.model)
    sheets = sheets_of(ask, reading)
    home = show.path if show.path.is_dir() else None
    entries = entries_at(home)
    if options.verify:
        return verify(options.verify, ask, sheets, entries, out)
    if options.since:
        old = side_of(options.since, str(show.path))
        before = book_sheets(Ask(old.reading.model), old.reading, old.proof)
        sheets = marked(sheets, before)
    book = bound(ask, sheets, entries, choice, lambda: {"workbook.xlsx": workbook(show.files, sheets, reading, choice)})
    written = write(Path(options.out), book)
    registered = register(home, book)
    view = book_view(book, sheets, written, registered)
    out.show(view, lambda _: page_of(view))
    return 0


def workbook(files: Files, sheets: tuple[Sheet, ...], reading: Reading, choice: Choice) -> bytes:
    """Return the same tables as a workbook. Raises CannotRun where a text is too long for a cell."""
    head = f"{show_words(reading.model)}, made {stamp_words(choice.moment)}"
    try:
        return workbook_bytes(files, sheets, head, choice.moment.replace(tzinfo=None))
    except ValueError as problem:
        raise CannotRun(str(problem)) from None


def choice_of(options: argparse.Namespace) -> Choice:
    """Return how the book is printed. Raises CannotRun."""
    paper = (options.paper or "a4").lower()
    if paper not in PAPERS:
        near = nearest(paper, PAPERS)
        raise CannotRun(f"there is no paper '{paper}'; {f'did you mean {near!r}?' if near else 'say a4 or letter'}")
    start = options.label_start
    grid = grid_on(options.labels or "", paper)
    if not 1 <= start <= grid.columns * grid.rows:
        raise CannotRun(f"--label-start {start} is no label of a sheet that has {grid.columns * grid.rows}")
    return Choice(moment_of(options.time), paper, grid, start, asked=bool(options.labels))


def grid_on(text: str, paper: str) -> Grid:
    """Return a label grid. Raises CannotRun."""
    try:
        return grid_of(text, paper)
    except GridError as problem:
        raise CannotRun(str(problem)) from None


def moment_of(text: str | None) -> datetime:
    """Return the time stamp: as asked for, else that of SOURCE_DATE_EPOCH, else now. Raises CannotRun."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    try:
        if text:
            moment = datetime.fromisoformat(text)
            moment = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
            moment.timestamp()
            return moment
        if epoch:
            return datetime.fromtimestamp(int(epoch), UTC)
    except (ValueError, OverflowError, OSError):
        said = f"--time {text}" if text else f"SOURCE_DATE_EPOCH={epoch}"
        raise CannotRun(f"{said} is no time; write it as in --time 2027-06-12T18:00+02:00") from None
    return datetime.now().astimezone()


def sheets_of(ask: Ask, reading: Reading) -> tuple[Sheet, ...]:
    """Return the sheets of the book, with the verdict of this moment."""
    return book_sheets(ask, reading, prove(reading.model, reading.findings, ask, again=False))


def entries_at(home: Path | None) -> list[Entry]:
    """Return the books made of a show so far; a table alone has no register. Raises CannotRun."""
    try:
        return entries_of(home) if home else []
    except OSError as problem:
        raise CannotRun(f"{problem.filename} cannot be read: {problem.strerror or problem}") from None


def write(folder: Path, book: Bound) -> list[str]:
    """Write the files, each wholly or not at all; a version before stays beside it. Returns their names. Raises CannotRun."""
    made = not folder.exists()
    written: list[str] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in book.files.items():
            path = folder / name
            write_beside(path, data, path.read_bytes() if path.exists() else None)
            written.append(str(path))
    except (OSError, ChangedOnDisk) as problem:
        reason = (problem.strerror or str(problem)) if isinstance(problem, OSError) else str(problem)
        left = f"; {listed(written)} is written" if written else "; nothing was changed"
        if made and not written and folder.is_dir():
            folder.rmdir()
        raise CannotRun(f"'{folder}' cannot be written: {reason}{left}") from None
    return written


def register(home: Path | None, book: Bound) -> bool:
    """Enter the book into the show's register unless it stands there. Raises CannotRun."""
    if home is None:
        return False
    if book.edition.fresh:
        try:
            enter(home, book.entry)
        except OSError as problem:
            raise CannotRun(
                f"the book is written, but could not be entered in {home / 'log'}: {problem.strerror or problem};"
                f" its check sums cannot be looked up later, and the next book will bear the number {book.edition.number} too"
            ) from None
    return True


def verify(wanted: str, ask: Ask, sheets: tuple[Sheet, ...], entries: list[Entry], out: Output) -> int:
    """Say what a check sum is of; exit code 1 unless that paper is true."""
    sums = all_sums(sheets, label_views(ask))
    single = {name: sheet_view(ask, name, "")["title"]["content"] for name in subjects(ask.model)}
    view = sum_view(wanted, sums, book_sum(sums), single, entries)
    changed = view["changed"]
    more = f"Sheets that differ since book {view['book']}: {listed(changed, 40)}.\n" if changed else ""
    out.show(view, lambda _: f"{view['says']}\n{more}")
    return 0 if view["state"] == "current" else 1


def book_view(book: Bound, sheets: tuple[Sheet, ...], written: list[str], registered: bool) -> dict[str, Any]:
    """Return what was made."""
    return {
        "schema": SCHEMA,
        "files": written,
        "book": book.edition.number,
        "supersedes": book.edition.supersedes,
        "registered": registered,
        "made": book.entry.made,
        "version": book.entry.version,
        "sum": book.entry.sum,
        "sheets": [
            {"sheet": sheet.key, "title": f"{sheet.title} {sheet.subject}".strip(), "place": sheet.place, "sum": book.entry.sheets[sheet.key]}
            for sheet in sheets
        ],
        "notes": list(book.notes),
        "findings": [finding_view(finding) for finding in book.findings],
    }  # fmt: skip


def finding_view(finding: Finding) -> dict[str, str]:
    """Return a finding of the book."""
    return {
        "id": finding.id,
        "severity": finding.severity.word,
        "place": str(finding.spot),
        "message": finding.message,
        "fix": finding.fix,
    }


def page_of(view: Mapping[str, Any]) -> str:
    """Return what was made as a page for the terminal."""
    lines = [
        (
            f"{listed(view['files'])} written: {counted(len(view['sheets']), 'sheet')},"
            f" book {view['book']}, supersedes {view['supersedes'] or 'none'}, check sum {view['sum']}"
        )
    ]
    if not view["registered"]:
        lines.append("A table alone has no register: this book cannot be looked up by its check sums later.")
    lines += view["notes"]
    findings = view["findings"]
    for one in findings[:FINDINGS_MAX]:
        lines += [f"{one['place']}: {one['severity']}: {one['message']}", f"  fix: {one['fix']}"]
    if len(findings) > FINDINGS_MAX:
        lines.append(f"and {len(findings) - FINDINGS_MAX} more such warnings; --json lists them all")
    return "\n".join(clean(line) for line in lines) + "\n"
