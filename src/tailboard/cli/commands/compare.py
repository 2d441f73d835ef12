"""`compare`: what changed between two plans, what it breaks, whose paper changes; a colleague's workbook is taken over."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module
from pathlib import Path

from tailboard.answers.ask import Ask
from tailboard.cli.commands.sheet import write_new
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import OneTable, files_of, is_show
from tailboard.edits.changes import Proposal, propose, save, worse
from tailboard.edits.merging import WithTables, taken_over
from tailboard.model.reading import SHOW_EMPTY, read
from tailboard.rules.run import prove
from tailboard.term.compare import compare_page, proposal_page
from tailboard.text.folder import Files, Folder
from tailboard.text.revision import NoRevisionError, Revision
from tailboard.text.safewrite import ChangedOnDisk
from tailboard.units.wording import listed
from tailboard.views.compare.document import CompareView, Side, compare_view
from tailboard.views.compare.page import change_sheet

WANTED = (
    "two plans: folders, revisions that git knows, or a folder and a workbook; one alone is held against this folder"
)


def run(options: argparse.Namespace, out: Output) -> int:
    """Print what differs; with --merge take a workbook's cells over once that is confirmed."""
    if not 1 <= len(options.names) <= 2:
        raise CannotRun(f"say {WANTED}")
    if options.merge:
        return merge(options, out)
    names = options.names if len(options.names) == 2 else [options.names[0], "."]
    old, new = (side_of(name, other) for name, other in zip(names, reversed(names), strict=True))
    view = compare_view(old, new)
    if options.out:
        write_page(Path(options.out), view, new)
    out.show(view, lambda style: compare_page(view, style, everything=options.all))
    return 1 if view["after"]["errors"] else 0


def write_page(path: Path, view: CompareView, new: Side) -> None:
    """Write the comparison as a PDF page. Raises CannotRun."""
    printing = import_module("tailboard.book.binding")  # brings the typesetter with it
    write_new(path, printing.single_page(Ask(new.reading.model), change_sheet(view)))


def side_of(name: str, other: str) -> Side:
    """Return one of the two plans, read and proven. Raises CannotRun."""
    files = files_named(name, other)
    reading = read(files)
    if any(found.rule == SHOW_EMPTY.name for found in reading.findings):
        raise CannotRun(f"'{name}' holds no show; {WANTED}")
    return Side("this folder" if name == "." else name, reading, prove(reading.model, reading.findings))


def files_named(name: str, other: str) -> Files:
    """Return the files of a folder, a table over the other's folder, or a revision. Raises CannotRun."""
    if is_show(name):
        files = files_of(Path(name))
        if isinstance(files, OneTable) and Path(other).is_dir():
            return WithTables(Folder(Path(other)), files)
        return files
    base = Path(other) if Path(other).is_dir() else Path()
    revision, colon, inner = name.partition(":")
    try:
        return Revision(Path(inner) if colon and inner else base, revision)
    except NoRevisionError as problem:
        raise CannotRun(f"'{name}' is no folder, table or revision: {problem}") from None


def merge(options: argparse.Namespace, out: Output) -> int:
    """Take the cells over that a colleague changed in a workbook. Raises CannotRun."""
    folder, table = Path(options.names[0]), Path(options.names[-1])
    if len(options.names) != 2 or not folder.is_dir() or not table.is_file():
        raise CannotRun("--merge needs the folder of a show and the workbook or table whose changes it takes over")
    files = Folder(folder)
    try:
        changes, unclear = taken_over(files, OneTable(table))
        proposal = propose(files, changes)
    except OSError as problem:
        raise CannotRun(f"{problem.filename or table} cannot be read: {problem.strerror or problem}") from None
    page = proposal_page(changes, proposal, unclear, worse(files, proposal), out.style)
    out.text(page)
    if not proposal.files:
        return 1 if proposal.clashes or proposal.refused else 0
    if not options.yes and not confirmed(proposal, out):
        out.text("Nothing was written.\n")
        return 0
    try:
        written = save(folder, proposal)
    except ChangedOnDisk as problem:
        raise CannotRun(str(problem)) from None
    except OSError as problem:
        raise CannotRun(f"{problem.filename or folder} could not be written: {problem.strerror or problem}") from None
    out.text(f"Written: {listed(written)}; the versions before are kept in log/before.\n")
    return 1 if proposal.clashes or proposal.refused else 0


def confirmed(proposal: Proposal, out: Output) -> bool:
    """Return whether the user wants the files written. Raises CannotRun where nobody can be asked."""
    if not sys.stdin.isatty():
        raise CannotRun("nobody is there to confirm; --yes writes without asking")
    out.text(f"Write {listed(list(proposal.files))}? Type yes: ")
    return sys.stdin.readline().strip().lower() == "yes"
