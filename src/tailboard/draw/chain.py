"""A chain as a line through its stations from left to right, time and level beneath; and the level diagram of a line."""

from __future__ import annotations

from itertools import pairwise
from math import ceil
from typing import NamedTuple

from tailboard.draw.measure import Px, clean, text_width
from tailboard.draw.svg import SIZES, SMALL, STEP, WORDS, Canvas, heading, signs
from tailboard.views.chain_picture import ChainView, LevelStep, LevelView, StationView

MARGIN = 16.0
FIRST = MARGIN + 10  # where the first step begins [px]
STATION_MIN = 110.0  # least room for a station with the step that leads there [px]
STATION_MAX = 190.0
FLOOR_DB = 12.0  # the diagram goes on this far below the lowest level, own choice
HEAVY = {"peak": 3.0, "nominal": 1.2, "noise": 1.6}
MARKS = {"peak": "", "nominal": "", "noise": "holds if"}
LADDER_DB = 20  # between two rules of the diagram
ROW = 96.0  # from one row of stations to the next [px]
LEVEL_HEIGHT = 300.0  # of the diagram [px]
LABEL = 66.0  # room for the rules' figures [px]
COLUMN_MIN = 92.0  # a column that is narrower breaks its words [px]


def chain_svg(view: ChainView, size: str = "paper") -> str:
    """Return the picture of a chain in one of `SIZES`."""
    width, _ = SIZES[size]
    canvas = Canvas(width)
    y = heading(canvas, MARGIN, view["title"], view["show"], view["about"])
    y = signs(canvas, MARGIN, y + 4, [(mark, WORDS[mark]) for mark in view["signs"]]) + STEP
    room = width - 2 * MARGIN - 10
    wanted = max(station_width(station) for station in view["stations"])
    count = max(1, int(room / min(STATION_MAX, max(STATION_MIN, wanted))))
    pitch = room / count
    first, *others = view["stations"]
    canvas.begin("station", first["station"])
    y = canvas.paragraph(
        (MARGIN, y), ", ".join(part for part in (first["station"], first["level"]) if part), room, size=12, bold=True
    )
    canvas.ring((MARGIN + 3, y + STEP / 2))
    canvas.finish()
    y += STEP / 2
    for number, station in enumerate(others):
        row, column = divmod(number, count)
        draw_station(canvas, station, (FIRST + column * pitch, y + row * ROW), pitch)
    return canvas.svg(view["title"], ". ".join(view["about"]))


def station_width(station: StationView) -> Px:
    """Return the room that a station would like. [px]"""
    texts = (station["by"], station["delay"], station["time"], station["level"])
    name = text_width(clean(station["station"]), 12, bold=True)
    return max(name, *(text_width(clean(text), SMALL) for text in texts)) + 20


def draw_station(canvas: Canvas, station: StationView, at: tuple[Px, Px], pitch: Px) -> None:
    """Draw the step that leads to a station, its words at the line's beginning, and the station beneath the line's end."""
    x, y = at
    room, dot = pitch - 14, x + pitch - 14
    word = f"{WORDS[station['mark']]}: " if station["mark"] in {"broken", "open"} else ""
    canvas.begin("station", station["station"])
    canvas.line([(x - (10 if x > FIRST else 3), y), (dot, y)], station["mark"], heavy=2.4)
    canvas.text((x, y - 7), f"{word}{station['by']}", room, size=SMALL, tone="soft")
    canvas.text((x, y + 15), f"+ {station['delay']}" if station["delay"] else "", room, size=SMALL, tone="soft")
    canvas.ring((dot, y), full=True)
    figures = (f"after {station['time']}" if station["time"] else "", station["level"])
    canvas.text((dot + 3, y + 31), station["station"], room, size=12, bold=True, end=True)
    for number, words in enumerate(figures):
        canvas.text((dot + 3, y + 45 + 14 * number), words, room, size=SMALL, end=True)
    canvas.finish()


