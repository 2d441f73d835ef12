"""XLSX workbooks to tables and back. Every cell is text; what a spreadsheet turned into something else is a finding."""

import datetime as dt
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any, BinaryIO

from tailboard.findings import Finding, Severity
from tailboard.text import faults
from tailboard.text.csvfile import damage, is_comment
from tailboard.text.decoding import UNSEEN, empty
from tailboard.text.nodes import Table
from tailboard.text.tablerows import TableRows
from tailboard.text.workbookzip import Book, UnreadableError, broken, error_cells, packed, unpacked

Value = int | float | str | bool | dt.date | dt.time | dt.timedelta

DIGITS_MAX = 15  # IEEE 754: a double holds 15 decimal digits
TEXT_LENGTH_MAX = 32_767  # letters a cell can hold: ECMA-376 part 1 (from memory)
TEXT_FORMAT = 49  # number of the built-in format '@', text: ECMA-376 part 1, 18.8.30 (from memory)
WIDTH_MAX = 60  # own choice: a wider column pushes the others off the screen
SMALL_NUMBER_END = dt.date(1910, 1, 1)  # own choice: no show is dated so; it is a number up to 3,653 shown as a date


def read_workbook(
    name: str, data: bytes, date_columns: frozenset[str] = frozenset()
) -> tuple[list[Table], list[Finding]]:
    """Return the tables of a workbook, one a sheet, and the findings.

    A table is named after its sheet, lower case. Its first row that is neither blank nor a comment is the header. A
    whole number reads '5', a date '2026-09-06' or '2026-09-06 16:20'; a date outside `date_columns` (headings, lower
    case) is a finding, and so are times, errors, logical values, over-long numbers and lost zeros.
    """
    try:
        book = unpacked(name, data)
        sheets = _sheets(name, book)
    except UnreadableError as problem:
        return [], [problem.finding]
    errors = error_cells(book)
    tables: list[Table] = []
    findings: list[Finding] = []
    for sheet, rows in sheets:
        title = UNSEEN.sub(" ", sheet) or "(no name)"  # a table without a sheet would pass for CSV
        reader = _SheetReader(Table(title.strip().lower(), name, title), date_columns)
        reader.read(rows, errors.get(sheet, {}))
        if reader.table.lines:
            tables.append(reader.table)
            findings += reader.finish()
    return tables, findings if tables else [empty(name, "holds no table")]


def _sheets(name: str, book: Book) -> list[tuple[str, list[list[Value]]]]:
    """Return name and rows of each worksheet, beginning with row 1. Raises UnreadableError."""
    # calamine is compiled code that a show without a workbook need not load
    from python_calamine import CalamineWorkbook, SheetTypeEnum  # noqa: PLC0415

    try:
        reader = CalamineWorkbook.from_filelike(BytesIO(packed(book.members)))
        listed = [sheet.name for sheet in reader.sheets_metadata if sheet.typ == SheetTypeEnum.WorkSheet]
        return [(sheet, reader.get_sheet_by_name(sheet).to_python(skip_empty_area=False)) for sheet in listed]
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as problem:  # noqa: BLE001 - a panic in the compiled code is no Exception; the file is broken
        raise UnreadableError(broken(name, f"is damaged inside ({UNSEEN.sub(' ', str(problem))})")) from None


@dataclass(frozen=True, slots=True)
class _Damage:
    """What happened to one cell."""

    row_index: int
    column_index: int
    words: str
    severity: Severity


