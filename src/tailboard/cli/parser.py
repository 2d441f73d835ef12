"""The commands and their options."""

from __future__ import annotations

import argparse
from typing import NoReturn

import tailboard
from tailboard.cli.problem import CannotRun
from tailboard.text.nearmiss import nearest

COMMANDS = {
    "new": "begin a show: an empty one, from the last show, or from a list",
    "check": "prove a show: what holds, what is broken, where, and how to mend it",
    "trace": "draw the chain from A to B; of a line alone, say where it ends up",
    "hears": "say what a listener hears: always, on key, never",
    "meets": "show whether two devices or VLANs meet, and by which ports, cables and tags",
    "fails": "say what is lost when one thing fails, and what to do",
    "draw": "draw the rig by place, a packet's way, a chain or a level as a picture (SVG)",
    "why": "show a claim with its evidence, or how to accept a break",
    "explain": "show what a rule finds and why it matters",
    "origins": "show the plan as read, with where each value came from",
    "sheet": "print the sheet of a box, a device or a place, to tape in a lid",
    "free": "list the next free holes, strips, outputs, ports and addresses",
    "names": "list the names to type into a device, cut to its display",
    "compare": "say what changed between two plans, what it breaks and whose paper changes",
    "book": "make the show book and its labels as PDF, or look up a check sum from a page",
    "questions": "list what is open or assumed, a page for each person who can answer",
    "serve": "serve the crew's pages: verdict, map, lines, feeds, line check on phones",
    "demo": "read, break and mend the example that comes with tailboard",
    "completion": "print the script that completes commands in a shell",
}
USAGE = {
    "new": "tailboard new FOLDER [--title TITLE] [--date DAY] [--from LAST | --from LIST [--map COLUMN=FIELD,...]]",
    "check": "tailboard check [FOLDER] [--watch] [--strict] [--all] [--notes] [--json | --sarif]",
    "trace": "tailboard trace [FOLDER] A [B]",
    "hears": "tailboard hears [FOLDER] LISTENER",
    "meets": "tailboard meets [FOLDER] A B",
    "fails": "tailboard fails [FOLDER] [THING] [--all]",
    "draw": "tailboard draw [FOLDER] map|delay|chain|level [NAME ...] [--overlay WHAT] [--place PLACE] [--size SIZE] [--out FILE]",
    "why": "tailboard why [FOLDER] CLAIM",
    "explain": "tailboard explain [RULE]",
    "origins": "tailboard origins [FOLDER] [THING]",
    "sheet": "tailboard sheet [FOLDER] BOX|PLACE [--html FILE]",
    "free": "tailboard free [FOLDER] PLACE|DEVICE|VLAN",
    "names": "tailboard names [FOLDER] DEVICE",
    "compare": "tailboard compare OLD [NEW] [--all] [--out FILE] | FOLDER WORKBOOK --merge [--yes]",
    "book": "tailboard book [FOLDER] --out FOLDER [--paper PAPER] [--labels GRID] [--label-start N] [--time TIME] [--since OLD] | --verify SUM",
    "questions": "tailboard questions [FOLDER] [WHO] [--out FOLDER]",
    "serve": "tailboard serve [FOLDER] [--port N] [--bind ADDRESS]",
    "demo": "tailboard demo",
    "completion": "tailboard completion bash|zsh",
}
SHOW_NOTE = (
    "FOLDER is the folder of a show, or one table (lines.csv, a workbook) alone; inside a show's folder it may be left"
    " out. A name of several words needs quotes."
)
EXIT_NOTE = "Exit codes: 0 no error, 1 an error found, 2 cannot run, 130 interrupted."


class Parser(argparse.ArgumentParser):
    """A parser that complains in one sentence."""

    def error(self, message: str) -> NoReturn:
        """Raise CannotRun with the sentence."""
        raise CannotRun(f"{message}; '{self.prog} --help' shows how it is written")


def parsed(arguments: list[str]) -> argparse.Namespace:
    """Return the options; `names` holds what stands beside them, wherever it stood. Raises CannotRun."""
    command = next((word for word in arguments if not word.startswith("-")), "")
    if command and command not in COMMANDS:
        near = nearest(command, COMMANDS)
        meant = f"did you mean '{near}'?" if near else f"the commands are {', '.join(COMMANDS)}"
        raise CannotRun(f"there is no command '{command}'; {meant}")
    options, rest = build_parser().parse_known_args(arguments)
    unknown = [word for word in rest if word.startswith("-")]
    if unknown:
        raise CannotRun(
            f"{options.command} has no option {unknown[0]}; 'tailboard {options.command} --help' lists them"
        )
    if options.command:
        options.names = [*options.names, *rest]
    return options


