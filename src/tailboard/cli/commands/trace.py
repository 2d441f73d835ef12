"""`trace`: the ways from A to B, drawn station by station; of a source alone, where it ends up."""

from __future__ import annotations

import argparse

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import mixing, plain
from tailboard.answers.signal import Signal, signal
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.model.reading import Reading
from tailboard.term.chain import trace_page
from tailboard.term.ends import ends_page
from tailboard.text.nearmiss import nearest
from tailboard.views.chains import ends_of, near_name, starts_of, trace_view
from tailboard.views.ends import ends_view, source_label


def run(options: argparse.Namespace, out: Output) -> int:
    """Draw every way from one thing to another; exit code 1 where some are planned and none works."""
    show = chosen(options.names, 1, 2, "where it begins, and where it ends: a line, jack, strip, bus, feed or listener")
    reading, ask = asked(show, options.act)
    if len(show.names) == 1:
        return ends(ask, show.names[0], reading, out)
    begins, ends_at = show.names
    graph = ask(signal)
    if not starts_of(graph, begins):
        raise CannotRun(unknown(graph, begins, "begins with"))
    if not ends_of(graph, ends_at):
        raise CannotRun(unknown(graph, ends_at, "ends at"))
    view = trace_view(ask, begins, ends_at, reading.sources)
    out.show(view, lambda style: trace_page(view, style))
    return 1 if view["ways"] and not any(way["works"] for way in view["ways"]) else 0


def ends(ask: Ask, name: str, reading: Reading, out: Output) -> int:
    """Say where a source ends up; exit code 1 where it is meant to be heard and nobody hears it."""
    if not source_label(ask(mixing), name):
        near = nearest(name, [plain(label) for label in ask(mixing).labels])
        raise CannotRun(
            f"'{name}' is no source; "
            + (f"did you mean '{near}'?" if near else "name a line or a station, or say where the way ends too")
        )
    view = ends_view(ask, name, reading.sources)
    out.show(view, lambda style: ends_page(view, style))
    return 1 if view["planned"] and not view["always"] and not view["on_key"] else 0


def unknown(graph: Signal, name: str, what: str) -> str:
    """Return the sentence for a name that no signal has."""
    near = near_name(graph, name)
    meant = f"did you mean '{near}'?" if near and near != name else "name a line, jack, strip, bus, feed or listener"
    return f"no signal {what} '{name}'; {meant}"
