"""A table that a user wrote as text, changed in single cells and whole rows; every other sign stays as it was."""

from __future__ import annotations

import codecs
import re
from collections.abc import Mapping
from dataclasses import dataclass

from tailboard.text.csvfile import is_comment, read_csv
from tailboard.text.nodes import Table
from tailboard.text.record import closing, plain_parts, split_record

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n|$)")


class NotPossibleError(Exception):
    """The change cannot be made in this text; the sentence says why and what to do."""


@dataclass(slots=True)
class TableText:
    """The text of one CSV file, line by line, and the table read from it.

    ends  the line break of each line as written; the last may be empty.
    """

    name: str
    codec: str
    mark: bytes
    lines: list[str]
    ends: list[str]
    table: Table

    @property
    def data(self) -> bytes:
        """The bytes of the file."""
        text = "".join(line + end for line, end in zip(self.lines, self.ends, strict=True))
        return self.mark + text.encode(self.codec)

    @property
    def end(self) -> str:
        """The line break that this file uses."""
        return next(filter(None, self.ends), "\n")


def table_text(name: str, data: bytes, table_name: str) -> TableText:
    """Return the text of a CSV file with its table. Raises NotPossibleError where it cannot be read."""
    table, findings = read_csv(name, data, table_name)
    if table is None:
        raise NotPossibleError(findings[0].message if findings else f"{name} holds no table")
    codec, mark = "utf-8", b""
    for begin, known in (
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
    ):
        if data.startswith(begin):
            codec, mark = known, begin
    parts = [part for part in _LINE.findall(data[len(mark) :].decode(codec)) if part]
    lines = [part.rstrip("\r\n") for part in parts]
    ends = [part[len(line) :] for part, line in zip(parts, lines, strict=True)]
    return TableText(name, codec, mark, lines, ends, table)


def with_cell(text: TableText, row_index: int, column: str, value: str) -> TableText:
    """Return the text with one cell changed; `row_index` counts the table's rows from 1, 0 is the header.

    A column that the header does not have is added at its end. Raises NotPossibleError.
    """
    new = table_text(text.name, text.data, text.table.name)
    place = column_place(new.table, column)
    if place is None:
        place = len(new.table.header)
        _set_field(new, 0, place, column)
    _set_field(new, row_index, place, value)
    after = table_text(new.name, new.data, new.table.name)
    require_only(text.table, after.table, row_index, column, value)
    return after


def with_row(text: TableText, cells: Mapping[str, str], after_row: int | None = None) -> TableText:
    """Return the text with a row added below row `after_row`, or below the last. `cells`: column name to text."""
    new = table_text(text.name, text.data, text.table.name)
    for column in cells:
        if column_place(new.table, column) is None:
            new = with_cell(new, 0, column, column)
    wanted = {name.casefold(): value for name, value in cells.items()}
    row = new.table.delimiter.join(
        _written(wanted.get(cell.text.casefold(), ""), new.table.delimiter, first=index == 0)
        for index, cell in enumerate(new.table.header)
    )
    last = len(new.table.rows) if after_row is None else after_row
    at = _last_line(new, last)
    if not new.ends[at - 1]:
        new.ends[at - 1] = new.end
        new.lines.insert(at, row)
        new.ends.insert(at, "")
    else:
        new.lines.insert(at, row)
        new.ends.insert(at, new.end)
    return table_text(new.name, new.data, new.table.name)


def without_row(text: TableText, row_index: int) -> TableText:
    """Return the text with a row taken out; comments round it stay."""
    new = table_text(text.name, text.data, text.table.name)
    first, last = new.table.lines[row_index], _last_line(new, row_index)
    del new.lines[first - 1 : last], new.ends[first - 1 : last]
    return table_text(new.name, new.data, new.table.name)


def column_place(table: Table, column: str) -> int | None:
    """Return the index of a column, or None; the first of two with one name counts."""
    wanted = column.casefold()
    return next((index for index, cell in enumerate(table.header) if cell.text.casefold() == wanted), None)