class _SheetReader:
    """Turns the values of one sheet into the texts of a table."""

    def __init__(self, table: Table, date_columns: frozenset[str]) -> None:
        self.table = table
        self._date_columns = date_columns
        self._rows = TableRows(table)
        self._damages: list[_Damage] = []
        self._padded: dict[int, int] = {}
        self._numbers: list[tuple[int, int, str]] = []
        self._unseen: list[tuple[int, int]] = []

    def read(self, rows: list[list[Value]], errors: dict[tuple[int, int], str]) -> None:
        """Add the rows of a sheet; `errors` are the cells, by row and column from 1, that hold an error."""
        for line, values in enumerate(rows, 1):
            if isinstance(values[0], str) and is_comment(values[0]):
                continue
            texts = [self._text(value, index) for index, value in enumerate(values)]
            self._rows.add(line, texts)
        for (line, column), text in errors.items():
            self._put_error(line, column - 1, text)

    def _text(self, value: Value, column_index: int) -> str:
        """Return a value as text; note what the spreadsheet did to it."""
        if isinstance(value, str):
            text = self._seen(value, column_index).strip()
            if len(text) > 1 and text[0] == "0" and text.isdecimal():
                self._padded[column_index] = max(len(text), self._padded.get(column_index, 0))
            return text
        if isinstance(value, bool):
            words = "this is the spreadsheet's own TRUE or FALSE, which may not be what was typed"
            return self._note(column_index, "TRUE" if value else "FALSE", words, Severity.NOTE)
        if isinstance(value, int | float):
            return self._number(value, column_index)
        text = _time_text(value)
        if isinstance(value, dt.date):
            if value.timetuple()[:3] < SMALL_NUMBER_END.timetuple()[:3]:
                words = "a spreadsheet shows this number as a date"
                return self._note(column_index, _serial(value), words, Severity.WARNING)
            if self._heading(column_index) in self._date_columns:
                return text
        return self._note(column_index, text, damage(text), Severity.ERROR)

    def _seen(self, text: str, column_index: int) -> str:
        """Return a text with blanks for signs that cannot be seen, and note the cell that holds one."""
        if UNSEEN.search(text):
            text = UNSEEN.sub(" ", text)
            if not text.isspace():  # a row of nothing else is blank and left out
                self._unseen.append((len(self.table.lines), column_index))
        return text

    def _number(self, value: float, column_index: int) -> str:
        """Return a number as people write it."""
        if value != value or abs(value) == float("inf"):  # noqa: PLR0124 - not a number
            return ""
        if value != int(value):
            return format(Decimal(f"{value:.{DIGITS_MAX}g}"), "f")
        text = str(int(value))
        if len(text.lstrip("-")) > DIGITS_MAX:
            words = f"a spreadsheet keeps {DIGITS_MAX} digits of a number; the last ones are lost"
            return self._note(column_index, text, words, Severity.ERROR)
        self._numbers.append((len(self.table.lines), column_index, text))
        return text

    def _heading(self, column_index: int) -> str:
        """Return the heading of a column, lower case; '' while the header itself is read."""
        header = self.table.header
        return header[column_index].text.lower() if column_index < len(header) else ""

    def _note(self, column_index: int, text: str, words: str, severity: Severity) -> str:
        """Keep what happened to a cell of the row that is being read, and return its text."""
        self._damages.append(_Damage(len(self.table.lines), column_index, words, severity))
        return text

    def _put_error(self, line: int, column_index: int, text: str) -> None:
        """Write an error into the cell that it stands in, which the library reads as empty."""
        if line not in self.table.lines or column_index >= len(self.table.header):
            return
        row_index = self.table.lines.index(line)
        if row_index:
            self.table.rows[row_index - 1].texts[column_index] = text
        else:
            self.table.header[column_index].text = text
        self._damages.append(
            _Damage(row_index, column_index, damage(text) or f"this is an error, {text}", Severity.ERROR)
        )

    def finish(self) -> list[Finding]:
        """Return the findings of the sheet."""
        for row_index, column_index, text in self._numbers:
            width = self._padded.get(column_index, 0)
            if len(text) < width and row_index:
                words = f"other cells of this column have leading zeros; it may have been {text.zfill(width)}"
                self._damages.append(_Damage(row_index, column_index, words, Severity.WARNING))
        width = len(self.table.header)
        damaged = [self._finding(one) for one in self._damages if one.column_index < width]
        return [*self._rows.finish(), *self._unseen_signs(), *damaged]

    def _unseen_signs(self) -> list[Finding]:
        """Report signs that cannot be seen: the first cell, and how many there are."""
        if not self._unseen:
            return []
        more = f", and in {len(self._unseen) - 1:,} more cells" if len(self._unseen) > 1 else ""
        message = f"a sign that cannot be seen stands in this cell{more}; it is read as a blank"
        spot = self.table.spot_of(*self._unseen[0])
        return [faults.CONTROL_CHARACTER.finding(self.table.name, spot, message, "type the text again")]

    def _finding(self, one: _Damage) -> Finding:
        """Return the finding for a damaged cell."""
        row = self.table.rows[one.row_index - 1] if one.row_index else self.table.header
        heading = self.table.header[one.column_index].text
        row_name = next((cell.text for cell in row if cell.text), "") if one.row_index else "header"
        spot = self.table.spot_of(one.row_index, one.column_index)
        message = f"{heading} of {row_name}: {one.words}"
        fix = "set the column to text, then type the value again"
        return faults.CELL_DAMAGED.finding((row_name, heading), spot, message, fix, severity=one.severity)


