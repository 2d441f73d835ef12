"""`demo`: the example read and proven, then with ten slips in it, then the sheet of one box."""

from __future__ import annotations

import argparse

from tailboard.cli.examples import example_files
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.edits.tired import SLIPS, slipped
from tailboard.term.check import Wanted, check_page
from tailboard.term.page import BOLD, Page, Style
from tailboard.term.sheet import sheet_page
from tailboard.views.demo import BOX, DemoView, demo_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Show what the tool does; nothing is written to the disk."""
    if options.names:
        raise CannotRun("demo takes no names; it has a show of its own")
    files = example_files()
    view = demo_view(files, slipped(files), [slip.words for slip in SLIPS])
    out.show(view, lambda style: demo_page(view, style))
    return 0


def demo_page(view: DemoView, style: Style) -> str:
    """Return the three parts, each under a heading that says what to look at."""
    clean = heading(style, "1 of 3  The plan as it should be", ["A recital: one truck, one stage box, one strand."])
    slips = ["Ten slips were made in its files:", *(f"- {words}" for words in view["slips"])]
    tired = heading(style, "2 of 3  The same plan as a tired engineer left it", slips)
    sheet = heading(style, f"3 of 3  The sheet of {BOX}, to tape in its lid", ["With --html FILE it is printed big."])
    end = Page(style)
    end.blank()
    end.say("Begin your own with 'tailboard new FOLDER', or check a folder that holds nothing but lines.csv.")
    return "\n".join(
        (
            clean + check_page(view["clean"], style, Wanted()),
            tired + check_page(view["tired"], style, Wanted()),
            sheet + sheet_page(view["sheet"], style),
            end.text(),
        )
    )


def heading(style: Style, title: str, words: list[str]) -> str:
    """Return the heading of a part."""
    page = Page(style)
    page.rule()
    page.put(title, BOLD)
    for line in words:
        page.say(line, 0, 2)
    page.rule()
    return page.text() + "\n"
