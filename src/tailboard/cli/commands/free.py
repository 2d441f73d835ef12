"""`free`: the next free holes, strips, outputs, ports and addresses."""

from __future__ import annotations

import argparse

from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.term.lists import free_page
from tailboard.views.free import free_view, near_subject, subjects


def run(options: argparse.Namespace, out: Output) -> int:
    """Print what is free at a place, on a device or in a VLAN."""
    show = chosen(options.names, 1, 1, "a place, a device or a VLAN")
    reading, ask = asked(show, options.act)
    wanted = show.names[0]
    if wanted not in subjects(reading.model):
        near = near_subject(reading.model, wanted)
        if near.lower() != wanted.lower():
            meant = f"did you mean '{near}'?" if near else f"there are {', '.join(list(subjects(reading.model))[:12])}"
            raise CannotRun(f"this show has no place, device or VLAN '{wanted}'; {meant}")
        wanted = near
    view = free_view(ask, wanted)
    out.show(view, lambda style: free_page(view, style))
    return 0