def require_only(before: Table, after: Table, row_index: int, column: str, value: str) -> None:
    """Raise NotPossibleError unless the two tables differ in that one cell alone, and it now reads `value`.

    The text was written by people: what we think we changed is read again before anybody relies on it.
    """
    old, new = contents(before), contents(after)
    if len(old) != len(new):
        raise NotPossibleError(
            f"with '{value}' the row would be read as blank or as a comment; take the row out instead"
        )
    for rows in (old, new):
        if 0 < row_index < len(rows):
            rows[row_index] = {**rows[row_index], column.casefold(): value}
    if row_index > 0 and contents(after)[row_index].get(column.casefold(), "") != value:
        raise NotPossibleError(
            f"'{value}' would not be read back as it stands; write it without line breaks and quotes"
        )
    for one, other in zip(old, new, strict=True):
        if {name: text for name, text in one.items() if text} != {name: text for name, text in other.items() if text}:
            raise NotPossibleError(f"the row in {before.file} is written so that one cell cannot be changed alone")


def contents(table: Table) -> list[dict[str, str]]:
    """Return the table's rows as column to text, the header first as an empty row."""
    names = [cell.text.casefold() for cell in table.header]
    return [{}, *(dict(zip(reversed(names), reversed(row.texts), strict=True)) for row in table.rows)]


def _last_line(text: TableText, row_index: int) -> int:
    """Return the last line of a row's record, counted from 1."""
    line = text.table.lines[row_index]
    if plain_parts(text.table.source[line - 1], text.table.delimiter) is not None:
        return line
    return split_record(text.table.source, line, text.table.delimiter).next_line - 1


def _set_field(text: TableText, row_index: int, place: int, value: str) -> None:
    """Write one field of a record in place."""
    line, delimiter = text.table.lines[row_index], text.table.delimiter
    parts = plain_parts(text.lines[line - 1], delimiter)
    if parts is None:
        _set_in_record(text, line, place, value)
        return
    parts += [""] * (place + 1 - len(parts))
    old = parts[place]
    new = _written(value, delimiter, first=place == 0, quoted=old.strip().startswith('"'))
    lead = old[: len(old) - len(old.lstrip())] if old.strip() else ""
    trail = old[len(old.rstrip()) :] if old.strip() else ""
    parts[place] = f"{lead}{new}{trail}"
    text.lines[line - 1] = delimiter.join(parts)


def _set_in_record(text: TableText, line: int, place: int, value: str) -> None:
    """Write one field of a record whose quotes need a closer look."""
    delimiter = text.table.delimiter
    record = split_record(text.table.source, line, delimiter)
    if place >= len(record.fields):
        at = record.next_line - 2
        text.lines[at] += delimiter * (place + 1 - len(record.fields)) + _written(value, delimiter, first=False)
        return
    field = record.fields[place]
    begin = field.column - 1
    quoted = text.lines[field.line - 1][begin:].startswith('"')
    new = _written(value, delimiter, first=place == 0, quoted=quoted)
    end = closing(text.table.source, field.line, begin, delimiter) if not field.width and field.text else None
    if end is None:
        row = text.lines[field.line - 1]
        text.lines[field.line - 1] = row[:begin] + new + row[begin + field.width :]
        return
    tail = text.lines[end[0] - 1][end[1] :]
    text.lines[field.line - 1 : end[0]] = [text.lines[field.line - 1][:begin] + new + tail]
    text.ends[field.line - 1 : end[0]] = [text.ends[end[0] - 1]]


def _written(value: str, delimiter: str, *, first: bool, quoted: bool = False) -> str:
    """Return a value as a field: in quotes where it needs them or had them."""
    needs = quoted or delimiter in value or '"' in value or value != value.strip() or (first and is_comment(value))
    if not needs:
        return value
    doubled = value.replace('"', '""')
    return f'"{doubled}"'
