"""Sheets as the page template takes them: every text ready to print, every width in points."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from tailboard.book.columns import (
    BIG_PT,
    HARD_SPACE,
    HEAD_PT,
    MARK_PT,
    PAD_PT,
    Pt,
    breakable,
    sizes_of,
    status_of,
    tight,
    type_of,
    width_pt,
)  # fmt: skip
from tailboard.book.pictures import TooLongError
from tailboard.book.setting import pdf_of
from tailboard.book.type import Signs, leftward
from tailboard.views.sheets.records import Column, Picture, Row, Sheet, Table, Words
from tailboard.views.sheets.sums import sheet_sums

PAPERS = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}  # ISO 216 and ANSI/ASME Y14.1 [pt]
TYPST_PAPERS = {"a4": "a4", "letter": "us-letter"}
MARGIN_PT = 34.02  # 12 mm at each side
GUTTER_PT = 45.36  # 16 mm between the halves of a folded page
SUBJECT_PT = (30.0, 24.0, 18.0, 13.0)  # of what stands largest on a sheet, the largest that fits on one line
TEXT_PT = 9.5
LETTER_WIDTH = 0.6  # of the size, more than the mean of any face in use: only to tell long cells from others
WHOLE_LINES_MAX = 20  # a row with a longer cell may break over pages; any other stays together

TEMPLATE = "page.typ"
Pictures = list[tuple[Picture, list[dict[str, Any]]]]
Drawn = Callable[[Picture, Pt], list[dict[str, Any]]]


@dataclass(frozen=True, slots=True)
class Imprint:
    """What every page bears beside its own sheet.

    show        title and day of the show; version: the plan's own.
    supersedes  'book 3, supersedes 2'; stamp: when it was made, in words; seconds: the same since 1970.
    """

    show: str
    version: str
    supersedes: str
    stamp: str
    seconds: int
    paper: str = "a4"


@dataclass(frozen=True, slots=True)
class Press:
    """What every sheet is printed with: the imprint, the signs there are, places in words, and check sums by sheet."""

    imprint: Imprint
    signs: Signs
    places: dict[str, str]
    sums: dict[str, str]


def book_pdf(sheets: Sequence[Sheet], imprint: Imprint, drawn: Drawn, places: dict[str, str]) -> tuple[bytes, Signs]:
    """Return the pages of some sheets and what could not be printed; see `book_data`."""
    document, signs = book_data(sheets, imprint, drawn, places)
    return pdf_of(TEMPLATE, document, imprint.seconds), signs


def book_data(
    sheets: Sequence[Sheet], imprint: Imprint, drawn: Drawn, places: dict[str, str], volume: str = ""
) -> tuple[dict[str, Any], Signs]:
    """Return some sheets as the page template takes them, and what could not be printed.

    drawn   makes the pictures: the parts of one as SVG with their sizes, for a width. [pt]
    places  what each place is called in words.
    volume  which volume this is, for a book of several: '2 of 5'.
    """
    made = [with_pictures(sheet, imprint.paper, drawn) for sheet in sheets]
    press = Press(imprint, Signs(), places, sheet_sums(sheets))
    signs = press.signs
    signs.learn(all_texts([sheet for sheet, _ in made], imprint, places))
    signs.learn(part["svg"] for _, pictures in made for _, parts in pictures for part in parts)
    document = {
        "title": signs.shown(imprint.show),
        "version": signs.shown(imprint.version),
        "supersedes": imprint.supersedes,
        "volume": volume,
        "stamp": imprint.stamp,
        "paper": TYPST_PAPERS[imprint.paper],
        "sheets": [
            sheet_data(sheet, pictures, press, contents=number == 0 and len(sheets) > 1)
            for number, (sheet, pictures) in enumerate(made)
        ],
    }
    return document, signs


def with_pictures(sheet: Sheet, paper: str, drawn: Drawn) -> tuple[Sheet, Pictures]:
    """Return a sheet with its pictures; one that would fill too many pages is replaced by a sentence that says so."""
    found: Pictures = []
    for picture in sheet.pictures:
        try:
            found.append((picture, drawn(picture, body_pt(sheet, paper))))
        except TooLongError as problem:
            said = f"This drawing would fill {problem.pages} pages and is left out. 'tailboard draw' makes it for a screen, or for one place."
            sheet = replace(sheet, words=(*sheet.words, Words(picture.title, (said,))))
    return sheet, found


def all_texts(sheets: Sequence[Sheet], imprint: Imprint, places: dict[str, str]) -> Iterator[str]:
    """Yield every text that is printed."""
    yield from (imprint.show, imprint.version, *places.values())
    for sheet in sheets:
        yield from (sheet.title, sheet.subject, sheet.place, *sheet.cautions, *sheet.sign)
        for words in sheet.words:
            yield from (words.title, *words.points)
        for table in sheet.tables:
            yield from (table.title, table.note)
            for row in table.rows:
                yield from row.cells


def body_pt(sheet: Sheet, paper: str) -> Pt:
    """Return how wide a sheet's body is. [pt]"""
    short, long = PAPERS[paper]
    if sheet.pocket:
        return (long - 2 * MARGIN_PT - GUTTER_PT) / 2
    return (long if sheet.wide else short) - 2 * MARGIN_PT


