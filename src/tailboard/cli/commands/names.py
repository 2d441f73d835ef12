"""`names`: the names to type into a device, cut to its display."""

from __future__ import annotations

import argparse

from tailboard.answers.occupancy import occupancy
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.term.lists import names_page
from tailboard.views.names import names_view, near_device


def run(options: argparse.Namespace, out: Output) -> int:
    """Print the names of one device."""
    show = chosen(options.names, 1, 1, "the device to name things on")
    reading, ask = asked(show, options.act)
    wanted = show.names[0]
    used = ask(occupancy)
    known = {*reading.model.devices, *used.holes, *used.strips, *used.outputs}
    if wanted not in known:
        near = near_device(reading.model, wanted)
        if not near or near.lower() != wanted.lower():
            meant = f"did you mean '{near}'?" if near else f"there are {', '.join(sorted(known)[:12])}"
            raise CannotRun(f"this show has no device '{wanted}'; {meant}")
        wanted = near
    view = names_view(ask, wanted)
    out.show(view, lambda style: names_page(view, style))
    return 0
