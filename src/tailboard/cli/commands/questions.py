"""`questions`: what is open and assumed, one page for each person who can answer."""

from __future__ import annotations

import argparse
from pathlib import Path

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import chosen, read_show
from tailboard.rules.run import prove
from tailboard.term.page import Style
from tailboard.term.questions import questions_page
from tailboard.text.safewrite import ChangedOnDisk, write_beside
from tailboard.units.wording import listed
from tailboard.views.questions import PEOPLE, QuestionsView, near_person, questions_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the questions, or write them, one file a person."""
    show = chosen(options.names, 0, 1, "at most one person")
    wanted = near_person(show.names[0]) if show.names else ""
    if show.names and not wanted:
        raise CannotRun(f"'{show.names[0]}' is nobody to ask; there are {', '.join(PEOPLE)}")
    reading = read_show(show)
    view = questions_view(reading, prove(reading.model, reading.findings), wanted)
    if options.out and view["people"]:
        written = write_pages(Path(options.out), view, Style(plain=out.style.plain))
        if not out.json:
            out.text(f"{listed(written)} written\n")
            return 0
    out.show(view, lambda style: questions_page(view, style))
    return 0


def write_pages(folder: Path, view: QuestionsView, style: Style) -> list[str]:
    """Write one text file a person and return their names. Nothing is written where one of them exists. Raises CannotRun."""
    pages = {
        folder / f"questions-{person['who'].lower().replace(' ', '-')}.txt": questions_page(
            {**view, "people": [person]}, style
        )
        for person in view["people"]
    }
    taken = [str(path) for path in pages if path.exists() or path.is_symlink()]
    if taken:
        raise CannotRun(f"{listed(taken)} exists already and is left as it is; name another folder")
    try:
        folder.mkdir(exist_ok=True)
        for path, text in pages.items():
            write_beside(path, text.encode(), None)
    except ChangedOnDisk as problem:
        raise CannotRun(f"{problem.path} exists already and is left as it is; name another folder") from None
    except OSError as problem:
        raise CannotRun(f"'{folder}' cannot be written: {problem.strerror or problem}") from None
    return [str(path) for path in pages]
