"""The book of both examples, row by row: what a PDF reader reads is what the sheets say, sheet by sheet and in order."""

from __future__ import annotations

import re
import unicodedata
from datetime import UTC, datetime

import pytest

from book.paper import pages_of
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.book.binding import Choice, bound
from tailboard.book.labels import grid_of
from tailboard.model.reading import read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.sheets.book import book_sheets
from tailboard.views.sheets.sums import sheet_sum

MOMENT = datetime(2027, 6, 12, 18, tzinfo=UTC)


def squeezed(text: str) -> str:
    """Return a text without blanks, hyphens and the marks where a word may break: a reader of PDF takes a hyphen at a line's end away."""
    return re.sub(r"[\s\u200b\ufffe-]", "", unicodedata.normalize("NFKC", text))


@pytest.mark.parametrize("show", ["small", "medium"])
def test_every_row_of_every_sheet_stands_on_its_pages_in_order(show: str) -> None:
    reading = read(Texts(Draft.example(show).files))
    ask = Ask(reading.model)
    sheets = book_sheets(ask, reading, prove(reading.model, reading.findings))
    made = bound(ask, sheets, [], Choice(MOMENT, "a4", grid_of("3x8", "a4")))
    of_sheet: dict[str, str] = {}
    for page in pages_of(made.files["book.pdf"]):
        found = re.search(r"check sum ([0-9a-f]{8})", page.words)
        assert found is not None
        of_sheet[found[1]] = of_sheet.get(found[1], "") + squeezed(page.text)
    rows = 0
    for sheet in sheets:
        text, place = of_sheet[sheet_sum(sheet)], 0
        for table in sheet.tables:
            for row in table.rows:
                said = squeezed("".join(row.cells))
                at = text.find(said, place)
                assert at >= 0, (sheet.key, row.cells)
                place, rows = at + len(said), rows + 1
        for words in sheet.words:
            assert all(squeezed(point) in text for point in words.points if point.strip("_ ")), sheet.key
        assert all(squeezed(caution) in text for caution in sheet.cautions), sheet.key
    assert rows > 400
