"""The workbook of a show: what goes out comes back, and only what somebody changed is a change."""

from __future__ import annotations

import datetime as dt
import io
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.draft import Draft
from tailboard.book.workbook import book_tabs, workbook_bytes
from tailboard.edits.changes import propose
from tailboard.edits.merging import WithTables, taken_over
from tailboard.model.reading import read
from tailboard.text.folder import Texts
from tailboard.text.workbook import read_workbook, write_workbook
from tailboard.views.sheets.records import Column, Row, Sheet, Table

STAMP = dt.datetime(2027, 6, 1, 12, 0, tzinfo=dt.UTC)
SHEET = Sheet(
    "ports SW-B",
    "ports",
    "Ports",
    tables=(Table("ports", "Ports", (Column("port"), Column("far")), (Row(("S1", "SW-T/S1")),)),),
)


def made(files: Texts, sheets: tuple[Sheet, ...] = (SHEET,)) -> bytes:
    return workbook_bytes(files, sheets, "quayside version 3", STAMP)


def tabs(data: bytes) -> dict[str, list[list[str]]]:
    tables, _ = read_workbook("book.xlsx", data)
    return {table.name: [[cell.text for cell in table.header], *(row.texts for row in table.rows)] for table in tables}


@pytest.mark.parametrize("name", ["small", "medium"])
def test_a_workbook_that_nobody_edited_changes_nothing(name: str) -> None:
    files = Texts(Draft.example(name).files)
    other = Texts({"book.xlsx": made(files)})
    changes, unclear = taken_over(files, other)
    assert (list(changes), unclear) == ([], [])
    again = read(WithTables(files, other))
    assert [str(found.spot) for found in again.findings] == []
    before, after = read(files).model, again.model
    assert {name: (line.label, line.hole, line.phantom) for name, line in before.lines.items()} == {
        name: (line.label, line.hole, line.phantom) for name, line in after.lines.items()
    }


def test_same_input_and_stamp_same_bytes() -> None:
    files = Texts(Draft.example().files)
    assert made(files) == made(files)


def test_the_tables_of_the_book_are_tabs_with_the_sheet_they_stand_on() -> None:
    found = tabs(made(Texts(Draft.example().files)))
    assert found["ports"] == [["sheet", "port", "far"], ["ports SW-B", "S1", "SW-T/S1"]]
    assert "quayside version 3" in found["about"][1][0]


def test_a_table_of_the_book_never_takes_the_tab_of_a_table_of_the_show() -> None:
    table = Table("lines", "Lines", (Column("line"),), (Row(("5",)),))
    other = Table("lines", "Lines", (Column("line"), Column("place")), (Row(("5", "wing")),))
    sheets = [Sheet("a", "a", "A", tables=(table,)), Sheet("b", "b", "B", tables=(other, table))]
    found = book_tabs(sheets, ["lines"])
    assert "lines" not in found
    assert sorted(len(rows) for rows in found.values()) == [2, 3]


def edited(data: bytes, sheet: str, row: str, column: str, value: str) -> bytes:
    """Return the workbook as a colleague's program writes it after one cell was edited; the rest is kept."""
    found = tabs(data)
    rows = found[sheet]
    next(one for one in rows if one[0] == row)[rows[0].index(column)] = value
    buffer = io.BytesIO()
    write_workbook(buffer, found)
    return buffer.getvalue()


NAMES = st.text(
    st.characters(blacklist_categories=("Cc", "Cs", "Cf", "Cn", "Co", "Zl", "Zp", "Zs")), min_size=1, max_size=20
)


@given(NAMES)
def test_what_a_colleague_types_comes_back_as_he_typed_it(text: str) -> None:
    files = Texts({"lines.csv": "line,label\n5,KIK\n6,SN\n"})
    other = Texts({"book.xlsx": edited(made(files), "lines", "5", "label", text)})
    changes, unclear = taken_over(files, other)
    if unclear or text in ("-", "KIK"):
        return
    assert [(change.row, change.column, change.value, change.was) for change in changes] == [
        ("5", "label", text, "KIK")
    ]
    proposal = propose(files, changes)
    assert proposal.refused or read(Texts({**files.files, **proposal.files})).model.lines["5"].label == text


def test_a_text_that_no_cell_can_hold_says_that_it_goes_on() -> None:
    long = Sheet("a", "a", "A", tables=(Table("rows", "", (Column("text"),), (Row(("x" * 40_000,)),)),))
    cell = tabs(made(Texts({"lines.csv": "line,label\n5,KIK\n"}), (long,)))["rows"][1][1]
    assert len(cell) == 32_767
    assert cell.endswith("goes on: the printed sheet has all of it)")


def test_a_cell_of_the_show_that_no_cell_can_hold_is_never_taken_back() -> None:
    long = ", ".join(map(str, range(9000)))
    files = Texts({"lines.csv": "line,label\n5,KIK\n", "buses.csv": f'bus,members,note\nPGM,"{long}",a\n'})
    data = made(files)
    assert taken_over(files, Texts({"book.xlsx": data})) == ([], [])
    changes, unclear = taken_over(files, Texts({"book.xlsx": edited(data, "buses", "PGM", "note", "b")}))
    assert [(change.column, change.value) for change in changes] == [("note", "b")]
    assert unclear == []
    changes, unclear = taken_over(files, Texts({"book.xlsx": edited(data, "buses", "PGM", "members", "1, 2")}))
    assert changes == []
    assert unclear == ["buses PGM, members is too long for a workbook and not whole there: edit it in the show"]


def test_heads_are_frozen_filtered_and_explained(tmp_path: Path) -> None:
    data = made(Texts(Draft.example().files))
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        sheet = packed.read("xl/worksheets/sheet2.xml").decode()
        notes = "".join(packed.read(name).decode() for name in packed.namelist() if "comments" in name)
        book = packed.read("xl/workbook.xml").decode()
    assert 'state="frozen"' in sheet
    assert "<autoFilter" in sheet
    assert "48 V phantom power at the hole" in notes
    assert 'name="as given"' in book
    assert 'state="hidden"' in book
    assert not list(tmp_path.iterdir())
