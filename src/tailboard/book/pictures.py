"""The drawings of the book: made by `draw`, cut into parts that fit a page, in the type of the book."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree as ET

from tailboard.answers.ask import Ask
from tailboard.answers.levels import levels
from tailboard.book.type import FAMILY
from tailboard.draw.arrival import arrival_svg
from tailboard.draw.chain import chain_svg, level_svg
from tailboard.draw.flow import flow_svg
from tailboard.draw.measure import FONTS, Px
from tailboard.draw.rig_map import map_svg
from tailboard.draw.svg import SIZES, STEP
from tailboard.views.arrival import arrival_view, chosen_arrival
from tailboard.views.chain_picture import chain_steps, chain_view, level_view
from tailboard.views.flow import flow_view
from tailboard.views.overlays import SORTS
from tailboard.views.rig_map import map_view
from tailboard.views.sheets.records import Picture

SIZE = "book"
PT_PER_PX = 0.75  # 72 pt and 96 px to the inch
MAP_MARK = "<g data-place="  # a map keeps its bands off the edges of its own sheets
PARTS_MAX = 24  # pages of one drawing; one that is longer is for a screen: own choice
SEARCH_PX = 120  # how far above a page's end a cut may lie so that it goes through no text
SVG = "{http://www.w3.org/2000/svg}"
ET.register_namespace("", SVG[1:-1])


class TooLongError(Exception):
    """A drawing that would fill more pages than anybody turns; `pages` says how many."""

    def __init__(self, pages: int) -> None:
        super().__init__(f"{pages} pages")
        self.pages = pages


def drawing(ask: Ask, picture: Picture) -> str:
    """Return a picture as SVG; empty where there is nothing to draw."""
    make = DRAWINGS.get(picture.drawing)
    return "" if make is None else make(ask, picture.subject)


def rig(ask: Ask, subject: str) -> str:
    """Draw the rig by place; the subject is an overlay and what it is about: `vlan AUDIO`, `clock`. Raises TooLongError."""
    pages = len(ask.model.cables) * STEP // SIZES[SIZE][1]  # two columns of ends, one row a cable in each
    if pages > 2 * PARTS_MAX:
        raise TooLongError(pages)
    sort, _, thing = subject.partition(" ")
    if sort not in SORTS:
        sort, thing = "", ""
    return map_svg(map_view(ask, sort, thing), SIZE)


def chain(ask: Ask, subject: str) -> str:
    """Draw the chain of a line or feed."""
    found = chain_steps(ask, (subject,))
    return chain_svg(chain_view(ask, (subject,), *found), SIZE) if found and found[0] else ""


def level(ask: Ask, subject: str) -> str:
    """Draw the level of a line."""
    name = subject.removeprefix("line ")
    found = ask(levels).get(name)
    return level_svg(level_view(ask, name, found), SIZE) if found is not None else ""


def arrival(ask: Ask, subject: str) -> str:
    """Draw when packets arrive at a receiver."""
    found = chosen_arrival(ask, (subject,) if subject else ())
    return arrival_svg(arrival_view(ask, found), SIZE) if found is not None else ""


def flow(ask: Ask, subject: str) -> str:
    """Draw the signal flow of a place."""
    view = flow_view(ask, subject)
    pages = len(view["rows"]) * 2 * STEP // SIZES[SIZE][1]
    if pages > PARTS_MAX:
        raise TooLongError(pages)
    return flow_svg(view, SIZE) if view["rows"] or view["feeds"] else ""


DRAWINGS: dict[str, Callable[[Ask, str], str]] = {
    "map": rig,
    "chain": chain,
    "level": level,
    "arrival": arrival,
    "flow": flow,
}


@dataclass(frozen=True, slots=True)
class Leaf:
    """One thing that is drawn, and its least and greatest height. [px]"""

    low: Px
    high: Px
    element: ET.Element


def parts_of(svg: str, room_px: Px, high_px: Px) -> list[dict[str, Any]]:
    """Return a picture in parts that are at most so high: SVG with its width and height. [pt]

    Raises TooLongError.
    """
    if not svg:
        return []
    root = ET.fromstring(svg.replace(FONTS, f"'{FAMILY}'"))  # noqa: S314  we made it
    style = root.findall(f"{SVG}style")
    leaves = [Leaf(*span, element) for element in root.iter() if (span := spans(element))]
    width, height = float(root.get("width", "0")), max(leaf.high for leaf in leaves) + 4
    scale = PT_PER_PX * min(1.0, room_px / width)
    parts: list[dict[str, Any]] = []
    edges = cuts(leaves, height, SIZES[SIZE][1] if MAP_MARK in svg else high_px)
    if len(edges) > PARTS_MAX + 1:
        raise TooLongError(len(edges) - 1)
    for top, end in pairwise(edges):
        size = {"viewBox": f"0 {top:g} {width:g} {end - top:g}", "width": f"{width:g}", "height": f"{end - top:g}"}
        part = ET.Element(f"{SVG}svg", size)
        part.extend(style)
        part.extend(leaf.element for leaf in leaves if leaf.low < end and leaf.high > top)
        text = ET.tostring(part, encoding="unicode")
        parts.append({"svg": text, "width": width * scale, "height": (end - top) * scale})
    return parts


def cuts(leaves: Sequence[Leaf], height: Px, most: Px) -> list[Px]:
    """Return where a picture is cut: its top, the lowest heights that go through no text, its bottom. [px]"""
    texts = [leaf for leaf in leaves if leaf.element.tag == f"{SVG}text"]
    found, search = [0.0], min(SEARCH_PX, int(most / 2))  # a cut always leads on
    while found[-1] + most < height:
        y = found[-1] + most
        near = [leaf for leaf in texts if leaf.high > y - SEARCH_PX and leaf.low < y]
        free = (y - step for step in range(search) if not any(leaf.low < y - step < leaf.high for leaf in near))
        found.append(next(free, y))
    return [*found, height]


def spans(element: ET.Element) -> tuple[Px, Px] | None:
    """Return the least and greatest height of an element; None for the paper and for what is not drawn itself."""
    if element.get("class") == "paper":
        return None
    match element.tag.removeprefix(SVG):
        case "text":
            y, size = float(element.get("y", "0")), float(element.get("font-size", "0"))
            return y - size, y + size / 3
        case "rect":
            y = float(element.get("y", "0"))
            return y, y + float(element.get("height", "0"))
        case "circle":
            y, radius = float(element.get("cy", "0")), float(element.get("r", "0"))
            return y - radius, y + radius
        case "polyline":
            ys = [float(pair.split(",")[1]) for pair in element.get("points", "").split()]
            return min(ys) - 2, max(ys) + 2
        case _:
            return None
