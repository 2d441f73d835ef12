"""Changes of single cells and rows, worked out against the user's files: what they would become, and what clashes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tailboard.edits.tabletext import (
    NotPossibleError,
    TableText,
    column_place,
    table_text,
    with_cell,
    with_row,
    without_row,
)
from tailboard.findings import Finding, Severity, Spot
from tailboard.model.changes import CHANGES
from tailboard.model.changes import COLUMNS as CHANGE_COLUMNS
from tailboard.model.reading import ID_NAMES, Reader, read
from tailboard.rules.run import Proof, prove
from tailboard.text.folder import Files
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Table
from tailboard.text.safewrite import ChangedOnDisk, write_beside

KEPT = "log/before"


@dataclass(frozen=True, slots=True)
class Change:
    """One cell of a table that somebody changed.

    table, row, column  where: `lines`, `5`, `label`. The column with the row's own name adds a row (`was` empty) or
                        takes one out (`value` empty).
    value  the new text.
    was    the text that the one who changed it saw; None: not asked.
    """

    table: str
    row: str
    column: str
    value: str
    was: str | None = None


@dataclass(frozen=True, slots=True)
class Clash:
    """A change to a cell that says something else by now: what `stands` there and where. Nothing is overwritten."""

    change: Change
    stands: str
    spot: Spot


@dataclass(frozen=True, slots=True)
class Refused:
    """A change that cannot be made, and why, with what to do."""

    change: Change
    why: str


@dataclass(frozen=True, slots=True)
class Proposal:
    """What the user's files would become.

    files     file to new content; expected: what it was worked out from, None for a new file.
    clashes, refused  the changes that are not in it.
    """

    files: Mapping[str, bytes]
    expected: Mapping[str, bytes | None]
    clashes: tuple[Clash, ...] = ()
    refused: tuple[Refused, ...] = ()


@dataclass(slots=True)
class Work:
    """The tables while changes are made in them. `texts`: CSV files by table; `laid`: rows for changes.csv."""

    files: Files
    tables: dict[str, Table]
    texts: dict[str, TableText] = field(default_factory=dict)
    laid: list[Change] = field(default_factory=list)

    def text_of(self, table: Table) -> TableText:
        """Return the text of a table's CSV file as it stands by now. Raises NotPossibleError, OSError."""
        if table.name not in self.texts:
            self.texts[table.name] = table_text(table.file, self.files.read(table.file), table.name)
        return self.texts[table.name]


class Changed:
    """The files of a show with some contents replaced in memory."""

    def __init__(self, files: Files, contents: Mapping[str, bytes]) -> None:
        self.files, self.contents = files, contents

    def names(self) -> list[str]:
        """Return the names of all files, sorted."""
        return sorted({*self.files.names(), *self.contents})

    def size(self, name: str) -> int:
        """Return the size in bytes. Raises OSError."""
        return len(self.contents[name]) if name in self.contents else self.files.size(name)

    def read(self, name: str) -> bytes:
        """Return the content. Raises OSError."""
        return self.contents[name] if name in self.contents else self.files.read(name)


def propose(files: Files, changes: Iterable[Change]) -> Proposal:
    """Return what the files would become with the changes made in their order. Raises OSError."""
    work = Work(files, Reader(files).tables())
    clashes: list[Clash] = []
    refused: list[Refused] = []
    for change in changes:
        try:
            clash = made(work, change)
        except NotPossibleError as problem:
            refused.append(Refused(change, str(problem)))
            continue
        if clash is not None:
            clashes.append(clash)
    contents = {text.name: text.data for text in work.texts.values()}
    expected: dict[str, bytes | None] = {name: files.read(name) for name in contents}
    if work.laid:
        expected[CHANGES] = files.read(CHANGES) if CHANGES in files.names() else None
        contents[CHANGES] = with_changes(expected[CHANGES], work.laid)
    altered = {name: data for name, data in contents.items() if data != expected[name]}
    return Proposal(altered, {name: expected[name] for name in altered}, tuple(clashes), tuple(refused))


