"""A picture read back from its SVG: texts with the room they take, lines, and the things that it shows."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

from tailboard.draw.measure import text_width

SVG = "{http://www.w3.org/2000/svg}"
ASCENT, DESCENT = (
    0.76,
    0.24,
)  # of DejaVu Sans: its letters reach 0.76 above and 0.236 below the line (its own 'hhea' table)


@dataclass(frozen=True)
class Box:
    """The room of one text. [px]"""

    left: float
    top: float
    right: float
    bottom: float
    words: str

    def meets(self, other: Box) -> bool:
        return (
            min(self.right, other.right) - max(self.left, other.left) > 0.01
            and min(self.bottom, other.bottom) - max(self.top, other.top) > 0.01
        )


class Picture:
    """One SVG."""

    def __init__(self, svg: str) -> None:
        self.root = ET.fromstring(svg)  # noqa: S314  our own picture
        self.width, self.height = float(self.root.get("width", "0")), float(self.root.get("height", "0"))

    def things(self, sort: str) -> list[str]:
        """The names of the groups of one sort."""
        return [name for group in self.root.iter(f"{SVG}g") if (name := group.get(f"data-{sort}")) is not None]

    def group(self, sort: str, name: str) -> ET.Element:
        (found,) = [group for group in self.root.iter(f"{SVG}g") if group.get(f"data-{sort}") == name]
        return found

    def texts(self) -> list[Box]:
        """The room of every text."""
        return [box for node in self.root.iter(f"{SVG}text") if (box := box_of(node)).words]

    def words(self) -> list[str]:
        return [box.words for box in self.texts()]

    def overlaps(self) -> list[tuple[str, str]]:
        """Pairs of texts that lie on one another."""
        found = []
        rows: dict[int, list[Box]] = {}
        for box in self.texts():
            for row in {int(box.top // 40), int(box.bottom // 40)}:
                rows.setdefault(row, []).append(box)
        for boxes in rows.values():
            found += [(one.words, two.words) for one, two in combinations(boxes, 2) if one.meets(two)]
        return found

    def cable_pieces(self) -> Iterator[tuple[str, tuple[float, float], tuple[float, float]]]:
        """The straight pieces of every cable."""
        for group in self.root.iter(f"{SVG}g"):
            name = group.get("data-cable")
            for line in group.iter(f"{SVG}polyline") if name else ():
                if "core" not in (line.get("class") or ""):
                    points = [tuple(map(float, point.split(","))) for point in line.get("points", "").split()]
                    for (x_a, y_a), (x_b, y_b) in pairwise(points):
                        yield name or "", (x_a, y_a), (x_b, y_b)

    def lying_on_one_another(self) -> list[tuple[str, str]]:
        """Pairs of cables of which two pieces share a stretch."""
        tracks: dict[tuple[str, float], list[tuple[float, float, str]]] = {}
        for name, (x_a, y_a), (x_b, y_b) in self.cable_pieces():
            key = ("upright", x_a) if x_a == x_b else ("level", y_a)
            span = sorted((y_a, y_b) if x_a == x_b else (x_a, x_b))
            tracks.setdefault(key, []).append((span[0], span[1], name))
        return [
            (one[2], two[2])
            for spans in tracks.values()
            for one, two in pairwise(sorted(spans))
            if one[1] > two[0] and one[2] != two[2]
        ]

    def crossed_texts(self) -> list[tuple[str, str]]:
        """Texts through which the upright part of a cable runs."""
        boxes = self.texts()
        uprights = [
            (name, a[0], min(a[1], b[1]), max(a[1], b[1])) for name, a, b in self.cable_pieces() if a[0] == b[0]
        ]
        return [
            (name, box.words)
            for name, x, low, high in uprights
            for box in boxes
            if box.left < x < box.right and box.top < high and box.bottom > low
        ]


def box_of(node: ET.Element) -> Box:
    """Return the room of a text: its width by the table of the widest font."""
    title = node.find(f"{SVG}title")
    words = (node.text or "") + ((title.tail or "") if title is not None else "")
    size, x, y = (float(node.get(key, "0")) for key in ("font-size", "x", "y"))
    wide = text_width(words, size, bold="bold" in (node.get("class") or ""))
    left = x - wide if node.get("text-anchor") == "end" else x
    return Box(left, y - ASCENT * size, left + wide, y + DESCENT * size, words)


def figures(words: str) -> list[float]:
    """The numbers in a text."""
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", words)]