def build_parser() -> Parser:
    """Return the parser of all commands."""
    parser = Parser(
        prog="tailboard",
        description="Holds the audio, network and comms plan of a mobile production unit in plain text, and proves it.",
        epilog=EXIT_NOTE,
    )
    parser.add_argument("--version", action="version", version=f"tailboard {tailboard.__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    for name, meaning in COMMANDS.items():
        usage = USAGE[name]
        note = SHOW_NOTE if "[FOLDER]" in usage else None
        command = commands.add_parser(name, help=meaning, description=meaning, usage=usage, epilog=note)
        command.add_argument("names", nargs="*", metavar="NAME", help=argparse.SUPPRESS)
        add_options(command, name)
    return parser


def add_options(command: argparse.ArgumentParser, name: str) -> None:
    """Add the options of one command."""
    # long: one table, the options of each command in turn
    if name == "check":
        command.add_argument("--watch", action="store_true", help="look again whenever a file changes")
        command.add_argument("--strict", action="store_true", help="count warnings and open claims as errors")
        command.add_argument("--notes", action="store_true", help="show the notes too")
        command.add_argument("--sarif", action="store_true", help="print SARIF 2.1.0 for editors and servers")
    if name in {"check", "compare", "fails", "origins", "trace"}:
        command.add_argument("--all", action="store_true", help="show everything, not only the first of each")
    if name in {"trace", "hears", "sheet", "free", "names", "fails", "draw", "meets"}:
        command.add_argument("--act", metavar="ACT", help="as it is in one act of acts.csv")
    if name == "sheet":
        command.add_argument("--html", metavar="FILE", help="write a page for the printer; FILE must not exist yet")
    if name == "draw":
        command.add_argument("--overlay", metavar="WHAT", help="over the map: load, vlan, clock, light or fails")
        command.add_argument("--place", metavar="PLACE", help="draw one place alone, with what leads away from it")
        command.add_argument("--size", metavar="SIZE", help="phone, paper (A4, if nothing is said) or page")
        command.add_argument("--out", metavar="FILE", help="write the picture there; FILE must not exist yet")
    if name == "compare":
        command.add_argument("--out", metavar="FILE", help="write it as a PDF page too; FILE must not exist yet")
        command.add_argument("--merge", action="store_true", help="take over what a colleague changed in a workbook")
        command.add_argument("--yes", action="store_true", help="write without asking; the version before is kept")
    if name == "book":
        command.add_argument("--out", metavar="FOLDER", help="write the book there; a version before is kept beside it")
        command.add_argument("--paper", metavar="PAPER", help="a4, if nothing is said, or letter")
        command.add_argument(
            "--labels", metavar="GRID", help="label stock: 3x8, 5x13, or with sizes and gaps in mm: 3x8,70x37,0x0"
        )
        command.add_argument(
            "--label-start", type=int, default=1, metavar="N", help="first free label of the first label sheet"
        )
        command.add_argument(
            "--time", metavar="TIME", help="time stamp of every page, as 2027-06-12T18:00+02:00; else now"
        )
        command.add_argument(
            "--since", metavar="OLD", help="mark what differs from a folder or a revision that git knows"
        )
        command.add_argument(
            "--verify", metavar="SUM", help="say what a check sum from a page is of, and if it is still true"
        )
    if name == "questions":
        command.add_argument("--out", metavar="FOLDER", help="write the pages there, one file a person, over none")
    if name == "serve":
        command.add_argument(
            "--port", type=int, metavar="N", help="port to serve at; that of the last time where none is given"
        )
        command.add_argument(
            "--bind", nargs="?", const="", metavar="ADDRESS",
            help="share it on the network of this address; without one, the addresses of this machine are listed",
        )  # fmt: skip
    if name == "new":
        command.add_argument("--title", help="name of the show")
        command.add_argument("--date", metavar="DAY", help="day of the show, as 2027-11-20")
        command.add_argument("--from", dest="origin", metavar="LAST|LIST", help="the last show's folder, or a list")
        command.add_argument("--map", default="", metavar="COLUMN=FIELD,...", help="which column of the list is which")
        command.add_argument("--sheet", default="", metavar="NAME", help="sheet of the workbook that holds the list")
    if name != "completion":
        command.add_argument("--json", action="store_true", help="print the answer as JSON")
        command.add_argument("--plain", action="store_true", help="use signs of ASCII alone")
        command.add_argument("--width", type=int, metavar="N", help="columns of a line; 80 where none is given")
