"""`fails`: what is lost when one thing fails, what goes on and what to do; alone the worst single failures."""

from __future__ import annotations

import argparse

from tailboard.answers.ask import Ask
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.term.fails import fails_page, failures_page
from tailboard.views.fails import fails_view, failures_view, near_thing, things_named

WANTED = "what fails: a device, cable, drum, route, supply, place, port, stream, jack or line"


def run(options: argparse.Namespace, out: Output) -> int:
    """Print what one failure takes, or all of them."""
    show = chosen(options.names, 0, 2, WANTED)
    reading, ask = asked(show, options.act)
    if not show.names:
        table = failures_view(ask, everything=options.all)
        out.show(table, lambda style: failures_page(table, style, everything=options.all))
        return 0
    view = fails_view(ask, thing_named(ask, " ".join(show.names)), reading.sources)
    out.show(view, lambda style: fails_page(view, style))
    return 0


def thing_named(ask: Ask, text: str) -> str:
    """Return the one thing that a text names. Raises CannotRun where there is none, or more than one."""
    found = things_named(ask, text)
    if not found:
        near = near_thing(ask, text)
        if near.lower() == text.lower():
            found = things_named(ask, near)
        else:
            meant = f"did you mean '{near}'?" if near else f"name {WANTED.partition(': ')[2]}"
            raise CannotRun(f"nothing in this show that can fail is called '{text}'; {meant}")
    if len(found) > 1:
        named = " or ".join(f"'{thing}'" for thing in found)
        raise CannotRun(f"'{text}' is more than one thing; say {named}")
    return found[0]
