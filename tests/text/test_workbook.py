"""Workbooks: what is written comes back the same; what a spreadsheet did to a cell is told; broken files are findings."""

import datetime as dt
import io
import re
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.findings import Finding, Severity
from tailboard.text.nodes import Table
from tailboard.text.workbook import TEXT_LENGTH_MAX, read_workbook, write_workbook
from tailboard.text.workbookzip import packed, unpacked


def written(tables: dict[str, list[list[str]]]) -> bytes:
    stream = io.BytesIO()
    write_workbook(stream, tables)
    return stream.getvalue()


def made(fill: Callable[[Any, Any], None], name: str = "Lines") -> bytes:
    """Return a workbook whose one sheet `fill(book, sheet)` fills, as a spreadsheet would: typed values, not texts."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    fill(book, book.add_worksheet(name))
    book.close()
    return stream.getvalue()


def texts(table: Table) -> list[list[str]]:
    return [[cell.text for cell in row] for row in [table.header, *map(list, table.rows)]]


def read_one(data: bytes, dates: frozenset[str] = frozenset()) -> tuple[Table, list[Finding]]:
    tables, findings = read_workbook("show.xlsx", data, dates)
    assert len(tables) == 1
    return tables[0], findings


DELICATE = [
    "6-9", "+4", "007", "=1+1", "1e5", "1E5", "TRUE", "false", "-dir", "@x", "'x", "#NAME?", "1.0", "2026-09-06", "6/9",
    "12:30", "0.375 ms", "10.41.20.2", "ü→ß😀漢", "_x0041_", "a\nb", "http://x.y", "{=1}", '"', "a\tb", "&amp;", "<b>", "5 %",
]  # fmt: skip


def test_delicate_texts_come_back_as_they_were_written() -> None:
    rows = [["line", "label"], *[[text, f"n{number}"] for number, text in enumerate(DELICATE)]]
    table, findings = read_one(written({"lines": rows}))
    assert texts(table) == rows
    assert findings == []


LETTERS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cf", "Zl", "Zp"]), max_size=8).map(
    str.strip
)


@settings(max_examples=60, derandomize=True, deadline=None)
@given(st.lists(st.lists(LETTERS, min_size=3, max_size=3), max_size=6))
def test_any_text_comes_back(rows: list[list[str]]) -> None:
    wanted = [row for row in rows if any(row) and not row[0].startswith("#")]
    table, findings = read_one(written({"lines": [["a", "b", "c"], *rows]}))
    assert texts(table)[1:] == wanted
    assert findings == []


def test_each_sheet_is_a_table_and_cells_know_their_place() -> None:
    tables, findings = read_workbook(
        "show.xlsx", written({"Lines": [["line"], [""], ["7"]], "feeds": [["feed"]], "empty": []})
    )
    assert findings == []
    assert [(table.name, table.sheet) for table in tables] == [("lines", "Lines"), ("feeds", "feeds")]
    assert str(tables[0].rows[0][0].spot) == "show.xlsx[Lines]!A3"


def test_a_written_workbook_is_set_up_as_text_with_a_fixed_header(tmp_path: Path) -> None:
    path = tmp_path / "show.xlsx"
    write_workbook(path, {"lines": [["line", "label"], ["007", "x" * 200]]})
    book = unpacked("show.xlsx", path.read_bytes()).members
    sheet, styles = book["xl/worksheets/sheet1.xml"].decode(), book["xl/styles.xml"].decode()
    assert 'state="frozen"' in sheet
    assert '<autoFilter ref="A1:B2"/>' in sheet
    assert sheet.count('t="s"') == 4  # every cell is a shared string
    assert "<v>007</v>" not in sheet
    assert styles.count('numFmtId="49"') == 2  # text: ECMA-376 part 1, 18.8.30 (from memory)
    assert '<col min="1" max="1"' in sheet  # rows typed below are text too
    assert sheet.count('style="1"') == 2
    assert 'width="62' in sheet


def test_a_text_too_long_for_a_cell_is_refused_and_nothing_written(tmp_path: Path) -> None:
    path = tmp_path / "show.xlsx"
    with pytest.raises(ValueError, match="does not fit"):
        write_workbook(path, {"lines": [["x" * (TEXT_LENGTH_MAX + 1)]]})
    assert not path.exists()
    write_workbook(path, {"lines": [["x" * TEXT_LENGTH_MAX]]})
    assert len(read_one(path.read_bytes())[0].header[0].text) == TEXT_LENGTH_MAX


def test_numbers_are_written_as_people_write_them() -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_row(0, 0, ["a", "b", "c", "d", "e"])
        for column, number in enumerate([5, 0.375, -4, 0.1 + 0.2, 0.00001]):
            sheet.write_number(1, column, number)

    table, findings = read_one(made(fill))
    assert texts(table)[1] == ["5", "0.375", "-4", "0.3", "0.00001"]
    assert findings == []


def test_what_a_spreadsheet_did_is_told() -> None:
    def fill(book: Any, sheet: Any) -> None:
        day = book.add_format({"num_format": "d-mmm"})
        clock = book.add_format({"num_format": "hh:mm"})
        hours = book.add_format({"num_format": "[h]:mm:ss"})
        sheet.write_row(2, 1, ["line", "minus", "gain"])
        sheet.write_row(3, 1, ["L1", "", ""])
        sheet.write_datetime(3, 2, dt.datetime(2026, 9, 6), day)  # noqa: DTZ001 - a spreadsheet knows no zones
        sheet.write_row(4, 1, ["L2"])
        sheet.write_datetime(4, 2, dt.time(6, 9), clock)
        sheet.write_row(5, 1, ["L3"])
        sheet.write_number(5, 2, 1.5, hours)
        sheet.write_row(6, 1, ["L4"])
        sheet.write_formula(6, 2, "=-dir", None, "#NAME?")
        sheet.write_row(7, 1, ["L5"])
        sheet.write_boolean(7, 2, True)
        sheet.write_row(8, 1, ["L6"])
        sheet.write_number(8, 2, 5, day)
        sheet.write_row(9, 1, ["L7"])
        sheet.write_number(9, 2, 12345678901234567)
        sheet.write_row(10, 1, ["L8"])
        sheet.write_formula(10, 2, "=1+1", None, 2)

    table, findings = read_one(made(fill))
    assert [row[2].text for row in table.rows] == [
        "2026-09-06", "06:09", "36:00:00", "#NAME?", "TRUE", "5", "12345678901234570", "2",
    ]  # fmt: skip
    assert {finding.rule for finding in findings} == {"cell-damaged"}
    told = {finding.subject: finding for finding in findings}
    assert sorted(told) == [(f"L{number}", "minus") for number in range(1, 8)]
    first = told["L1", "minus"]
    assert str(first.spot) == "show.xlsx[Lines]!C4"
    assert first.message == (
        "minus of L1: a spreadsheet turned this into a date; it may have been 6-9, 9-6 or 6/9: write a range as 6..9"
    )
    assert "6:9" in told["L2", "minus"].message
    assert "began with +, -, = or @" in told["L4", "minus"].message
    assert [told[f"L{number}", "minus"].severity for number in range(1, 8)] == [
        Severity.ERROR, Severity.ERROR, Severity.ERROR, Severity.ERROR, Severity.NOTE, Severity.WARNING, Severity.ERROR,
    ]  # fmt: skip


def test_dates_are_welcome_where_they_are_expected() -> None:
    def fill(book: Any, sheet: Any) -> None:
        day = book.add_format({"num_format": "yyyy-mm-dd hh:mm"})
        sheet.write_row(0, 0, ["id", "At", "until"])
        sheet.write_row(1, 0, ["CF-1"])
        sheet.write_datetime(1, 1, dt.datetime(2027, 11, 19, 16, 20), day)  # noqa: DTZ001 - a spreadsheet knows no zones
        sheet.write_datetime(1, 2, dt.datetime(2027, 11, 20), day)  # noqa: DTZ001

    data = made(fill)
    table, findings = read_one(data, frozenset({"at", "until"}))
    assert texts(table)[1] == ["CF-1", "2027-11-19 16:20", "2027-11-20"]
    assert findings == []
    assert len(read_one(data, frozenset({"at"}))[1]) == 1


# Day 1 of a spreadsheet is 1900-01-01, and a day 60 stands for a 29 February 1900 that never was: ECMA-376 part 1,
# 18.17.4.1, date base 1900 (from memory).
@pytest.mark.parametrize("serial", [1, 5, 59, 61, 366, 3000])
def test_a_small_number_shown_as_a_date_comes_back_as_the_number(serial: int) -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write_string(0, 0, "strip")
        sheet.write_number(1, 0, serial, book.add_format({"num_format": "d-mmm"}))

    table, findings = read_one(made(fill))
    assert texts(table)[1] == [str(serial)]
    assert [finding.severity for finding in findings] == [Severity.WARNING]


def test_lost_zeros_are_suspected_beside_names_that_have_them() -> None:
    def fill(_: Any, sheet: Any) -> None:
        for row, value in enumerate(["cable", "005", 6, "007", 1234]):
            sheet.write(row, 0, value)
            sheet.write(row, 1, "other" if row == 0 else 6)

    table, findings = read_one(made(fill))
    assert [row[0].text for row in table.rows] == ["005", "6", "007", "1234"]
    assert [(str(finding.spot), finding.severity) for finding in findings] == [
        ("show.xlsx[Lines]!A3", Severity.WARNING)
    ]
    assert "006" in findings[0].message


def test_comments_titles_and_long_rows() -> None:
    table, findings = read_one(written({"lines": [["# as of May"], ["line", "label"], ["1", "A", "x"], ["# no", "B"]]}))
    assert texts(table) == [["line", "label"], ["1", "A"]]
    assert [(finding.rule, str(finding.spot)) for finding in findings] == [
        ("row-longer-than-header", "show.xlsx[lines]!C3")
    ]


def test_signs_that_cannot_be_seen() -> None:
    table, findings = read_one(written({"lines": [["line"], ["a\x1bb"], ["\xad"], ["c\u202ed"]]}))
    assert texts(table) == [["line"], ["a b"], ["c d"]]
    assert [(finding.rule, str(finding.spot)) for finding in findings] == [("control-character", "show.xlsx[lines]!A2")]
    assert "1 more" in findings[0].message


GOOD = written({"lines": [["line", "label"], ["1", "PNO L"]]})


def zipped(members: dict[str, bytes]) -> bytes:
    return packed(members)


@pytest.mark.parametrize(
    ("data", "rule", "words"),
    [
        (b"", "workbook-broken", "is empty"),
        (b"line,label\n1,A\n", "workbook-broken", "is no workbook"),
        (GOOD[:100], "workbook-broken", "damaged"),
        (GOOD[:-40], "workbook-broken", "damaged"),
        (GOOD.replace(b"\x00\x00", b"\x00\x01"), "workbook-broken", ""),
        (b"\xd0\xcf\x11\xe0" + bytes(600), "workbook-broken", "old kind"),
        (b"\xd0\xcf\x11\xe0" + "EncryptedPackage".encode("utf-16-le"), "workbook-broken", "password"),
        (zipped({"a.xml": b""}), "workbook-broken", "no workbook"),
        (zipped({"content.xml": b""}), "workbook-broken", "OpenDocument"),
        (zipped({"xl/workbook.xml": b"<workbook"}), "workbook-broken", "damaged inside"),
        (written({"lines": []}), "file-empty", "no table"),
    ],
)
def test_a_workbook_that_cannot_be_read_is_one_finding(data: bytes, rule: str, words: str) -> None:
    tables, findings = read_workbook("show.xlsx", data)
    assert tables == []
    assert [finding.rule for finding in findings] == [rule]
    assert words in findings[0].message
    assert findings[0].fix


def test_a_protected_member() -> None:
    data = bytearray(GOOD)
    begin = data.index(b"PK\x01\x02")  # its entry in the directory; bit 0 of the flags says 'encrypted'
    while begin >= 0:
        data[begin + 8] |= 1
        begin = data.find(b"PK\x01\x02", begin + 4)
    assert [finding.rule for finding in read_workbook("show.xlsx", bytes(data))[1]] == ["workbook-broken"]


def test_a_zip_bomb_is_not_unpacked() -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"<workbook/>")
        for number in range(3):
            archive.writestr(f"xl/media/{number}.xml", bytes(70_000_000))
    tables, findings = read_workbook("show.xlsx", stream.getvalue())
    assert tables == []
    assert [finding.rule for finding in findings] == ["file-too-large"]
    assert "210 MB" in findings[0].message


def test_a_bomb_that_lies_about_its_size() -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", bytes(50_000_000))
    data = stream.getvalue().replace(struct.pack("<I", 50_000_000), struct.pack("<I", 1000))
    tables, findings = read_workbook("show.xlsx", data)
    assert tables == []
    assert [finding.rule for finding in findings] == ["workbook-broken"]


def test_a_cell_far_away_does_not_fill_the_memory() -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_string(0, 0, "line")
        sheet.write_string(1_000_000, 16_000, "far away")

    tables, findings = read_workbook("show.xlsx", made(fill))
    assert tables == []
    assert [finding.rule for finding in findings] == ["file-too-large"]


SHEET = "xl/worksheets/sheet1.xml"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'r="A2"', b'r="A99999999999"'),
        (b'r="A2"', b'r="ZZZZ2"'),
        (b'r="A2"', b'r="XFE2"'),
        (b'r="A2"', b'r="A0"'),
        (b'r="A2"', b'r="&#65;1048577"'),
        (b'<row r="2"', b'<row r="4294967295"'),
        (b'<row r="2"', b'<row r="-1"'),
        (b"<worksheet", b'<!DOCTYPE w [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><worksheet'),
        (b"</sheetData>", b""),
    ],
)
def test_cells_that_no_workbook_has_are_not_passed_on(old: bytes, new: bytes) -> None:
    members = unpacked("show.xlsx", GOOD).members
    members[SHEET] = members[SHEET].replace(old, new, 1)
    tables, findings = read_workbook("show.xlsx", packed(members))
    assert tables == []
    assert [finding.rule for finding in findings] == ["workbook-broken"]
    assert SHEET in findings[0].message


def test_a_sheet_in_another_encoding_is_not_passed_on() -> None:
    members = unpacked("show.xlsx", GOOD).members
    members[SHEET] = b"\xff\xfe" + members[SHEET]
    assert [finding.rule for finding in read_workbook("show.xlsx", packed(members))[1]] == ["workbook-broken"]


def test_cells_without_a_place_stand_side_by_side() -> None:
    members = unpacked("show.xlsx", GOOD).members
    members[SHEET] = re.sub(rb' r="[A-Z]?[0-9]+"', b"", members[SHEET])
    table, findings = read_one(packed(members))
    assert texts(table) == [["line", "label"], ["1", "PNO L"]]
    assert findings == []


def test_a_formatted_but_empty_cell_far_away_does_no_harm() -> None:
    def fill(book: Any, sheet: Any) -> None:
        sheet.write_string(0, 0, "line")
        sheet.write_string(1, 0, "7")
        sheet.write_blank(1_048_575, 16_383, None, book.add_format({"bold": True}))

    table, findings = read_one(made(fill))
    assert texts(table) == [["line"], ["7"]]
    assert findings == []


def test_a_wide_sheet_that_fits_is_read() -> None:
    def fill(_: Any, sheet: Any) -> None:
        sheet.write_row(0, 0, [f"h{number}" for number in range(100)])
        sheet.write_row(20_000, 0, [str(number) for number in range(100)])

    table, findings = read_one(made(fill))
    assert findings == []
    assert [cell.text for cell in table.rows[0]] == [str(number) for number in range(100)]
    assert str(table.rows[0][99].spot) == "show.xlsx[Lines]!CV20001"
