"""`hears`: what a listener hears, in sentences."""

from __future__ import annotations

import argparse

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.term.hears import hears_page
from tailboard.views.hears import hears_view, listeners, near_listener


def run(options: argparse.Namespace, out: Output) -> int:
    """Print what a feed, station, listener, person or place hears; exit code 1 where hearing.csv wants otherwise."""
    show = chosen(options.names, 1, 1, "who listens: a feed, a station, a listener, a person or a place")
    reading, ask = asked(show, options.act)
    wanted = show.names[0]
    known = listeners(reading.model)
    if wanted not in known:
        near = near_listener(reading.model, wanted)
        if not near or near.lower() != wanted.lower():
            meant = f"did you mean '{near}'?" if near else f"there are {', '.join(known[:12]) or 'none yet'}"
            raise CannotRun(f"nobody in this show listens as '{wanted}'; {meant}")
        wanted = near
    view = hears_view(ask, wanted, reading.sources, full=out.json)
    out.show(view, lambda style: hears_page(view, style))
    return 1 if any(wish["status"] == "broken" for wish in view["wanted"]) else 0
