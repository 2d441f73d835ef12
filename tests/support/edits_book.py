"""The tables of a show as one workbook."""

from __future__ import annotations

import io
from datetime import UTC, datetime

import xlsxwriter

from support.draft import Draft

CREATED = datetime(2027, 6, 12, tzinfo=UTC)  # the same bytes at any time


def workbook(draft: Draft) -> bytes:
    """Return the tables of a draft as one workbook, a sheet a table, every cell text."""
    data = io.BytesIO()
    with xlsxwriter.Workbook(data, {"strings_to_formulas": False, "strings_to_urls": False}) as book:
        book.set_properties({"created": CREATED})
        for name in draft.files:
            if name.endswith(".csv") and "/" not in name:
                sheet = book.add_worksheet(name.removesuffix(".csv"))
                for index, row in enumerate(draft.rows(name.removesuffix(".csv"))):
                    for column, text in enumerate(row):
                        sheet.write_string(index, column, text)
    return data.getvalue()


def in_workbook(draft: Draft) -> dict[str, bytes]:
    """Return the files of a draft with its tables in a workbook."""
    files = {name: text.encode() for name, text in draft.files.items() if not name.endswith(".csv") or "/" in name}
    return {**files, "tables.xlsx": workbook(draft)}