def level_svg(view: LevelView, size: str = "paper") -> str:
    """Return the level diagram of a line in one of `SIZES`."""
    width, _ = SIZES[size]
    canvas = Canvas(width)
    room = width - 2 * MARGIN
    y = heading(canvas, MARGIN, view["title"], view["show"], view["about"])
    y = signs(canvas, MARGIN, y + 6, [(view["mark"], view["verdict"])]) + 4
    for words in view["missing"]:
        y = canvas.paragraph((MARGIN, y), words, room)
    if view["steps"]:
        draw_levels(canvas, view, y, room)
    return canvas.svg(view["title"], view["verdict"])


def draw_levels(canvas: Canvas, view: LevelView, y: Px, room: Px) -> None:
    """Draw the rules of the scale and a step for each level, in as many rows as the columns need."""
    names = list(dict.fromkeys(step["name"] for step in view["steps"]))
    found = [step["level_dbfs"] for step in view["steps"]]
    span_db = max(*found, 0.0) + 3, min(*found, 0.0) - FLOOR_DB
    most = max(1, int((room - LABEL) // COLUMN_MIN))
    count = ceil(len(names) / ceil(len(names) / most))
    for begin in range(0, len(names), count):
        part = names[begin : begin + count]
        steps = [step for step in view["steps"] if step["name"] in part]
        y = draw_row(canvas, steps, part, Scale(y, *span_db), room) + STEP


class Scale(NamedTuple):
    """The scale of one row: where it begins, and its highest and lowest level."""

    y: Px
    top_db: float
    low_db: float

    def height(self, level_db: float) -> Px:
        """Return where a level lies."""
        return self.y + (self.top_db - level_db) * LEVEL_HEIGHT / (self.top_db - self.low_db)


def draw_row(canvas: Canvas, steps: list[LevelStep], names: list[str], scale: Scale, room: Px) -> Px:
    """Draw the columns of one row, full scale among the rules; return where it ends."""
    for level_db in range(int(scale.top_db // LADDER_DB) * LADDER_DB, int(scale.low_db), -LADDER_DB):
        at = scale.height(level_db)
        full = level_db == 0
        canvas.line([(MARGIN + LABEL, at), (MARGIN + room, at)], heavy=2 if full else 0.5, tone="" if full else "faint")
        words = "0 dBFS, full" if full else f"{level_db} dBFS"
        canvas.text((MARGIN, at + 3.5), words, LABEL - 4, size=SMALL, tone="soft")
    wide, left, foot = (room - LABEL) / len(names), MARGIN + LABEL, scale.y + LEVEL_HEIGHT + STEP
    lowest = foot
    for place, name in enumerate(names):
        x = left + place * wide
        canvas.begin("level", name)
        low = canvas.paragraph((x + 4, foot), name, wide - 8, size=12, bold=True)
        for step in steps:
            if step["name"] == name:
                draw_level(canvas, step, (x, scale.height(step["level_dbfs"])), wide)
                low = canvas.paragraph((x + 4, low), step["words"], wide - 8, size=SMALL)
        canvas.finish()
        lowest = max(lowest, low)
    for sort, heavy in HEAVY.items():
        for one, two in pairwise([step for step in steps if step["sort"] == sort]):
            x = left + names.index(two["name"]) * wide
            ends = [(x, scale.height(step["level_dbfs"])) for step in (one, two)]
            canvas.line(ends, MARKS[sort], heavy=heavy)
    return lowest


def draw_level(canvas: Canvas, step: LevelStep, at: tuple[Px, Px], wide: Px) -> None:
    """Draw one level as a line across its column: the peak heavy, the nominal level thin, the noise dotted."""
    x, y = at
    canvas.line([(x, y), (x + wide, y)], MARKS[step["sort"]], heavy=HEAVY[step["sort"]])
    canvas.text((x + 4, y - 4), step["sort"], wide - 8, size=SMALL, tone="soft")