def page_pt(sheet: Sheet, paper: str) -> Pt:
    """Return how wide the head and the foot of a sheet are. [pt]"""
    return PAPERS[paper][sheet.wide or sheet.pocket] - 2 * MARGIN_PT


def sheet_data(sheet: Sheet, pictures: Pictures, press: Press, *, contents: bool) -> dict[str, Any]:
    """Return one sheet for the template."""
    signs, imprint = press.signs, press.imprint
    room = body_pt(sheet, imprint.paper)
    subject = signs.shown(sheet.subject)
    size = next((size for size in SUBJECT_PT if width_pt(subject, size, True) <= room * 0.75), SUBJECT_PT[-1])
    section, page = section_of(sheet, press.places), page_pt(sheet, imprint.paper)
    return {
        "key": sheet.key,
        "kind": sheet.kind,
        "title": short(signs.shown(sheet.title), page * 0.3),
        "title-shown": fit(signs, sheet.title, room, 22.0 if not subject else 13.0),
        "subject": short(subject, page * 0.2),
        "subject-shown": directed(fit(signs, sheet.subject, room, size)),
        "subject-size": size,
        "section": short(signs.shown(section), page * 0.4),
        "show": short(signs.shown(imprint.show), page * 0.6),
        "sum": press.sums[sheet.key],
        "level": 2,
        "wide": sheet.wide,
        "pocket": sheet.pocket,
        "contents": contents,
        "words": [words_data(words, signs, room) for words in sheet.words],
        "behind": sheet.words_behind,
        "pictures": [
            {"title": signs.shown(picture.title), "parts": [{**part, "svg": signs_in(part["svg"], signs)} for part in parts]}
            for picture, parts in pictures
        ],
        "tables": [table_data(table, signs, room) for table in sheet.tables],
        "cautions": [directed(fit(signs, text, room - 12, TEXT_PT)) for text in sheet.cautions],
        "sign": [directed(fit(signs, text, room / 3 - 14, 8.0)) for text in sheet.sign],
    }  # fmt: skip


def section_of(sheet: Sheet, places: dict[str, str]) -> str:
    """Return the section a sheet belongs to: its place, else who works from it, else the whole show."""
    if sheet.place:
        name = places.get(sheet.place, "")
        return f"{sheet.place}, {name}" if name and name != sheet.place else sheet.place
    return sheet.department or "the whole show"


def short(text: str, room: Pt) -> str:
    """Return a text for the running head, shortened with dots; its whole stands at the sheet's own head."""
    size = 8.5
    if width_pt(text, size, True) <= room:
        return text
    kept = text
    while kept and width_pt(f"{kept}...", size, True) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}..."


