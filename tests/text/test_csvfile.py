"""CSV tables: what is read, where it stands, and every fault that a hand or a spreadsheet leaves in one."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.findings import Finding, Spot
from tailboard.text.csvfile import damage, read_csv
from tailboard.text.nodes import Table, csv_spot


def texts(table: Table | None) -> list[list[str]]:
    assert table is not None
    return [[cell.text for cell in row] for row in [table.header, *map(list, table.rows)]]


def read(text: str) -> tuple[list[list[str]], list[Finding]]:
    table, findings = read_csv("lines.csv", text.encode(), "lines")
    return texts(table), findings


def spots(text: str) -> dict[str, str]:
    """Return where each filled cell stands, as people write it, with its width."""
    table, _ = read_csv("lines.csv", text.encode(), "lines")
    assert table is not None
    cells = [cell for row in [table.header, *map(list, table.rows)] for cell in row if cell.text]
    return {cell.text: f"{cell.spot.line}:{cell.spot.column}+{cell.spot.width}" for cell in cells}


def one(text: str, rule: str) -> Finding:
    """Return the only finding of a text."""
    _, findings = read_csv("lines.csv", text.encode(), "lines")
    assert [finding.rule for finding in findings] == [rule]
    return findings[0]


def test_a_plain_table() -> None:
    rows, findings = read("line,source,place\n1,piano low,stage\n\n2, violin ,\n3,cello\n")
    assert rows == [["line", "source", "place"], ["1", "piano low", "stage"], ["2", "violin", ""], ["3", "cello", ""]]
    assert findings == []


# The examples of RFC 4180, section 2, rules 5, 6 and 7.
@pytest.mark.parametrize(
    ("written", "rows"),
    [
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
    ],
)
def test_the_examples_of_the_standard(written: str, rows: list[list[str]]) -> None:
    assert read(written) == (rows, [])


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_delimiters_line_ends_and_encodings(delimiter: str, ending: str, encoding: str) -> None:
    text = ending.join([delimiter.join(["line", "länge"]), "", delimiter.join(["1", '"0,375; x"']), ""])
    table, findings = read_csv("lines.csv", text.encode(encoding), "lines")
    assert texts(table) == [["line", "länge"], ["1", "0,375; x"]]
    assert findings == []
    assert table is not None
    assert table.rows[0][1].spot == Spot("lines.csv", 3, 3, 10)
    assert table.header[1].spot == Spot("lines.csv", 1, 6, 5)


def test_a_semicolon_table_with_decimal_commas() -> None:
    assert read("line;delay\n1;0,375 ms\n") == ([["line", "delay"], ["1", "0,375 ms"]], [])


def test_a_named_delimiter() -> None:
    assert read("sep=;\na,b;c\n1;2\n") == ([["a,b", "c"], ["1", "2"]], [])


def test_comments_are_passed_over() -> None:
    rows, findings = read('# lines, as of May\n"# quoted, by a spreadsheet",,\nline,label\n# not yet\n1,A # B\n')
    assert rows == [["line", "label"], ["1", "A # B"]]
    assert findings == []


def test_a_damaged_first_cell_is_no_comment() -> None:
    assert read("line,label\n#NAME?,A\n")[0][1] == ["#NAME?", "A"]


def test_blanks_round_quotes() -> None:
    rows, findings = read('feed,minus,mix\n1 , "6..9, 15" , PGM\n')
    assert rows == [["feed", "minus", "mix"], ["1", "6..9, 15", "PGM"]]
    assert findings == []


def test_a_quote_inside_a_text_is_a_letter() -> None:
    assert read('line,label\n1,19" rack\n2,a "b" c\n') == ([["line", "label"], ["1", '19" rack'], ["2", 'a "b" c']], [])


def test_where_cells_stand() -> None:
    text = 'line,"long, name",c\n"a\nb",x,"q""q"\n\n# c\n 7,  "y" ,z\n'
    assert spots(text) == {
        "line": "1:1+4", "long, name": "1:6+12", "c": "1:19+1",
        "a\nb": "2:1+0", "x": "3:4+1", 'q"q': "3:6+6",
        "7": "6:2+1", "y": "6:6+3", "z": "6:11+1",
    }  # fmt: skip


def test_a_cell_that_was_not_written_has_the_spot_of_its_line() -> None:
    table, _ = read_csv("lines.csv", b"line,label\n1\n", "lines")
    assert table is not None
    assert str(table.rows[0][1].spot) == "lines.csv:2"


def test_an_open_quote_names_its_line_and_leaves_the_rows_below() -> None:
    text = 'line,source,place\n1,"piano low,stage\n2,"violin, solo",wing\n3,cello,stage\n'
    rows, findings = read(text)
    assert rows[1:] == [["1", "piano low", "stage"], ["2", "violin, solo", "wing"], ["3", "cello", "stage"]]
    assert [(finding.rule, str(finding.spot)) for finding in findings] == [("quote-open", "lines.csv:2:3")]
    assert read(text.replace('"piano low', '"piano low"'))[1] == []


def test_an_open_quote_before_more_than_it_can_hold() -> None:
    text = 'line,label\n1,"A\n' + "".join(f"{number},B\n" for number in range(2, 300))
    rows, findings = read(text)
    assert len(rows) == 300
    assert [str(finding.spot) for finding in findings] == ["lines.csv:2:3"]


def test_text_after_a_closing_quote() -> None:
    rows, findings = read('line,label,place\n1,"6" nails,wing\n')
    assert rows[1] == ["1", '"6" nails', "wing"]
    assert [str(finding.spot) for finding in findings] == ["lines.csv:2:3"]


def test_a_row_longer_than_its_header() -> None:
    finding = one("line,source\n7,lectern, front\n8,spare,,\n", "row-longer-than-header")
    assert str(finding.spot) == "lines.csv:2:12"
    assert finding.subject == ("lines", "7")
    assert "'front'" in finding.message
    assert str(finding.because[0].spot) == "lines.csv:1:6"


def test_many_long_rows_are_one_fault_of_the_first_row() -> None:
    finding = one("Winter recital\nline,source\n1,a\n2,b\n3,c\n", "row-longer-than-header")
    assert str(finding.spot) == "lines.csv:1:1"
    assert finding.message.startswith("4 rows")
    assert len(finding.because) == 3


def test_a_column_that_stands_twice() -> None:
    finding = one("line,label,strip,Label\n1,A,2,B\n", "column-twice")
    assert str(finding.spot) == "lines.csv:1:18"
    assert str(finding.because[0].spot) == "lines.csv:1:6"


def test_a_column_without_a_name() -> None:
    finding = one("line,,label\n1,x,A\n", "header-missing")
    assert str(finding.spot) == "lines.csv:1:6"
    assert str(finding.because[0].spot) == "lines.csv:2:3"
    assert read("line,,label\n1,,A\n")[1] == []


@pytest.mark.parametrize("data", [b"", b"  \r\n \n", b"\xef\xbb\xbf", b"# only\n# comments\n", b",,,\n", b"sep=;\n"])
def test_an_empty_table(data: bytes) -> None:
    table, findings = read_csv("lines.csv", data, "lines")
    assert table is None
    assert [finding.rule for finding in findings] == ["file-empty"]


def written(rows: list[list[str]], delimiter: str, ending: str) -> str:
    """Return rows as the standard library writes them."""
    stream = io.StringIO(newline="")
    csv.writer(stream, delimiter=delimiter, lineterminator=ending).writerows(rows)
    return stream.getvalue()


LETTERS = st.text(alphabet='ab",;\t\n é-#"', max_size=6)


@settings(max_examples=300, derandomize=True, deadline=None)
@given(
    st.integers(1, 4).flatmap(lambda width: st.lists(st.lists(LETTERS, min_size=width, max_size=width), max_size=6)),
    st.sampled_from([",", ";", "\t"]),
    st.sampled_from(["\n", "\r\n"]),
)
def test_what_another_writer_writes_is_read_the_same(rows: list[list[str]], delimiter: str, ending: str) -> None:
    header = [f"h{number}" for number in range(max(len(rows[0]) if rows else 1, 2))]
    text = written([header, *rows], delimiter, ending)
    wanted = [[text.strip() for text in row] for row in rows]
    wanted = [row + [""] * (len(header) - len(row)) for row in wanted if any(row) and not row[0].startswith("#")]
    if any(text.lstrip().startswith(('"', "#")) or text != text.strip() for row in rows for text in row):
        return  # blanks and signs at the edges are read more kindly here than there
    table, findings = read_csv("t.csv", text.encode(), "t")
    assert texts(table)[1:] == wanted
    assert findings == []


@settings(max_examples=300, derandomize=True, deadline=None)
@given(st.text(alphabet='ab",; \n#', max_size=60))
def test_a_spot_points_at_what_is_written(text: str) -> None:
    table, _ = read_csv("t.csv", ("h,i\n" + text).encode(), "t")
    assert table is not None
    for cell in [cell for row in table.rows for cell in row if cell.text]:
        spot = cell.spot
        line = table.source[spot.line - 1]
        assert table.lines[cell.row_index] <= spot.line
        if spot.width:
            raw = line[spot.column - 1 : spot.column - 1 + spot.width]
            assert cell.text in (raw, raw[1:].lstrip(), raw[1:-1].replace('""', '"').strip())
            assert raw == raw.strip()
        else:
            assert line[spot.column - 1] == '"'
            assert line.count('"', spot.column - 1) % 2


def test_csv_spot_by_itself() -> None:
    source = ['a;"b', 'c";d', ";"]
    assert csv_spot("f", source, 1, 0, ";") == Spot("f", 1, 1, 1)
    assert csv_spot("f", source, 1, 1, ";") == Spot("f", 1, 3, 0)
    assert csv_spot("f", source, 1, 2, ";") == Spot("f", 2, 4, 1)
    assert csv_spot("f", source, 1, 3, ";") == Spot("f", 1)
    assert csv_spot("f", source, 3, 1, ";") == Spot("f", 3, 2, 0)


# What spreadsheets make of typed text: common practice, no source; each pair (typed, what then stands in the file).
@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("6-Sep", "6-9, 9-6 or 6/9: write a range as 6..9"),
        ("06-Sep", "6..9"),
        ("Sep-06", "6..9"),
        ("6-Sep-26", "6..9"),
        ("6. Sep", "6..9"),
        ("06. Sept. 2026", "6..9"),
        ("3-Dez", "3..12"),
        ("1-août", "1..8"),
        ("06.09.2026", "6..9"),
        ("6/9/26", "6..9"),
        ("06.09.", "6..9"),
        ("2026-09-06", "6..9"),
        ("2026/9/6", "6..9"),
        ("2026-09-06 00:00:00", "6..9"),
        ("2026-09-06T00:00", "6..9"),
        ("4-Apr", "4-4 or 4/4"),
        ("1900-01-05 00:00:00", "small number"),
        ("06:09:00", "6:9"),
        ("12:30", "12:30"),
        ("1.23E+15", "1.23E15"),
        ("1,00E+05", "1E5"),
        ("5.0", "probably 5"),
        ("#NAME?", "began with +, -, = or @"),
        ("#REF!", "began with"),
        ("#VALUE!", "began with"),
        ("Err:509", "began with"),
        ("####", "too narrow"),
        ("=1+1", "'1+1'"),
    ],
)
def test_damage_is_told(text: str, part: str) -> None:
    assert part in damage(text)


@pytest.mark.parametrize(
    "text",
    ["4", "+4", "007", "6-9", "6..9", "1..13", "SB-1/5", "CON-1", "M-01", "10.41.20.2", "10.41.20.0/24", "0.375 ms", "MAY",
     "MAR", "1.5", "E5", "1E5", "off", "PGM", "#1", "=", "-", "", "5 m", "PNO L", "2.1", "F-01~COMMS", "40-Sep-x", "13.13"],
)  # fmt: skip
def test_whole_texts_are_not_called_damaged(text: str) -> None:
    assert damage(text) == ""
