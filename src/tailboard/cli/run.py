"""Run a command: parse the arguments, load the command's module, hand it its output."""

from __future__ import annotations

import sys
from importlib import import_module

from tailboard.cli.output import Output
from tailboard.cli.parser import build_parser, parsed
from tailboard.cli.problem import CannotRun


def run(arguments: list[str]) -> int:
    """Run one command and return its exit code. Raises CannotRun."""
    if not arguments:
        raise CannotRun("say what to do, for example 'tailboard check FOLDER'; 'tailboard --help' lists the commands")
    options = parsed(arguments)
    if not options.command:
        build_parser().print_help(sys.stderr)
        return 2
    out = Output.of(sys.stdout, options)
    code: int = import_module(f"tailboard.cli.commands.{options.command}").run(options, out)
    out.close()
    return code
