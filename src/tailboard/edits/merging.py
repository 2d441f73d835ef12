"""A workbook or table that a colleague edited, read again: which cells he changed, against what he was given."""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.edits.changes import Change
from tailboard.edits.tabletext import column_place
from tailboard.model.reading import ID_NAMES, TABLES, Reader
from tailboard.text.csvfile import damage
from tailboard.text.folder import Files
from tailboard.text.nodes import Table
from tailboard.text.recordreader import BLANK

GOES_ON = " ... (goes on: the printed sheet has all of it)"  # how a text ends that is too long for a cell
GIVEN = "as given"  # the sheet of a workbook of ours that says what stood in its cells when it was written


class WithTables:
    """The files of a folder with the tables of one file laid over: what of them is not in it stays as it is."""

    def __init__(self, folder: Files, table: Files) -> None:
        self.folder, self.table = folder, table
        over = set(Reader(table).tables())
        self.own = set(table.names())
        self.hidden = {one.file for one in Reader(folder).tables().values() if one.name in over}

    def names(self) -> list[str]:
        """Return the names of all files, sorted."""
        return sorted({name for name in self.folder.names() if name not in self.hidden} | self.own)

    def size(self, name: str) -> int:
        """Return the size in bytes. Raises OSError."""
        return (self.table if name in self.own else self.folder).size(name)

    def read(self, name: str) -> bytes:
        """Return the content. Raises OSError."""
        return (self.table if name in self.own else self.folder).read(name)


def taken_over(files: Files, other: Files) -> tuple[list[Change], list[str]]:
    """Return the cells that `other` says otherwise than what it was given, and what of it is unclear, in words.

    Where the other file says what it was given, only what was changed since counts; else every cell that differs from
    the show's does. A row or column that it does not have is left as it is: a colleague's list may be a part. Raises
    OSError.
    """
    mine, theirs = Reader(files).tables(), Reader(other).tables()
    given = given_cells(other)
    changes: list[Change] = []
    unclear: list[str] = []
    for name in TABLES:
        if name in theirs and name in mine:
            changes += table_changes(mine[name], theirs[name], given, unclear)
        elif name in theirs and theirs[name].rows:
            unclear.append(f"the show has no table '{name}' yet: put {theirs[name].file} into its folder as it is")
    return changes, unclear


def table_changes(
    mine: Table, theirs: Table, given: dict[tuple[str, str, str], str], unclear: list[str]
) -> Iterator[Change] | list[Change]:
    """Return the changes of one table."""
    id_name = ID_NAMES[mine.name]
    own, other = column_place(mine, id_name), column_place(theirs, id_name)
    if own is None or other is None:
        unclear.append(f"{mine.name}: no column '{id_name}' in {(theirs if other is None else mine).file}")
        return []
    before = {row.texts[own]: row for row in mine.rows}
    after = {row.texts[other]: row for row in theirs.rows if row.texts[other] not in BLANK}
    columns = [(cell.text, index) for index, cell in enumerate(theirs.header) if cell.text]
    found: list[Change] = []
    for row_id, row in after.items():
        known = before.get(row_id)
        if known is None and (mine.name, row_id, id_name) in given:
            unclear.append(f"{mine.name} {row_id} was taken out of the show since; {theirs.file} still has it")
            continue
        if known is None:
            found.append(Change(mine.name, row_id, id_name, row_id, ""))
        for column, index in columns:
            place = column_place(mine, column)
            stands = known.texts[place] if known is not None and place is not None else ""
            was = given.get((mine.name, row_id, column.casefold()), stands if known is not None else "")
            value = row.texts[index]
            if index == other or value == was or (value in BLANK and was in BLANK):
                continue
            if was.endswith(GOES_ON):
                unclear.append(
                    f"{mine.name} {row_id}, {column} is too long for a workbook and not whole there: edit it in the show"
                )
                continue
            if damage(value) and not damage(was):
                unclear.append(f"{mine.name} {row_id}, {column}: '{value}' in {row[index].spot}: {damage(value)}")
                continue
            found.append(Change(mine.name, row_id, column, value, was))
    found += [
        Change(mine.name, row_id, id_name, "", row_id)
        for row_id in before
        if row_id not in after and (mine.name, row_id, id_name) in given
    ]
    return found


def given_cells(other: Files) -> dict[tuple[str, str, str], str]:
    """Return what a workbook of ours was given: (table, row, column) to text; empty where it does not say."""
    from tailboard.text.workbook import read_workbook  # noqa: PLC0415  a table of text does without the library

    found: dict[tuple[str, str, str], str] = {}
    for name in other.names():
        if name.lower().endswith(".xlsx"):
            for table in read_workbook(name, other.read(name), frozenset())[0]:
                if table.name == GIVEN:
                    found |= {
                        (row.texts[0], row.texts[1], row.texts[2].casefold()): row.texts[3]
                        for row in table.rows
                        if len(row.texts) >= 4
                    }
    return found
