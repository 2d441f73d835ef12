"""`origins`: the plan as read, each value with where it came from."""

from __future__ import annotations

import argparse

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen, is_show
from tailboard.term.origins import origins_page
from tailboard.views.origins import near_thing, origins_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the merged model, or one thing of it with its defaults and what is derived."""
    names = options.names
    least = 1 if len(names) == 1 and not is_show(names[0]) else 0
    show = chosen(names, least, 1, "one thing of the show, or nothing for all")
    reading, ask = asked(show)
    wanted = show.names[0] if show.names else ""
    view = origins_view(ask, reading.sources, wanted)
    if wanted and not view["sections"]:
        near = near_thing(reading.model, wanted)
        meant = f"; did you mean '{near}'?" if near else "; 'tailboard origins' lists all there is"
        raise CannotRun(f"nothing in this show is called '{wanted}'{meant}")
    out.show(view, lambda style: origins_page(view, style))
    return 0
