"""The show as a workbook: its own tables to be edited and read back, and every table of the book, one tab each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from io import BytesIO

from tailboard.edits.merging import GIVEN, GOES_ON
from tailboard.model.document import TABLES as CHAPTERS
from tailboard.model.reading import ID_NAMES, Reader
from tailboard.text.fields import columns_by_key, plain_key
from tailboard.text.folder import Files
from tailboard.text.nodes import Table
from tailboard.text.workbook import TEXT_LENGTH_MAX, write_workbook
from tailboard.views.sheets.records import Sheet

NAME_MAX = 31  # letters of a sheet's name: ECMA-376 part 1, 18.2.19 limits spreadsheets to 31 (from memory)
FORBIDDEN = str.maketrans(dict.fromkeys("[]:*?/\\'", " "))
ABOUT = "about"


def workbook_bytes(files: Files, sheets: Iterable[Sheet], head: str, stamp: dt.datetime) -> bytes:
    """Return the workbook of a show.

    First the show's own tables as the user wrote them: they may be edited and taken over again (`compare FOLDER
    WORKBOOK --merge`). Then one tab for each table of the book, to be read and filtered; a hidden tab remembers what
    stood in the show's own tables. Same input and time stamp, same bytes.

    head  which show and version this is, for the first tab.

    Raises ValueError for a text longer than a cell can hold.
    """
    own = Reader(files).tables()
    tabs: dict[str, list[list[str]]] = {ABOUT: about_rows(head, own)}
    tabs |= {name: table_rows(own[name]) for name in ID_NAMES if name in own}
    tabs |= book_tabs(sheets, tabs)
    tabs[GIVEN] = given_rows(own)
    buffer = BytesIO()
    notes = {name: column_notes(name, tabs[name][0]) for name in own}
    write_workbook(buffer, tabs, notes=notes, hidden=(GIVEN,), created=stamp)
    return buffer.getvalue()


def about_rows(head: str, own: dict[str, Table]) -> list[list[str]]:
    """Return the first tab: what this is and what may be edited."""
    return [
        ["this workbook"],
        [head],
        [
            f"The tabs {', '.join(name for name in ID_NAMES if name in own)} are the show's own tables. Edit them and send this back."
        ],
        ["All other tabs are made from the plan: what is written there is not read."],
        ["Taken over with: tailboard compare FOLDER THIS-WORKBOOK --merge. Every change is shown first."],
    ]


def table_rows(table: Table) -> list[list[str]]:
    """Return a table of the show as it is written, the header first."""
    return [[cell.text for cell in table.header], *([*map(fitting, row.texts)] for row in table.rows)]


def given_rows(own: dict[str, Table]) -> list[list[str]]:
    """Return what stands in the show's own tables: what a change is held against later.

    Of each table one row with its header, its second cell empty, then its rows with what they are called by.
    """
    rows: list[list[str]] = []
    for name, table in own.items():
        head = [cell.text for cell in table.header]
        place = next((index for index, text in enumerate(head) if plain_key(text) == ID_NAMES[name]), None)
        if place is None:
            continue
        rows.append([name, "", *head])
        rows += [[name, row.texts[place], *map(fitting, row.texts)] for row in table.rows]
    width = max((len(row) for row in rows), default=2)
    return [["table", "row", *(f"text {number}" for number in range(1, width - 1))], *rows]


def book_tabs(sheets: Iterable[Sheet], taken: Iterable[str]) -> dict[str, list[list[str]]]:
    """Return the tables of the book by tab: rows of one kind from all sheets together, with the sheet they stand on."""
    tabs: dict[str, list[list[str]]] = {}
    for sheet in sheets:
        for table in sheet.tables:
            head = ["sheet", *(column.head or column.key for column in table.columns)]
            name = tab_name(table.key, head, tabs, taken)
            rows = tabs.setdefault(name, [head])
            rows += [[sheet.key, *map(fitting, row.cells)] for row in table.rows]
    return {name: rows for name, rows in tabs.items() if len(rows) > 1}


def fitting(text: str) -> str:
    """Return a text that a cell can hold; one that is longer says that it goes on."""
    return text if len(text) <= TEXT_LENGTH_MAX else f"{text[: TEXT_LENGTH_MAX - len(GOES_ON)]}{GOES_ON}"


def tab_name(key: str, head: list[str], tabs: dict[str, list[list[str]]], taken: Iterable[str]) -> str:
    """Return the tab for a table: the one of its kind with the same head, or a free name."""
    used = {name.lower() for name in taken} | {"history", GIVEN}
    base = " ".join(key.translate(FORBIDDEN).split())[:NAME_MAX] or "table"
    for number in range(1, len(tabs) + 2):
        name = base if number == 1 else f"{base[: NAME_MAX - 4]} {number}"
        lower = {tab.lower(): tab for tab in tabs}
        if name.lower() in used:
            name = f"{name[: NAME_MAX - 5]} list"
        if name.lower() not in lower or tabs[lower[name.lower()]][0] == head:
            return lower.get(name.lower(), name)
    raise AssertionError("unreachable: there is one name more than there are tabs")


def column_notes(name: str, head: list[str]) -> dict[str, str]:
    """Return what each column of one of the show's own tables means."""
    chapter = next((one for one in CHAPTERS if one.heading == f"{name}.csv"), None)
    if chapter is None:
        return {}
    known = columns_by_key(chapter.record)
    notes = {text: known[plain_key(text)].meaning for text in head if plain_key(text) in known}
    return {text: f"{note[:1].upper()}{note[1:]}." for text, note in notes.items()}
