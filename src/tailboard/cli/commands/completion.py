"""`completion`: the script that completes commands and options in a shell."""

from __future__ import annotations

import argparse

import shtab

from tailboard.cli.output import Output
from tailboard.cli.parser import build_parser
from tailboard.cli.problem import CannotRun

SHELLS = ("bash", "zsh")
FILES = {"html", "origin", "out"}


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the script for one shell."""
    if len(options.names) != 1 or options.names[0] not in SHELLS:
        raise CannotRun(f"say which shell: {' or '.join(SHELLS)}")
    parser = build_parser()
    for command in commands_of(parser):
        complete_files(command)
    out.text(shtab.complete(parser, shell=options.names[0]) + "\n")
    return 0


def commands_of(parser: argparse.ArgumentParser) -> list[argparse.ArgumentParser]:
    """Return the parsers of the commands."""
    groups = [action for action in parser._actions if isinstance(action, argparse._SubParsersAction)]  # noqa: SLF001  argparse has no public list
    return [command for group in groups for command in group.choices.values()]


def complete_files(command: argparse.ArgumentParser) -> None:
    """Let names complete to files and folders, for the first is mostly a show."""
    for action in command._actions:  # noqa: SLF001
        if action.dest == "names":
            action.help = "folder of a show, then names"
        if action.dest in FILES or action.dest == "names":
            action.complete = shtab.FILE  # type: ignore[attr-defined]  # the attribute that shtab looks for