def signs_in(svg: str, signs: Signs) -> str:
    """Return a picture in which every sign can be printed."""
    return svg if svg.isascii() else "\n".join(signs.shown(line) for line in svg.split("\n"))


def fit(signs: Signs, text: str, room: Pt, size: Pt) -> str:
    """Return a text as it is printed, its words breakable where they would not fit."""
    return breakable(signs.shown(text), room, size, bold=True)


def directed(text: str) -> str | dict[str, str]:
    """Return a text, marked where it runs from right to left."""
    return {"left": text} if leftward(text) else text


def words_data(words: Words, signs: Signs, room: Pt) -> dict[str, Any]:
    """Return some sentences for the template."""
    return {
        "title": fit(signs, words.title, room, 11.0),
        "points": [cell_data(signs.shown(point), room - 9, TEXT_PT, bold=True) for point in words.points],
    }


def cell_data(text: str, room: Pt, size: Pt, *, bold: bool) -> str | dict[str, str]:
    """Return one cell: a text, a status with its sign, or a box to tick."""
    if status := status_of(text.replace(HARD_SPACE, " ")):
        return {"sign": status, "text": breakable(text, room - 24, size, bold)}
    if text in {"☐", "[ ]"}:
        return {"tick": "1"}
    return directed(breakable(text, room, size, bold))


def column_data(column: Column, width: Pt, *, bold: bool) -> dict[str, Any]:
    """Return one column for the template."""
    return {
        "width": width,
        "head": breakable(column.head or column.key, width - 2 * PAD_PT, HEAD_PT, True),
        "big": column.big,
        "bold": bold,
        "pencil": column.pencil,
        "exact": column.exact,
    }


def rows_fit(table: Table, size: Pt, rooms: list[Pt]) -> bool:
    """Return whether every row is surely lower than a page, so that it may stay together."""
    return all(
        len(cell) * size * LETTER_WIDTH <= room * WHOLE_LINES_MAX
        for row in table.rows
        for cell, room in zip(row.cells, rooms, strict=True)
    )


def table_data(table: Table, signs: Signs, room: Pt) -> dict[str, Any]:
    """Return one table for the template."""
    shown = Table(
        table.key,
        table.title,
        table.columns,
        tuple(
            Row(tuple(tight(signs.shown(cell)) for cell in row.cells), row.about, row.spare, row.changed)
            for row in table.rows
        ),
    )
    marked = any(row.changed for row in table.rows)
    size, widths = sizes_of(shown, room - (MARK_PT if marked else 0.0))
    types = [type_of(column, index, table, size) for index, column in enumerate(table.columns)]
    kinds = [
        (width - 2 * PAD_PT, own * (1.1 if column.exact else 1.0), bold)
        for width, (own, bold), column in zip(widths, types, table.columns, strict=True)
    ]
    return {
        "title": fit(signs, table.title, room, 11.0),
        "note": fit(signs, table.note, room, 8.0),
        "blank": table.blank,
        "size": size,
        "big": BIG_PT,
        "tall": any(column.big for column in table.columns),
        "whole": rows_fit(shown, size, [own_room for own_room, _, _ in kinds]),
        "marked": marked,
        "mark-width": MARK_PT,
        "columns": [
            column_data(column, width, bold=bold)
            for column, width, (_, bold) in zip(table.columns, widths, types, strict=True)
        ],
        "rows": [row_data(row, kinds) for row in shown.rows],
    }


def row_data(row: Row, kinds: list[tuple[Pt, Pt, bool]]) -> dict[str, Any]:
    """Return one row; its marks only where they are set."""
    cells = [cell_data(text, room, size, bold=bold) for text, (room, size, bold) in zip(row.cells, kinds, strict=True)]
    data: dict[str, Any] = {"t": cells}
    if row.spare:
        data["s"] = True
    if row.changed:
        data["c"] = True
    return data
