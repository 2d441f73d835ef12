"""Rows of text to a table, whatever they were read from; what does not fit the first row is a finding."""

from tailboard.findings import Because, Finding
from tailboard.text import faults
from tailboard.text.nodes import Cell, Row, Table

LONG_ROWS_MAX = 3  # own choice: more long rows than this are one fault of the first row, not one each


class TableRows:
    """Fills a table row by row. `finish` gives the findings."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self._long_rows: list[Cell] = []

    def add(self, line: int, texts: list[str]) -> None:
        """Add a row that begins on `line`; the first is the header. Short rows are filled up, wholly blank ones left out."""
        table = self.table
        row_index = len(table.lines)
        if not any(texts):
            return
        table.lines.append(line)
        if row_index == 0:
            while texts and not texts[-1]:
                texts.pop()
            table.header = [Cell(text, table, 0, index) for index, text in enumerate(texts)]
            return
        width = len(table.header)
        if len(texts) > width:
            extra = next((index for index in range(width, len(texts)) if texts[index]), None)
            if extra is not None:
                self._long_rows.append(Cell(texts[extra], table, row_index, extra))
            texts = texts[:width]
        elif len(texts) < width:
            texts = texts + [""] * (width - len(texts))
        table.rows.append(Row(texts, table, row_index))

    def finish(self) -> list[Finding]:
        """Return what is wrong with the header and the length of the rows."""
        return [*self._twice(), *self._nameless(), *self._long()]

    def _twice(self) -> list[Finding]:
        """Report columns with one name."""
        findings: list[Finding] = []
        first: dict[str, Cell] = {}
        for cell in self.table.header:
            before = first.setdefault(cell.text.casefold(), cell)
            if before is not cell and cell.text:
                because = [Because(before.spot, f"'{before.text}' stands here first; this one counts")]
                message = f"the column '{cell.text}' stands twice in {self.table.name}"
                fix = "rename or delete one of the two"
                subject = (self.table.name, cell.text)
                findings.append(faults.COLUMN_TWICE.finding(subject, cell.spot, message, fix, because))
        return findings

    def _nameless(self) -> list[Finding]:
        """Report columns that hold values under a blank heading."""
        findings: list[Finding] = []
        for index, heading in enumerate(self.table.header):
            filled = [] if heading.text else [row[index] for row in self.table.rows if row.texts[index]]
            if filled:
                because = [Because(filled[0].spot, f"the first value below it, '{filled[0].text}'")]
                message = f"column {index + 1} of {self.table.name} has no name but {_values(len(filled))}; not read"
                fix = "name the column in the first row"
                subject = (self.table.name, str(index + 1))
                findings.append(faults.HEADER_MISSING.finding(subject, heading.spot, message, fix, because))
        return findings

    def _long(self) -> list[Finding]:
        """Report rows with values beyond the last heading: each, or the first row when there are many."""
        if not self._long_rows:
            return []
        rule, name, width = faults.ROW_LONGER_THAN_HEADER, self.table.name, len(self.table.header)
        if len(self._long_rows) > LONG_ROWS_MAX:
            because = [Because(cell.spot, f"'{cell.text}' has no heading") for cell in self._long_rows[:LONG_ROWS_MAX]]
            message = f"{len(self._long_rows):,} rows of {name} have more cells than the {_names(width)} of this row"
            fix = "name every column here; if this row is a title, delete it so that the row of names comes first"
            return [rule.finding(name, self.table.header[-1].spot, message, fix, because)]
        because = [Because(self.table.header[-1].spot, "the last name of the first row")]
        return [
            rule.finding(
                (name, self._row_name(cell)),
                cell.spot,
                f"'{cell.text}' stands beyond the last of {_names(width)} and is not read",
                'put quotes round a text that holds a comma ("a, b"), or name the column in the first row',
                because,
            )
            for cell in self._long_rows
        ]

    def _row_name(self, cell: Cell) -> str:
        """Return what the user calls the row of a cell: its first value."""
        row = self.table.rows[cell.row_index - 1]
        return next(filter(None, row.texts), str(self.table.lines[cell.row_index]))


def _names(count: int) -> str:
    """Return a number of names in words."""
    return "1 name" if count == 1 else f"{count} names"


def _values(count: int) -> str:
    """Return a number of values in words."""
    return "1 value" if count == 1 else f"{count:,} values"
