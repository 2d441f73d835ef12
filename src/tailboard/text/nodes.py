"""Values as the user wrote them, each with its spot. Every scalar stays the text that was written.

A field of the model says what a text means ('off', '6-9', '10.41.20.2'); YAML's own guesses at types are never used.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Protocol

from tailboard.findings import Spot
from tailboard.text.record import plain_parts, split_record


class Written(Protocol):
    """A text somewhere in the user's files: a YAML scalar, a CSV field or a workbook cell."""

    @property
    def text(self) -> str:
        """The text, without quotes and surrounding blanks."""

    @property
    def spot(self) -> Spot:
        """Where it stands."""


@dataclass(slots=True, eq=False)
class Scalar:
    """One YAML scalar. Line and column count from 1; width is that of the written text, quotes included."""

    text: str
    file: str
    line: int
    column: int
    width: int
    quoted: bool = False

    @property
    def spot(self) -> Spot:
        """Where it stands."""
        return Spot(self.file, self.line, self.column, self.width)


@dataclass(slots=True, eq=False)
class Sequence:
    """A YAML sequence."""

    items: list[Node]
    spot: Spot


@dataclass(slots=True, eq=False)
class Mapping:
    """A YAML mapping: key text to (key, value), in the order written. Keys written twice are reported by the reader."""

    entries: dict[str, tuple[Scalar, Node]]
    spot: Spot

    def get(self, key: str) -> Node | None:
        """Return the value of a key, or None."""
        entry = self.entries.get(key)
        return None if entry is None else entry[1]

    def items(self) -> Iterator[tuple[Scalar, Node]]:
        """Yield (key, value) in the order written."""
        yield from self.entries.values()


Node = Scalar | Sequence | Mapping


@dataclass(slots=True, eq=False)
class Cell:
    """One field of a table. Its spot is worked out only when it is asked for."""

    text: str
    table: Table
    row_index: int
    column_index: int

    @property
    def spot(self) -> Spot:
        """Where it stands."""
        return self.table.spot_of(self.row_index, self.column_index)


@dataclass(slots=True, eq=False)
class Row:
    """One row of a table. Its cells are made when they are asked for; what is only read needs the texts alone."""

    texts: list[str]
    table: Table
    index: int

    def __len__(self) -> int:
        """Return the number of cells."""
        return len(self.texts)

    def __getitem__(self, column_index: int) -> Cell:
        """Return one cell."""
        return Cell(self.texts[column_index], self.table, self.index, column_index)

    def __iter__(self) -> Iterator[Cell]:
        """Yield the cells."""
        return map(self.__getitem__, range(len(self.texts)))


@dataclass(slots=True, eq=False)
class Table:
    """A table as written: a header row and rows of cells; wholly blank rows are left out.

    name   which table it is: the file's stem or the sheet's name, lower case ('lines').
    file   the file it stands in; sheet the sheet, empty for CSV.
    header the cells of the first row that is not blank.
    rows   the rows below it, as long as the header; cells that were not written have empty text.
    lines  CSV: the line of the file on which each row begins, header first (index 0); XLSX: the sheet's row.
    moved  (row, column) of cells whose text was written elsewhere, and where: a change laid over the table.
    """

    name: str
    file: str
    sheet: str = ""
    header: list[Cell] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    source: list[str] = field(default_factory=list)
    delimiter: str = ","
    moved: dict[tuple[int, int], Spot] = field(default_factory=dict)

    def spot_of(self, row_index: int, column_index: int) -> Spot:
        """Return where a cell stands; `row_index` 0 is the header. CSV columns count characters, workbook columns cells."""
        if self.moved and (row_index, column_index) in self.moved:
            return self.moved[row_index, column_index]
        from_line = self.lines[row_index]
        if self.sheet:
            return Spot(self.file, from_line, column_index + 1, 1, self.sheet)
        return csv_spot(self.file, self.source, from_line, column_index, self.delimiter)


def csv_spot(file: str, source: list[str], line: int, column_index: int, delimiter: str) -> Spot:
    """Return where field `column_index` of the CSV record that begins on `line` stands; quotes are part of it.

    The width is 0 for a field that is blank or crosses lines. A field that was not written has the spot of its line.
    """
    parts = plain_parts(source[line - 1], delimiter)
    if parts is not None:
        return plain_spot(file, parts, line, column_index)
    fields = split_record(source, line, delimiter).fields
    if column_index >= len(fields):
        return Spot(file, line)
    field = fields[column_index]
    return Spot(file, field.line, field.column, field.width)


def plain_spot(file: str, parts: list[str], line: int, column_index: int) -> Spot:
    """Return where a field of a line without puzzling quotes stands."""
    if column_index >= len(parts):
        return Spot(file, line)
    part = parts[column_index]
    before = sum(map(len, parts[:column_index])) + column_index
    text = part.strip()
    if not text:
        return Spot(file, line, before + len(part) + 1, 0)
    return Spot(file, line, before + len(part) - len(part.lstrip()) + 1, len(text))
