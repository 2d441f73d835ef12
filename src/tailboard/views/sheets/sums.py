"""Short check sums of what stands on paper: two sheets with one sum say the same."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable

from tailboard.views.sheets.records import Sheet, Table

SUM_LENGTH = 8  # hexadecimal digits of CRC-32: it guards against old paper, not against an attacker


def content_sum(content: object) -> str:
    """Return the short check sum of something that JSON can say."""
    return f"{zlib.crc32(json.dumps(content, sort_keys=True).encode()):08x}"


def sheet_sum(sheet: Sheet) -> str:
    """Return the check sum of a sheet: of all that it says, the marks of changed rows apart."""
    return content_sum(
        [
            sheet.key,
            sheet.title,
            sheet.subject,
            sheet.place,
            [[words.title, *words.points] for words in sheet.words],
            [[picture.drawing, picture.subject, picture.title] for picture in sheet.pictures],
            [said(table) for table in sheet.tables],
            sheet.cautions,
            sheet.sign,
        ]
    )


def said(table: Table) -> list[object]:
    """Return all that a table says."""
    heads = [column.head or column.key for column in table.columns]
    return [table.key, table.title, table.note, heads, [[row.about, row.spare, *row.cells] for row in table.rows]]


def sheet_sums(sheets: Iterable[Sheet]) -> dict[str, str]:
    """Return the check sum of every sheet by its key."""
    return {sheet.key: sheet_sum(sheet) for sheet in sheets}


def book_sum(sums: dict[str, str]) -> str:
    """Return the check sum of a whole book, from those of its sheets."""
    return content_sum(list(sums.items()))
