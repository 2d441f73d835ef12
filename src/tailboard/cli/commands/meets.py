"""`meets`: whether two devices or VLANs meet, and by which ports, cables and tags."""

from __future__ import annotations

import argparse

from tailboard.answers.ask import Ask
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.term.meets import meets_page
from tailboard.views.meets import meets_view, named, near_name

WANTED = "which two are to meet: devices or VLANs"


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the ways between two things; exit code 1 where they do not meet."""
    show = chosen(options.names, 2, 2, WANTED)
    reading, ask = asked(show, options.act)
    first, second = (known(ask, text) for text in show.names)
    view = meets_view(ask, first, second, reading.sources)
    out.show(view, lambda style: meets_page(view, style))
    return 0 if view["meet"] else 1


def known(ask: Ask, text: str) -> str:
    """Return the device or VLAN named. Raises CannotRun."""
    name = named(ask, text)
    if name:
        return name
    near = near_name(ask, text)
    meant = f"did you mean '{near}'?" if near else "name one of the plan"
    raise CannotRun(f"no device or VLAN is called '{text}'; {meant}")
