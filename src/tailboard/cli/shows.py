"""Which show a command is about: the folder named first, one table alone, or the folder we are in."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tailboard.answers.ask import Ask
from tailboard.cli.problem import CannotRun
from tailboard.model.reading import SHOW_EMPTY, TABLES, Reading, read
from tailboard.text.folder import Files, Folder
from tailboard.text.nearmiss import nearest

SHOW_SIGNS = ("show.yaml", "show.yml", "lines.csv")
TABLE_ENDINGS = (".csv", ".xlsx")


class OneTable:
    """A single table as a show: nothing beside it is read."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def names(self) -> list[str]:
        """Return the name of the table."""
        return [self.path.name]

    def size(self, name: str) -> int:  # noqa: ARG002  there is only one
        """Return the size in bytes. Raises OSError."""
        return self.path.stat().st_size

    def read(self, name: str) -> bytes:  # noqa: ARG002
        """Return the content. Raises OSError."""
        return self.path.read_bytes()


@dataclass(frozen=True, slots=True)
class Chosen:
    """A show and what is asked about it.

    path   the folder or the table.
    files  what is read.
    names  the arguments that are not the show.
    """

    path: Path
    files: Files
    names: tuple[str, ...]


def chosen(arguments: Sequence[str], least: int, most: int, wanted: str) -> Chosen:
    """Return the show and the names asked for, between `least` and `most` of them; `wanted` says which.

    The first argument is the show if it is a folder or a table and enough names are left; else we are in the show.
    Raises CannotRun.
    """
    path, names = Path(), tuple(arguments)
    if names and len(names) > least and is_show(names[0]):
        path, names = Path(names[0]), names[1:]
    elif len(names) > most:
        raise CannotRun(no_show(names[0]))
    elif names and is_show(names[0]) and not any(Path(name).exists() for name in SHOW_SIGNS):
        raise CannotRun(f"say {wanted}")
    if len(names) > most:
        raise CannotRun(f"'{names[most]}' is one name too many; a name of several words needs quotes")
    if len(names) < least:
        raise CannotRun(f"say {wanted}")
    return Chosen(path, files_of(path), names)


def is_show(text: str) -> bool:
    """Return whether an argument can be a show: a folder, or a table."""
    path = Path(text)
    try:
        return path.is_dir() or (path.suffix.lower() in TABLE_ENDINGS and path.is_file())
    except (OSError, ValueError):
        return False


def no_show(text: str) -> str:
    """Return why an argument is no show."""
    path = Path(text)
    try:
        if path.exists():
            return f"'{text}' is a file, not the folder of a show; name the folder it is in"
    except (OSError, ValueError):
        return f"'{text}' is no name that a folder can have"
    return f"there is no folder '{text}'"


def files_of(path: Path) -> Files:
    """Return the files of a show. Raises CannotRun where they cannot be looked at."""
    if path.is_dir():
        if not os.access(path, os.R_OK | os.X_OK):
            raise CannotRun(f"the folder '{path}' cannot be opened; its rights do not allow it")
        return Folder(path)
    if path.suffix.lower() == ".csv" and path.stem.lower() not in TABLES:
        names = ", ".join(f"{name}.csv" for name in TABLES)
        raise CannotRun(
            f"'{path.name}' is no table of a show ({names}); 'tailboard new FOLDER --from {path.name}' makes a show of it"
        )
    return OneTable(path)


def read_show(show: Chosen) -> Reading:
    """Return the reading of a show that a question is asked about. Raises CannotRun when there is none."""
    reading = read(show.files)
    for finding in reading.findings:
        if finding.rule == SHOW_EMPTY.name:
            where = "this folder" if str(show.path) == "." else f"'{show.path}'"
            raise CannotRun(f"{where} holds no show; name the folder that holds lines.csv or show.yaml first")
    return reading


def asked(show: Chosen, act: str | None = None) -> tuple[Reading, Ask]:
    """Return the reading of a show, as it is in one act where one is named, and what answers questions about it.

    Raises CannotRun.
    """
    reading = read_show(show)
    if act is not None:
        if act not in reading.model.acts:
            near = nearest(act, reading.model.acts)
            known = ", ".join(list(reading.model.acts)[:8]) or "none: they stand in acts.csv"
            raise CannotRun(
                f"there is no act '{act}'; " + (f"did you mean '{near}'?" if near else f"the acts are {known}")
            )
        reading = replace(reading, model=reading.model.in_act(act))
    return reading, Ask(reading.model)
