"""`check`: prove a show and print the verdict."""

from __future__ import annotations

import argparse
from importlib import import_module
from pathlib import Path

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import Chosen, chosen
from tailboard.model.reading import Reading, read
from tailboard.rules.run import Proof, prove
from tailboard.term.check import Wanted, check_page
from tailboard.views.verdict import CheckView, check_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Prove a show, once or whenever a file changes."""
    show = chosen(options.names, 0, 0, "the folder of a show")
    if options.watch and (options.json or options.sarif):
        raise CannotRun("--watch is for the terminal; leave out --json and --sarif")
    if options.json and options.sarif:
        raise CannotRun("choose one of --json and --sarif")
    if options.watch:
        watching = import_module("tailboard.cli.watch")  # only a check that stays needs it
        code: int = watching.watch(watching.Watched(show, options.strict, wanted(options)), out)
        return code
    reading, proof = proven(show)
    if options.sarif:
        sarif = import_module("tailboard.views.sarif")  # brings the percent-coding of addresses with it
        out.document(sarif.sarif_log(reading, proof, uri_base(show)))
        return exit_code(check_view(reading, proof), options.strict)
    view = check_view(reading, proof)
    out.show(view, lambda style: check_page(view, style, wanted(options)))
    return exit_code(view, options.strict)


def wanted(options: argparse.Namespace) -> Wanted:
    """Return what is to be shown."""
    return Wanted(options.all, options.notes)


def proven(show: Chosen) -> tuple[Reading, Proof]:
    """Return the reading and the proof of a show."""
    reading = read(show.files)
    return reading, prove(reading.model, reading.findings)


def exit_code(view: CheckView, strict: bool) -> int:
    """Return 1 where an error is found; with `strict` a warning and an open claim count too."""
    counted = view["counts"]["error"]
    if strict:
        counted += view["counts"]["warning"] + view["claims"]["open"]
    return 1 if counted else 0


def uri_base(show: Chosen) -> str:
    """Return what to put before a file of the show, so that it is found from the folder we are in."""
    folder = show.path if show.path.is_dir() else show.path.parent
    try:
        base = folder.resolve().relative_to(Path.cwd()).as_posix()
    except ValueError:
        base = ""
    return "" if base in {"", "."} else f"{base}/"
