"""Rows that differ from the book before bear a mark; a sheet that nobody touched bears none."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tailboard.views.sheets.marks import marked, sheet_changes
from tailboard.views.sheets.records import Column, Row, Sheet, Table

COLUMNS = (Column("hole"), Column("label"), Column("seen", pencil=True))


def sheet(rows: dict[str, str], key: str = "patch SB-1", pencil: str = "") -> Sheet:
    made = tuple(Row((hole, label, pencil), f"hole {hole}") for hole, label in rows.items())
    return Sheet(key, "patch", "Patch", "SB-1", tables=(Table("holes", "Holes", COLUMNS, made),))


def marks(new: Sheet, old: Sheet) -> list[str]:
    return [row.cells[0] for row in marked([new], [old])[0].tables[0].rows if row.changed]


def test_a_row_that_says_otherwise_and_a_new_row_are_marked() -> None:
    old, new = sheet({"1": "KIK", "2": "SN"}), sheet({"1": "KICK", "2": "SN", "3": "HH"})
    assert marks(new, old) == ["1", "3"]
    assert [(one["what"], one["rows"], one["lost"]) for one in sheet_changes([new], [old])] == [("changed", 2, 0)]


def test_what_was_written_with_the_pencil_is_no_change() -> None:
    assert not marks(sheet({"1": "KIK"}, pencil="ok"), sheet({"1": "KIK"}))


def test_sheets_come_and_go() -> None:
    old, new = sheet({"1": "KIK"}, "patch SB-1"), sheet({"1": "KIK", "2": "SN"}, "patch SB-9")
    assert [(one["sheet"], one["what"], one["rows"], one["lost"]) for one in sheet_changes([new], [old])] == [
        ("patch SB-9", "new", 2, 0),
        ("patch SB-1", "gone", 0, 1),
    ]
    assert marked([new], [old]) == (new,)


ROWS = st.dictionaries(st.sampled_from("12345678"), st.sampled_from(["KIK", "SN", "HH"]), max_size=8)


@given(ROWS, ROWS)
def test_a_row_is_marked_if_and_only_if_the_book_before_did_not_say_it(
    before: dict[str, str], after: dict[str, str]
) -> None:
    old, new = sheet(before), sheet(after)
    assert set(marks(new, old)) == {hole for hole in after if before.get(hole) != after[hole]}
    found = sheet_changes([new], [old])
    assert bool(found) == (before != after)
    assert sum(one["lost"] for one in found) == len(set(before) - set(after))
