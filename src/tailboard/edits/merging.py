"""A workbook or table that a colleague edited, read again: which cells he changed, against what he was given."""

from __future__ import annotations

from tailboard.edits.changes import Change
from tailboard.edits.tabletext import column_place
from tailboard.model.reading import ID_NAMES, TABLES, Reader
from tailboard.text.csvfile import damage
from tailboard.text.folder import Files
from tailboard.text.nodes import Cell, Table
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
) -> list[Change]:
    """Return the changes of one table."""
    id_name = ID_NAMES[mine.name]
    own, other = column_place(mine, id_name), column_place(theirs, id_name)
    if own is None or other is None:
        unclear.append(f"{mine.name}: no column '{id_name}' in {(theirs if other is None else mine).file}")
        return []
    before = {row.texts[own]: row for row in mine.rows}
    after = {row.texts[other]: row for row in theirs.rows if row.texts[other] not in BLANK}
    found: list[Change] = []
    for row_id, row in after.items():
        known = before.get(row_id)
        if known is None and (mine.name, row_id, id_name) in given:
            unclear.append(f"{mine.name} {row_id} was taken out of the show since; {theirs.file} still has it")
            continue
        if known is None:
            found.append(Change(mine.name, row_id, id_name, row_id, ""))
        for index, cell in enumerate(theirs.header):
            if not cell.text or index == other:
                continue
            place = column_place(mine, cell.text)
            stands = known.texts[place] if known is not None and place is not None else ""
            was = given.get((mine.name, row_id, cell.text.casefold()), stands)
            if reason := why_unclear(row[index], was):
                unclear.append(f"{mine.name} {row_id}, {cell.text} {reason}")
            elif row.texts[index] != was and not (row.texts[index] in BLANK and was in BLANK):
                found.append(Change(mine.name, row_id, cell.text, row.texts[index], was))
    gone = (one for one in before if one not in after and (mine.name, one, id_name) in given)
    return found + [Change(mine.name, row_id, id_name, "", row_id) for row_id in gone]


def why_unclear(cell: Cell, was: str) -> str:
    """Return why what stands in a workbook's cell cannot be taken over, or nothing."""
    if cell.text == was:
        return ""
    if was.endswith(GOES_ON):
        return "is too long for a workbook and not whole there: edit it in the show"
    harm = damage(cell.text)
    return f"has '{cell.text}' in {cell.spot}: {harm}" if harm and not damage(was) else ""


def given_cells(other: Files) -> dict[tuple[str, str, str], str]:
    """Return what a workbook of ours was given: (table, row, column) to text; empty where it does not say."""
    from tailboard.text.workbook import read_workbook  # noqa: PLC0415  a table of text does without the library

    found: dict[tuple[str, str, str], str] = {}
    for name in other.names():
        if name.lower().endswith(".xlsx"):
            for table in read_workbook(name, other.read(name), frozenset())[0]:
                if table.name == GIVEN:
                    found |= remembered(table)
    return found


def remembered(table: Table) -> dict[tuple[str, str, str], str]:
    """Return what the hidden tab of a workbook of ours remembers: (table, row, column) to text."""
    heads: dict[str, tuple[str, ...]] = {}
    found: dict[tuple[str, str, str], str] = {}
    for row in table.rows:
        name, row_id, *texts = row.texts
        if row_id in BLANK:
            heads[name] = tuple(text.casefold() for text in texts)
        else:
            found |= {
                (name, row_id, column): text for column, text in zip(heads.get(name, ()), texts, strict=False) if column
            }
    return found
