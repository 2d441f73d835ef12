"""`trace`: the ways from A to B, drawn station by station."""

from __future__ import annotations

import argparse

from tailboard.answers.signal import Signal, signal
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.term.chain import trace_page
from tailboard.views.chains import ends_of, near_name, starts_of, trace_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Draw every way from one thing to another; exit code 1 where some are planned and none works."""
    show = chosen(options.names, 2, 2, "where it begins and where it ends: a line, jack, strip, bus, feed or listener")
    reading, ask = asked(show, options.act)
    begins, ends = show.names
    graph = ask(signal)
    if not starts_of(graph, begins):
        raise CannotRun(unknown(graph, begins, "begins with"))
    if not ends_of(graph, ends):
        raise CannotRun(unknown(graph, ends, "ends at"))
    view = trace_view(ask, begins, ends, reading.sources)
    out.show(view, lambda style: trace_page(view, style))
    return 1 if view["ways"] and not any(way["works"] for way in view["ways"]) else 0


def unknown(graph: Signal, name: str, what: str) -> str:
    """Return the sentence for a name that no signal has."""
    near = near_name(graph, name)
    meant = f"did you mean '{near}'?" if near and near != name else "name a line, jack, strip, bus, feed or listener"
    return f"no signal {what} '{name}'; {meant}"