def made(work: Work, change: Change) -> Clash | None:
    """Make one change in the tables, or return its clash. Raises NotPossibleError."""
    table = work.tables.get(change.table)
    if table is None:
        raise NotPossibleError(f"there is no table '{change.table}' in this show")
    if re.search(r"[\r\n\0]", change.value):
        raise NotPossibleError("a value of a table stands on one line; take the line break out")
    own = column_place(table, ID_NAMES[change.table])
    if own is None:
        raise NotPossibleError(f"{table.file} has no column '{ID_NAMES[change.table]}'; nothing can be found in it")
    if table.sheet:
        return laid(work, table, own, change)
    text = work.text_of(table)
    index = row_of(text.table, own, change.row)
    whole = change.column.casefold() == ID_NAMES[change.table]
    if whole and not change.was and change.value:
        require_free(text.table, own, change)
        work.texts[table.name] = with_row(text, {ID_NAMES[change.table]: change.value})
        return None
    require_row(index, text.table, own, change)
    place = column_place(text.table, change.column)
    cell = text.table.rows[index - 1][place] if place is not None else None
    stands = cell.text if cell is not None else ""
    if change.was is not None and stands not in (change.was, change.value):
        return Clash(change, stands, cell.spot if cell is not None else Spot(table.file))
    if whole and not change.value:
        work.texts[table.name] = without_row(text, index)
    elif stands != change.value:
        work.texts[table.name] = with_cell(text, index, change.column, change.value)
    return None


def laid(work: Work, table: Table, own: int, change: Change) -> Clash | None:
    """Note a change of a workbook's table for changes.csv, or return its clash. Raises NotPossibleError."""
    index = row_of(table, own, change.row)
    place = column_place(table, change.column)
    if place is None:
        raise NotPossibleError(f"{table.file} has no column '{change.column}'; add it to the workbook first")
    whole = place == own
    if whole and not change.was and change.value:
        require_free(table, own, change)
        work.laid.append(Change(change.table, change.value, change.column, change.value, ""))
        return None
    require_row(index, table, own, change)
    cell = table.rows[index - 1][place]
    if change.was is not None and cell.text not in (change.was, change.value):
        return Clash(change, cell.text, cell.spot)
    if cell.text != change.value:
        work.laid.append(Change(change.table, change.row, change.column, change.value, cell.text))
        cell.table.rows[index - 1].texts[place] = change.value
    return None


def row_of(table: Table, own: int, row: str) -> int:
    """Return the place of a row by its own name, counted from 1; 0 where there is none."""
    return next((index for index, one in enumerate(table.rows, 1) if one.texts[own] == row), 0)


def require_free(table: Table, own: int, change: Change) -> None:
    """Raise NotPossibleError where a row to be added is there already."""
    if row_of(table, own, change.value):
        raise NotPossibleError(f"'{change.value}' stands in {change.table} already")


def require_row(index: int, table: Table, own: int, change: Change) -> None:
    """Raise NotPossibleError where a row is not there, with the name probably meant."""
    if not index:
        near = nearest(change.row, (row.texts[own] for row in table.rows))
        hint = f"; did you mean '{near}'?" if near else ""
        raise NotPossibleError(f"{table.file} has no row '{change.row}'{hint}")


def with_changes(before: bytes | None, laid_changes: Iterable[Change]) -> bytes:
    """Return changes.csv with rows added. Raises NotPossibleError."""
    begin = before if before is not None else (",".join(CHANGE_COLUMNS) + "\n").encode()
    text = table_text(CHANGES, begin, "changes")
    for change in laid_changes:
        cells = (change.table, change.row, change.column, change.was or "", change.value)
        text = with_row(text, dict(zip(CHANGE_COLUMNS, cells, strict=True)))
    return text.data


def worse(files: Files, proposal: Proposal, before: Proof | None = None) -> list[Finding]:
    """Return the errors that the show would have with the changes and does not have without; worst first.

    before  the proof of the show as it stands, where the caller has it.
    """
    if before is None:
        reading = read(files)
        before = prove(reading.model, reading.findings)
    known = {finding.id for finding in before.findings}
    reading = read(Changed(files, proposal.files))
    after = prove(reading.model, reading.findings)
    return [found for found in after.findings if found.severity is Severity.ERROR and found.id not in known]


def save(folder: Path, proposal: Proposal) -> list[str]:
    """Write the changed files; the versions before are kept in log/before. Returns the names written.

    A file that was changed on disk since the proposal was made is left alone, and so is all that comes after it.

    Raises ChangedOnDisk, OSError.
    """
    for name in proposal.files:  # look at all before the first is touched
        path = folder / name
        if (path.read_bytes() if path.exists() else None) != proposal.expected[name]:
            raise ChangedOnDisk(path)
    for name, data in proposal.files.items():
        write_beside(folder / name, data, proposal.expected[name], folder / KEPT)
    return list(proposal.files)
