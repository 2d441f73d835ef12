"""The register of the books made of a show: number, time, version and check sums, one line each, only ever added to."""

from __future__ import annotations

import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

NAME = "log/books.jsonl"


@dataclass(frozen=True, slots=True)
class Entry:
    """One book as it was made: its number, when, of which version of the plan, its check sum and those of its sheets."""

    number: int
    made: str
    version: str
    sum: str
    sheets: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Edition:
    """The number of a book, and the number it supersedes; 0 where it supersedes none. `fresh`: it is not registered yet."""

    number: int
    supersedes: int
    fresh: bool

    @property
    def words(self) -> str:
        """The number as every page bears it."""
        return f"book {self.number}, supersedes {self.supersedes or 'none'}"


def entries_of(folder: Path) -> list[Entry]:
    """Return the books made so far, oldest first; a line that cannot be read is passed over. Raises OSError."""
    path = folder / NAME
    if not path.exists():
        return []
    found = []
    for line in path.read_text(encoding="utf-8", errors="replace").splitlines():
        entry = entry_of(line)
        if entry is not None:
            found.append(entry)
    return found


def entry_of(line: str) -> Entry | None:
    """Return the book of one line; None where it says none."""
    try:
        data = json.loads(line)
        sheets = {str(key): str(value) for key, value in data["sheets"].items()}
        return Entry(int(data["number"]), str(data["made"]), str(data["version"]), str(data["sum"]), sheets)
    except (ValueError, KeyError, TypeError, AttributeError):
        return None


def edition_of(entries: Sequence[Entry], content: str, version: str) -> Edition:
    """Return the number of a book: that of the last one where nothing has changed since, else the next."""
    if not entries:
        return Edition(1, 0, fresh=True)
    last = max(entries, key=lambda entry: entry.number)
    if (last.sum, last.version) == (content, version):
        before = [entry.number for entry in entries if entry.number < last.number]
        return Edition(last.number, max(before, default=0), fresh=False)
    return Edition(last.number + 1, last.number, fresh=True)


def enter(folder: Path, entry: Entry) -> None:
    """Add a book to the register, wholly or not at all. Raises OSError."""
    path = folder / NAME
    path.parent.mkdir(exist_ok=True)
    line = json.dumps(line_of(entry), ensure_ascii=False) + "\n"
    with path.open("ab") as file:
        before = file.tell()
        torn = before > 0 and not ends_with_newline(path)
        try:
            file.write(("\n" if torn else "").encode() + line.encode())
            file.flush()
            os.fsync(file.fileno())
        except OSError:
            os.truncate(path, before)
            raise


def line_of(entry: Entry) -> Mapping[str, object]:
    """Return an entry as it is written."""
    return {
        "number": entry.number,
        "made": entry.made,
        "version": entry.version,
        "sum": entry.sum,
        "sheets": entry.sheets,
    }


def ends_with_newline(path: Path) -> bool:
    """Return whether the last line of a file is whole."""
    with path.open("rb") as file:
        file.seek(-1, os.SEEK_END)
        return file.read(1) == b"\n"
