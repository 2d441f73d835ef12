"""A show in memory that a test edits as a user would: one cell, one text."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from pathlib import Path

from tailboard.findings import Claim, Finding, Status
from tailboard.model.reading import Reading, read
from tailboard.rules.run import Proof, prove
from tailboard.text.folder import Texts

EXAMPLES = Path(__file__).parents[2] / "examples"


@dataclass
class Draft:
    """The files of a show by name."""

    files: dict[str, str] = field(default_factory=dict)

    @classmethod
    def example(cls, name: str = "small") -> Draft:
        """Return a shipped example."""
        folder = EXAMPLES / name
        return cls(
            {
                path.relative_to(folder).as_posix(): path.read_text(encoding="utf-8")
                for path in sorted(folder.rglob("*"))
                if path.is_file()
            }
        )

    def copy(self) -> Draft:
        """Return a draft that can be edited on its own."""
        return Draft(dict(self.files))

    def sub(self, file: str, old: str, new: str) -> Draft:
        """Replace a text that stands exactly once in a file."""
        count = self.files[file].count(old)
        assert count == 1, f"{old!r} stands {count} times in {file}"
        self.files[file] = self.files[file].replace(old, new)
        return self

    def cell(self, table: str, row_id: str, column: str, value: str) -> Draft:
        """Set one cell of a CSV table; the first column holds the ids."""
        rows = self.rows(table)
        index = rows[0].index(column)
        (row,) = [row for row in rows[1:] if row[0] == row_id]
        row[index] = value
        self.write(table, rows)
        return self

    def get(self, table: str, row_id: str, column: str) -> str:
        """Return one cell of a CSV table."""
        rows = self.rows(table)
        (row,) = [row for row in rows[1:] if row[0] == row_id]
        return row[rows[0].index(column)]

    def rows(self, table: str) -> list[list[str]]:
        """Return all rows of a CSV table, the header first."""
        return list(csv.reader(io.StringIO(self.files[f"{table}.csv"])))

    def write(self, table: str, rows: list[list[str]]) -> None:
        """Replace a CSV table."""
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerows(rows)
        self.files[f"{table}.csv"] = text.getvalue()

    def read(self) -> Reading:
        """Return the model and the findings of reading."""
        return read(Texts(self.files))

    def prove(self) -> Proof:
        """Return the proof, reading included."""
        reading = self.read()
        return prove(reading.model, reading.findings)

    def findings(self, rule: str = "") -> list[Finding]:
        """Return the findings, of one rule if it is named."""
        return [finding for finding in self.prove().findings if not rule or finding.rule == rule]

    def claims(self, rule: str, status: Status | None = None) -> list[Claim]:
        """Return the claims of one rule, of one status if it is named."""
        return [c for c in self.prove().claims if c.rule == rule and (status is None or c.status is status)]
