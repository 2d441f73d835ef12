"""One cell of a table that people wrote is changed, and every other sign stays."""

from __future__ import annotations

import codecs
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.edits.tabletext import NotPossibleError, contents, table_text, with_cell, with_row, without_row

OLD = (
    "# lines of the evening\r\n"
    "line; label ;48V;note\r\n"
    '5; KIK ;off;"first; near the pedal"\r\n'
    "\r\n"
    "# strings\r\n"
    '6;VLN;on;"said ""soft"""\r\n'
    "7;VCL"
)


def changed(row: int, column: str, value: str, text: str = OLD) -> str:
    return with_cell(table_text("lines.csv", text.encode(), "lines"), row, column, value).data.decode()


def test_one_cell_changes_and_nothing_else() -> None:
    assert changed(1, "label", "KICK") == OLD.replace(" KIK ", " KICK ")
    assert changed(2, "48V", "off") == OLD.replace("VLN;on", "VLN;off")
    assert changed(2, "note", "loud") == OLD.replace('"said ""soft"""', '"loud"')


def test_a_short_row_is_filled_up_to_the_cell() -> None:
    assert changed(3, "note", "by hand") == OLD + ";;by hand"


def test_a_value_is_quoted_where_it_must_be() -> None:
    assert changed(1, "label", "A;B").count('"A;B"') == 1
    assert changed(1, "label", 'a "b"').count('"a ""b"""') == 1


def test_a_missing_column_is_added_at_the_end() -> None:
    new = changed(2, "pad", "-20 dB")
    assert new.splitlines()[1] == "line; label ;48V;note;pad"
    assert new.splitlines()[5].endswith('"said ""soft""";-20 dB')
    assert new.splitlines()[0] == OLD.splitlines()[0]


@pytest.mark.parametrize("mark", [b"", codecs.BOM_UTF8, codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE])
def test_the_encoding_stays(mark: bytes) -> None:
    codec = {codecs.BOM_UTF16_LE: "utf-16-le", codecs.BOM_UTF16_BE: "utf-16-be"}.get(mark, "utf-8")
    data = mark + "line,label\n5,BÖD\n".encode(codec)
    new = with_cell(table_text("lines.csv", data, "lines"), 1, "label", "BÄD").data
    assert new == mark + "line,label\n5,BÄD\n".encode(codec)


def test_a_cell_over_two_lines_is_replaced_whole() -> None:
    text = 'line,note,label\n5,"one\ntwo",KIK\n6,x,SN\n'
    assert changed(1, "note", "one", text) == 'line,note,label\n5,"one",KIK\n6,x,SN\n'
    assert changed(1, "label", "KICK", text) == text.replace("KIK", "KICK")


def test_a_row_is_added_where_it_belongs_and_taken_out() -> None:
    text = table_text("lines.csv", OLD.encode(), "lines")
    more = with_row(text, {"line": "5b", "label": "KICK OUT"}, after_row=1)
    assert more.data.decode().splitlines()[3] == "5b;KICK OUT;;"
    assert without_row(more, 2).data == text.data
    last = with_row(text, {"line": "8"})
    assert last.data.decode() == OLD + "\r\n8;;;"


def test_a_row_that_would_vanish_is_refused() -> None:
    with pytest.raises(NotPossibleError, match="blank or as a comment"):
        changed(1, "line", "#5")


def test_no_table_is_said() -> None:
    with pytest.raises(NotPossibleError, match="empty"):
        table_text("lines.csv", b"", "lines")


CELL = st.text(st.characters(blacklist_categories=("Cs", "Cc", "Cf", "Zl", "Zp", "Zs", "Cn", "Co")), max_size=6).map(
    str.strip
)
WRITTEN = st.one_of(
    CELL.filter(lambda text: not set(text) & set('",;\t#')),
    CELL.map(lambda text: '"' + text.replace('"', '""') + '"'),
    st.sampled_from(["", '"two\nlines"', ' "spaced" ', 'half " open']),
)


@given(st.lists(st.lists(WRITTEN, min_size=3, max_size=3), min_size=1, max_size=4), st.data())
def test_whatever_was_written_only_the_cell_changes(rows: list[list[str]], data: st.DataObject) -> None:
    source = "line,label,note\n" + "".join(
        f"{number}," + ",".join(row[:2]) + "\n" for number, row in enumerate(rows, 1)
    )
    text = table_text("lines.csv", source.encode(), "lines")
    index = data.draw(st.integers(1, len(text.table.rows)))
    column = data.draw(st.sampled_from(["label", "note"]))
    value = data.draw(CELL)
    try:
        after = with_cell(text, index, column, value)
    except NotPossibleError:
        return  # it says so rather than touch another cell
    expected = contents(text.table)
    expected[index][column] = value
    assert contents(after.table) == expected


def test_changing_there_and_back_gives_the_same_bytes() -> None:
    text = table_text("lines.csv", OLD.encode(), "lines")
    for column, value in [("label", "X"), ("label", "KIK"), ("48V", "on"), ("48V", "off")]:
        text = with_cell(text, 1, column, value)
    assert text.data == OLD.encode()


def test_lines_stand_in_their_order() -> None:
    lines = table_text("lines.csv", OLD.encode(), "lines").table.lines
    assert all(one < other for one, other in pairwise(lines))
