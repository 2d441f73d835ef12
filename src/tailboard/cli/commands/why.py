"""`why`: one claim with its evidence."""

from __future__ import annotations

import argparse

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import chosen, read_show
from tailboard.rules.run import prove
from tailboard.term.why import why_page
from tailboard.views.claims import choose, why_view


def run(options: argparse.Namespace, out: Output) -> int:
    """Print why a claim holds, is broken or open."""
    show = chosen(options.names, 1, 1, "which claim, as 'check' prints it; a beginning that fits one is enough")
    reading = read_show(show)
    proof = prove(reading.model, reading.findings)
    choice = choose(proof, show.names[0])
    if not choice.id:
        listed = f": {', '.join(choice.near)}" if len(choice.near) > 1 else ""
        raise CannotRun(choice.problem + listed)
    view = why_view(reading, proof, choice.id)
    out.show(view, lambda style: why_page(view, style))
    return 0
