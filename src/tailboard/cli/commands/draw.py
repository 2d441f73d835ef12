"""`draw`: a picture of the rig, of a packet's way, of a chain or of a level, as SVG on the output or in a file."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from tailboard.answers.ask import Ask
from tailboard.answers.level_ways import way_ledger
from tailboard.answers.levels import levels
from tailboard.cli.commands.fails import thing_named
from tailboard.cli.commands.sheet import write_new
from tailboard.cli.output import Output
from tailboard.cli.problem import CannotRun
from tailboard.cli.shows import asked, chosen
from tailboard.draw.arrival import arrival_svg
from tailboard.draw.chain import chain_svg, level_svg
from tailboard.draw.rig_map import map_svg
from tailboard.draw.svg import SIZES
from tailboard.text.nearmiss import nearest
from tailboard.views.arrival import arrival_view, chosen_arrival, near_arrival
from tailboard.views.chain_picture import chain_steps, chain_view, level_view, near_chain
from tailboard.views.overlays import NAMED, SORTS
from tailboard.views.rig_map import map_view

WANTED = "what to draw: map, delay RECEIVER, chain LINE, level LINE [LISTENER]"
Picture = tuple[Mapping[str, Any], str]


def run(options: argparse.Namespace, out: Output) -> int:
    """Draw one picture."""
    show = chosen(options.names, 1, 3, WANTED)
    what, *rest = show.names
    if what not in PICTURES:
        near = nearest(what, PICTURES)
        raise CannotRun(f"there is no picture '{what}'; {f'did you mean {near!r}?' if near else f'say {WANTED}'}")
    size = options.size or "paper"
    if size not in SIZES:
        raise CannotRun(f"there is no size '{size}'; the sizes are {', '.join(SIZES)}")
    if (options.overlay or options.place) and what != "map":
        raise CannotRun("only the map takes --overlay and --place")
    _, ask = asked(show, options.act)
    view, svg = PICTURES[what](ask, tuple(rest), size, options)
    if options.out:
        write_new(Path(options.out), svg)
        if not out.json:
            out.text(f"{options.out} is written; a browser opens it\n")
            return 0
    if out.json:
        out.document(view)
    else:
        out.text(svg)
    return 0


def map_picture(ask: Ask, names: tuple[str, ...], size: str, options: argparse.Namespace) -> Picture:
    """Draw the rig. Raises CannotRun."""
    sort, place = options.overlay or "", options.place or ""
    if place and place not in ask.model.places:
        near = nearest(place, ask.model.places)
        raise CannotRun(f"there is no place '{place}'{f'; did you mean {near!r}?' if near else ''}")
    if sort and sort not in SORTS:
        raise CannotRun(f"there is no overlay '{sort}'; the overlays are {', '.join(SORTS)}")
    thing = " ".join(names)
    if thing and sort not in NAMED:
        raise CannotRun(f"'{thing}' is one name too many; only the overlays {' and '.join(NAMED)} take one")
    if sort == "fails":
        if not thing:
            raise CannotRun("say what fails, for example 'draw map F-01 --overlay fails'")
        thing = thing_named(ask, thing)
    if sort == "vlan" and thing and thing not in ask.model.vlans:
        near = nearest(thing, ask.model.vlans)
        raise CannotRun(f"there is no VLAN '{thing}'{f'; did you mean {near!r}?' if near else ''}")
    view = map_view(ask, sort, thing, place)
    return view, map_svg(view, size)


def delay_picture(ask: Ask, names: tuple[str, ...], size: str, _: argparse.Namespace) -> Picture:
    """Draw when the packets of a stream arrive. Raises CannotRun."""
    found = chosen_arrival(ask, names)
    if found is None:
        near = near_arrival(ask, names)
        meant = f"did you mean '{near}'?" if near else "name a receiver, a stream, or both"
        raise CannotRun(
            f"no stream arrives at '{' '.join(names)}'; {meant}" if names else "no stream of this show arrives"
        )
    view = arrival_view(ask, found)
    return view, arrival_svg(view, size)


def chain_picture(ask: Ask, names: tuple[str, ...], size: str, _: argparse.Namespace) -> Picture:
    """Draw a chain. Raises CannotRun."""
    if not names:
        raise CannotRun("say which chain: a line, a feed, or two things between which a signal runs")
    found = chain_steps(ask, names)
    if found is None or not found[0]:
        near = near_chain(ask, names[0])
        meant = f"; did you mean '{near}'?" if near and near != names[0] else ""
        raise CannotRun(f"no chain leads from '{names[0]}'{' to ' + repr(names[1]) if len(names) > 1 else ''}{meant}")
    view = chain_view(ask, names, *found)
    return view, chain_svg(view, size)


def level_picture(ask: Ask, names: tuple[str, ...], size: str, _: argparse.Namespace) -> Picture:
    """Draw the level of a line, to its converter or to a listener. Raises CannotRun."""
    if len(names) not in {1, 2}:
        raise CannotRun("say which line, and to whom if not only to its converter")
    name = names[0].removeprefix("line ")
    found = ask(levels).get(name)
    if found is None:
        near = nearest(name, ask(levels))
        raise CannotRun(f"there is no line '{name}' with a hole{f'; did you mean {near!r}?' if near else ''}")
    if len(names) == 1:
        view = level_view(ask, name, found)
        return view, level_svg(view, size)
    way = chain_steps(ask, names)
    if way is None or not way[0]:
        raise CannotRun(f"no way leads from '{names[0]}' to '{names[1]}'; 'tailboard trace' says how far it gets")
    view = level_view(ask, name, found, names[1], way_ledger(ask, way[0]))
    return view, level_svg(view, size)


PICTURES: dict[str, Callable[[Ask, tuple[str, ...], str, argparse.Namespace], Picture]] = {
    "map": map_picture,
    "delay": delay_picture,
    "chain": chain_picture,
    "level": level_picture,
}
