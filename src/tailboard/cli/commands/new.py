"""`new`: begin a show, from nothing, from the last show, or from a list."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.edits.begin import Begun, from_last, starter
from tailboard.edits.fromlist import (
    ListProblemError,
    answered,
    from_list,
    known_columns,
    map_words,
    parse_map,
    read_list,
    unknown_columns,
)  # fmt: skip
from tailboard.edits.newfolder import FolderTakenError, write_folder
from tailboard.edits.yamltext import UnreadableError
from tailboard.term.page import BOLD, Page, Style
from tailboard.text.shapes import FieldError, parse_day

SCHEMA = "tailboard/new/1"
LIST_ENDINGS = (".csv", ".xlsx")


def run(options: argparse.Namespace, out: Output) -> int:
    """Write a new show into a new or empty folder."""
    if len(options.names) != 1:
        raise CannotRun("say which folder to make, and only that; a name of several words needs quotes")
    folder = Path(options.names[0])
    if folder.is_file() or (folder.is_dir() and any(folder.iterdir())):
        raise CannotRun(f"'{folder}' holds something already and is left as it is; name a new folder")
    day = day_of(options.date)
    begun = begin(options, folder, day, out)
    try:
        write_folder(folder, begun.files)
    except FolderTakenError:
        raise CannotRun(f"'{folder}' holds something already and is left as it is; name a new folder") from None
    except OSError as problem:
        raise CannotRun(f"'{folder}' cannot be written: {problem.strerror or problem}") from None
    document = {"schema": SCHEMA, "folder": str(folder), "files": sorted(begun.files), "left": begun.left}
    out.show(document, lambda style: new_page(folder, begun, style, day))
    return 0


def day_of(text: str | None) -> str | None:
    """Return the day of the show. Raises CannotRun."""
    try:
        return None if text is None else parse_day(text)
    except FieldError as problem:
        raise CannotRun(f"--date: {problem}") from None


def begin(options: argparse.Namespace, folder: Path, day: str | None, out: Output) -> Begun:
    """Return the files of the new show. Raises CannotRun."""
    title = options.title if options.title is not None else folder.resolve().name
    if options.origin is None:
        if options.map or options.sheet:
            raise CannotRun("--map and --sheet belong to a list; say which with --from")
        return starter(title, day)
    origin = Path(options.origin)
    try:
        if origin.is_dir():
            return from_last(origin, folder, options.title, day)
        if origin.suffix.lower() in LIST_ENDINGS and origin.is_file():
            return listed(options, origin, title, day, out)
    except OSError as problem:
        raise CannotRun(f"'{origin}' cannot be read: {problem.strerror or problem}") from None
    except UnicodeDecodeError:
        raise CannotRun(
            f"'{origin}' holds a file that is no UTF-8 text; 'tailboard check {origin}' says which"
        ) from None
    except UnreadableError as problem:
        raise CannotRun(f"show.yaml of '{origin}' cannot be taken on: {problem}") from None
    except ListProblemError as problem:
        raise CannotRun(str(problem)) from None
    if origin.exists():
        raise CannotRun(f"'{origin}' is neither the folder of a show nor a list (.csv, .xlsx)")
    raise CannotRun(f"there is no folder and no list '{origin}'")


def listed(options: argparse.Namespace, origin: Path, title: str, day: str | None, out: Output) -> Begun:
    """Return the files of a show made of a list; unknown columns are asked for. Raises CannotRun, ListProblemError."""
    table = read_list(origin, options.sheet)
    mapped = {**known_columns(table), **parse_map(options.map, table)}
    unknown = unknown_columns(table, mapped)
    if unknown and (out.json or not sys.stdin or not sys.stdin.isatty()):
        names = ", ".join(f"'{column.name}'" for column in unknown)
        raise CannotRun(f'say which column is which: {names}; for example --map "{map_words(unknown)}"')
    if unknown:
        try:
            mapped |= answered(unknown, input, lambda words: out.text(f"{words}\n"))
        except EOFError:
            raise CannotRun("the questions were not answered; nothing is written") from None
    return from_list(table, mapped, title, day, origin.name)


def new_page(folder: Path, begun: Begun, style: Style, day: str | None) -> str:
    """Return what was written and what to do next."""
    page = Page(style)
    page.put(f"New show in {folder}", BOLD)
    page.say(", ".join(sorted(begun.files)), 4)
    if begun.left:
        page.blank()
        page.put("Left behind", BOLD)
        for name in begun.left:
            page.say(name, 4, 6)
    page.blank()
    if day is None:
        page.say("Write the day of the show as 'date' in show.yaml.")
    page.say(f"Next: tailboard check {folder}")
    return page.text()
