"""`sheet`: one page to tape in a lid, on the terminal or for the printer."""

from __future__ import annotations

import argparse
from importlib import import_module
from pathlib import Path

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.model.reading import Reading
from tailboard.rules.run import prove
from tailboard.term.sheet import sheet_page
from tailboard.units.wording import counted
from tailboard.views.sheet import near_subject, sheet_view, subjects
from tailboard.views.verdict import check_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the sheet of a box, a device or a place."""
    show = chosen(options.names, 1, 1, "which box, device or place the sheet is for")
    reading, ask = asked(show, options.act)
    wanted = show.names[0]
    known = subjects(reading.model)
    if wanted not in known:
        near = near_subject(reading.model, wanted)
        if near.lower() != wanted.lower() or not near:
            meant = f"did you mean '{near}'?" if near else f"there are {', '.join(list(known)[:12])}"
            raise CannotRun(f"this show has no box, device or place '{wanted}'; {meant}")
        wanted = near
    view = sheet_view(ask, wanted, plan_words(reading))
    if options.html:
        paper = import_module("tailboard.book.lid_page")  # only a print page needs it
        write_new(Path(options.html), paper.lid_page(view))
        if not out.json:
            out.text(f"{options.html} is written; open it in a browser and print it on A4 without scaling\n")
            return 0
    out.show(view, lambda style: sheet_page(view, style))
    return 0


def plan_words(reading: Reading) -> str:
    """Return how the whole plan stands when the sheet is made; nothing where it is ready."""
    view = check_view(reading, prove(reading.model, reading.findings))
    if view["verdict"] != "not ready":
        return ""
    return f"THE PLAN IS NOT READY: {counted(view['counts']['error'], 'error')}, see 'tailboard check'"


def write_new(path: Path, content: str | bytes) -> None:
    """Write a file that does not exist yet. Raises CannotRun."""
    try:
        with path.open("xb") as file:
            file.write(content if isinstance(content, bytes) else content.encode())
    except FileExistsError:
        raise CannotRun(f"{path} exists already and is left as it is; name another file") from None
    except OSError as problem:
        raise CannotRun(f"{path} cannot be written: {problem.strerror or problem}") from None
