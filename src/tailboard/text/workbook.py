"""XLSX workbooks to tables and back. Every cell is text; what a spreadsheet turned into something else is a finding."""

import datetime
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from tailboard.findings import Finding, Spot
from tailboard.text import faults
from tailboard.text.nodes import Cell, Table
from tailboard.text.tablerows import TableRows

DATE_COLUMNS = frozenset({"on", "at", "date", "until", "by", "from date"})


def read_workbook(
    name: str, data: bytes, date_columns: frozenset[str] = DATE_COLUMNS
) -> tuple[list[Table], list[Finding]]:
    """Return."""
    # calamine is a heavy library that a show without workbooks never needs
    from python_calamine import CalamineWorkbook  # noqa: PLC0415

    tables = []
    book = CalamineWorkbook.from_filelike(BytesIO(data))
    for sheet in book.sheet_names:
        table = Table(sheet.strip().lower(), name, sheet)
        rows = TableRows(table)
        for i, row in enumerate(book.get_sheet_by_name(sheet).to_python(skip_empty_area=False), 1):
            rows.add(i, [str(int(v)) if isinstance(v, float) and v == int(v) else str(v) for v in row])
        if table.lines:
            tables.append(table)
    return tables, []
