"""What changed on paper: rows marked that differ from the book before, and the sheets that are new, changed or gone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import TypedDict

from tailboard.views.sheets.records import Row, Sheet, Table

UNVERSIONED = ("cover",)  # the cover says the verdict of its own day; it changes with every book


class SheetChangeView(TypedDict):
    """A sheet that is `new`, `changed` or `gone`. `rows`: how many of its rows are new or differ, and `lost` are gone."""

    sheet: str
    title: str
    place: str
    what: str
    rows: int
    lost: int


def marked(new: Iterable[Sheet], old: Iterable[Sheet]) -> tuple[Sheet, ...]:
    """Return the sheets with every row marked that the book before did not have so. A new sheet bears no marks."""
    before = {sheet.key: sheet for sheet in old}
    return tuple(
        replace(sheet, tables=tuple(marked_table(table, before[sheet.key]) for table in sheet.tables))
        if sheet.key in before and sheet.kind not in UNVERSIONED
        else sheet
        for sheet in new
    )


def marked_table(table: Table, before: Sheet) -> Table:
    """Return a table with its new and differing rows marked."""
    known = rows_of(before, table.key)
    return replace(
        table, rows=tuple(replace(row, changed=True) if differs(row, table, known) else row for row in table.rows)
    )


def rows_of(sheet: Sheet, table_key: str) -> Mapping[str, dict[str, str]]:
    """Return the rows of the tables of one kind on a sheet: what each says by column, by what it is about."""
    found: dict[str, dict[str, str]] = {}
    for table in sheet.tables:
        if table.key == table_key:
            for row in table.rows:
                found[identity(row)] = said(row, table)
    return found


def identity(row: Row) -> str:
    """Return what a row is known by: the thing it is about, else its first cell."""
    return row.about or (row.cells[0] if row.cells else "")


def said(row: Row, table: Table) -> dict[str, str]:
    """Return what a row says by column, what is left for the pencil apart."""
    return {column.key: cell for column, cell in zip(table.columns, row.cells, strict=True) if not column.pencil}


def differs(row: Row, table: Table, known: Mapping[str, dict[str, str]]) -> bool:
    """Return whether the book before did not say this row, or said it otherwise."""
    return known.get(identity(row)) != said(row, table)


def sheet_changes(new: Iterable[Sheet], old: Iterable[Sheet]) -> list[SheetChangeView]:
    """Return the sheets that differ between two books, in the order of the new one, those that are gone last."""
    before = {sheet.key: sheet for sheet in old if sheet.kind not in UNVERSIONED}
    after = {sheet.key: sheet for sheet in new if sheet.kind not in UNVERSIONED}
    found: list[SheetChangeView] = []
    for key, sheet in after.items():
        if key not in before:
            found.append(change_view(sheet, "new", sum(len(table.rows) for table in sheet.tables), 0))
            continue
        rows = sum(row.changed for table in sheet.tables for row in marked_table(table, before[key]).rows)
        lost = sum(lost_rows(table, sheet) for table in before[key].tables)
        if rows or lost:
            found.append(change_view(sheet, "changed", rows, lost))
    return found + [
        change_view(sheet, "gone", 0, sum(len(table.rows) for table in sheet.tables))
        for key, sheet in before.items()
        if key not in after
    ]


def lost_rows(table: Table, now: Sheet) -> int:
    """Return how many rows of a table are no longer on the sheet."""
    known = rows_of(now, table.key)
    return sum(identity(row) not in known for row in table.rows)


def change_view(sheet: Sheet, what: str, rows: int, lost: int) -> SheetChangeView:
    """Return one sheet that differs."""
    title = f"{sheet.title} {sheet.subject}".strip()
    return {"sheet": sheet.key, "title": title, "place": sheet.place, "what": what, "rows": rows, "lost": lost}