def _time_text(value: dt.date | dt.time | dt.timedelta) -> str:
    """Return a date as 2026-09-06 or 2026-09-06 16:20, a time as 16:20, a length of time as 36:00:00."""
    if isinstance(value, dt.timedelta):
        minutes, seconds = divmod(round(value.total_seconds()), 60)
        return f"{minutes // 60}:{minutes % 60:02}:{seconds:02}"
    if isinstance(value, dt.datetime):
        day, clock = value.date().isoformat(), _time_text(value.time())
        return day if clock == "00:00" else f"{day} {clock}"
    if isinstance(value, dt.time):
        return value.isoformat("seconds" if value.second else "minutes")
    return value.isoformat()


def _serial(value: dt.date) -> str:
    """Return the number that a spreadsheet shows as a date in its first years; day 1 is 1900-01-01, and 60 never was."""
    days = (dt.date(*value.timetuple()[:3]) - dt.date(1899, 12, 31)).days
    return str(days if days < 60 else days + 1)


def write_workbook(
    target: Path | BinaryIO,
    tables: Mapping[str, Sequence[Sequence[str]]],
    *,
    notes: Mapping[str, Mapping[str, str]] | None = None,
    hidden: Collection[str] = (),
    created: dt.datetime | None = None,
) -> None:
    """Write tables as a workbook, every cell as text, so that a spreadsheet changes none of them.

    target   path or an open binary file.
    tables   sheet name -> rows of texts, the header first.
    notes    sheet name -> heading -> what the column means; shown where the pointer rests on the heading.
    hidden   the sheets that are there for reading back alone.
    created  the time stamp in the file; the same tables with the same stamp give the same bytes. None: now.

    Raises ValueError for a text longer than a cell can hold, OSError where the target cannot be written.
    """
    # long: the options that spreadsheets need, each once
    from xlsxwriter import Workbook  # noqa: PLC0415  a show that is only checked need not load the library that writes

    longest = max((len(text) for rows in tables.values() for row in rows for text in row), default=0)
    if longest > TEXT_LENGTH_MAX:
        raise ValueError(f"a text of {longest:,} letters does not fit into a cell; at most {TEXT_LENGTH_MAX:,} do")
    buffer = BytesIO()
    book = Workbook(buffer, {"in_memory": True})
    if created is not None:
        book.set_properties({"created": created})
    plain = book.add_format({"num_format": TEXT_FORMAT, "valign": "top"})
    heading = book.add_format({"num_format": TEXT_FORMAT, "bold": True, "bottom": 1})
    for name, rows in tables.items():
        sheet = book.add_worksheet(name)
        _write_sheet(sheet, rows, plain, heading)
        for column, text in enumerate(rows[0] if rows else ()):
            note = (notes or {}).get(name, {}).get(text, "")
            if note:
                sheet.write_comment(0, column, note)
        if name in hidden:
            sheet.hide()
    book.close()
    if isinstance(target, Path):
        target.write_bytes(buffer.getvalue())
    else:
        target.write(buffer.getvalue())


def _write_sheet(sheet: Any, rows: Sequence[Sequence[str]], plain: Any, heading: Any) -> None:
    """Write the rows of one sheet, the head frozen and with filters, each column as wide as its texts."""
    width = max((len(row) for row in rows), default=0)
    for column in range(width):
        letters = max(len(row[column]) for row in rows if column < len(row))
        sheet.set_column(column, column, min(letters, WIDTH_MAX) + 2, plain)
    for index, row in enumerate(rows):
        for column, text in enumerate(row):
            if text:  # an empty cell has the format of its column
                sheet.write_string(index, column, text, plain if index else heading)
    if rows and width:
        sheet.freeze_panes(1, 1)
        sheet.autofilter(0, 0, len(rows) - 1, width - 1)
