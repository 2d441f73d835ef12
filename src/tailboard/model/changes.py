"""Changes laid over a workbook's tables, from changes.csv: a workbook that people formatted is never written into."""

from __future__ import annotations

from tailboard.findings import Because, Finding, Rule, Severity, Spot
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Cell, Row, Table
from tailboard.text.recordreader import Report

CHANGES = "changes.csv"
COLUMNS = ("table", "row", "column", "was", "value")

CHANGE_OVERTAKEN = Rule(
    "change-overtaken",
    "reading",
    Severity.ERROR,
    """A change was made to a cell that says something else by now.

What it finds: a row of changes.csv whose `was` is not what its cell holds, while `value` is not what it holds either.
Why it matters: two people changed one cell; neither may win unseen, so the workbook's text stays.
Example: changes.csv turns the label of line 5 from `KIK` into `KICK`; somebody wrote `KD IN` into the workbook.
Fix: write what is right into the workbook and delete the row of changes.csv.
Does not find: changes made in the workbook to other cells; both count.
Source: the format of this project, docs/format.md.
""",
)
CHANGE_LEADS_NOWHERE = Rule(
    "change-leads-nowhere",
    "reading",
    Severity.ERROR,
    """A change names a table, a row or a column that there is not.

What it finds: a row of changes.csv that names no cell of a workbook's table, or an added row that is there already.
Why it matters: what somebody changed on a page has no effect any more, and nobody was told.
Example: a change to line 55 in a show whose lines end at 48; a change to a table that is a CSV file.
Fix: correct the name, or delete the row; write a change to a CSV file into the file.
Does not find: a change that names the wrong row, if the row is there and held the same text.
Source: the format of this project, docs/format.md.
""",
)
RULES = (CHANGE_OVERTAKEN, CHANGE_LEADS_NOWHERE)


class LaidChanges:
    """Lays the rows of changes.csv over tables of a workbook, in their order.

    A row names a table, the row by its name in the first place (`5` for line 5), a column, what stood there and what
    stands there now. The column that holds the row's own name adds a row (nothing before, the name now) or takes one
    out (the name before, nothing now).
    """

    def __init__(self, tables: dict[str, Table], changes: Table, id_names: dict[str, str], report: Report) -> None:
        self.tables, self.changes, self.id_names, self.report = tables, changes, id_names, report

    def lay(self) -> None:
        """Change the tables, and report what cannot be laid."""
        places = {cell.text.casefold(): index for index, cell in reversed(list(enumerate(self.changes.header)))}
        missing = [name for name in COLUMNS if name not in places]
        if missing:
            spot = self.changes.header[0].spot if self.changes.header else Spot(CHANGES)
            words = f"{CHANGES} has no column '{missing[0]}', so none of its changes is made"
            self.lost(CHANGES, spot, words, f"its columns are {', '.join(COLUMNS)}")
            return
        for row in self.changes.rows:
            self.one({name: row[places[name]] for name in COLUMNS})

    def one(self, cells: dict[str, Cell]) -> None:
        """Lay one change."""
        table = self.tables.get(cells["table"].text.casefold())
        subject = f"{cells['table'].text}:{cells['row'].text}:{cells['column'].text}"
        if table is None or not table.sheet:
            stands = f"stands in {table.file}" if table else "is no table of this show"
            fix = f"write the change into {table.file}" if table else f"write one of {', '.join(sorted(self.tables))}"
            self.lost(subject, cells["table"].spot, f"'{cells['table'].text}' {stands}; the change is not made", fix)
            return
        columns = {cell.text.casefold(): index for index, cell in reversed(list(enumerate(table.header)))}
        own = columns.get(self.id_names[table.name])
        column = columns.get(cells["column"].text.casefold())
        if own is None or column is None:
            near = nearest(cells["column"].text, columns)
            fix = f"did you mean '{near}'?" if near else f"add the column to {table.file}, or delete this row"
            words = f"{table.name} has no column '{cells['column'].text}'; the change is not made"
            self.lost(subject, cells["column"].spot, words, fix)
            return
        rows = [row for row in table.rows if row.texts[own] == cells["row"].text]
        if column == own:
            self.whole_row(table, own, rows, cells, subject)
        elif not rows:
            near = nearest(cells["row"].text, (row.texts[own] for row in table.rows))
            fix = f"did you mean '{near}'?" if near else "delete this row"
            words = f"{table.name} has no row '{cells['row'].text}'; the change is not made"
            self.lost(subject, cells["row"].spot, words, fix)
        else:
            self.cell(rows[0], column, cells, subject)

    def cell(self, row: Row, column: int, cells: dict[str, Cell], subject: str) -> None:
        """Change one cell, unless it says something else by now."""
        stands, was, value = row.texts[column], cells["was"].text, cells["value"].text
        if stands == value:
            return
        if stands != was:
            message = (
                f"'{was}' was to become '{value}' in {row.table.name}, {cells['row'].text}, {cells['column'].text}; "
                f"the workbook now says '{stands}', and that counts"
            )
            fix = f"write what is right into {row.table.file} and delete this row"
            because = [Because(row[column].spot, f"'{stands}' stands here")]
            self.report.add(CHANGE_OVERTAKEN.finding(subject, cells["was"].spot, message, fix, because))
            return
        row.texts[column] = value
        row.table.moved[row.index, column] = cells["value"].spot

    def whole_row(self, table: Table, own: int, rows: list[Row], cells: dict[str, Cell], subject: str) -> None:
        """Add a row, or take one out."""
        was, value = cells["was"].text, cells["value"].text
        if value and not was and not rows:
            texts = [""] * len(table.header)
            texts[own] = value
            index = len(table.lines)
            table.lines.append(0)
            table.rows.append(Row(texts, table, index))
            for column in range(len(texts)):
                table.moved[index, column] = cells["value"].spot
        elif was and not value and rows:
            table.rows.remove(rows[0])
        elif not (was and not value):  # taken out of the workbook as well: nothing is left to do
            words = f"the row '{value or was}' of {table.name} is there already, or is renamed; the change is not made"
            self.lost(subject, cells["value"].spot, words, "add a row with nothing in `was`, or delete this row")

    def lost(self, subject: str, spot: Spot, message: str, fix: str) -> None:
        """Report a change that is not made."""
        finding: Finding = CHANGE_LEADS_NOWHERE.finding(subject, spot, message, fix)
        self.report.add(finding)
