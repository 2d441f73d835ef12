"""Puts the tables of a show into one workbook, a sheet a table, every cell as text.

    python tools/make_workbook.py examples/medium final.xlsx

Beside `show.yaml` the workbook stands for the five CSV files. The show is only read; a file that is there already is not
written over.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

from tailboard.text.workbook import write_workbook

TABLES = ("lines", "buses", "feeds", "comms", "hearing")


def tables_of(show: Path) -> dict[str, list[list[str]]]:
    """Return the rows of each table that a show has as a CSV file, the header first."""
    found = {}
    for name in TABLES:
        path = show / f"{name}.csv"
        if path.is_file():
            with path.open(encoding="utf-8-sig", newline="") as file:
                found[name] = list(csv.reader(file))
    return found


def main() -> int:
    """Write the workbook and return the exit code."""
    if len(sys.argv) != 3:
        print(__doc__)
        return 2
    show, target = Path(sys.argv[1]), Path(sys.argv[2])
    tables = tables_of(show)
    if not tables:
        print(f"{show} has none of {', '.join(f'{name}.csv' for name in TABLES)}")
        return 2
    if target.exists():
        print(f"{target} is there already; choose another name")
        return 2
    write_workbook(target, tables)
    print(f"{target} written: {', '.join(tables)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
