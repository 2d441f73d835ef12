"""The signal flow of a place from left to right: source, box, stream, strip, bus, feed; one straight line for each line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby, pairwise

from tailboard.draw.breaking import broken_lines
from tailboard.draw.measure import Px
from tailboard.draw.rails import Rails
from tailboard.draw.svg import SIZES, SMALL, STEP, TEXT, Canvas, heading, signs
from tailboard.text.ranges import compress
from tailboard.views.flow import FlowMix, FlowRow, FlowView

MARGIN = 4.0
PAD = 5.0
SPREAD = 5.0  # between two lines that enter one box [px]
# Share of the width that each column takes, and the room for lines that follows it: own choice, tried with both examples.
COLUMNS = {"source": (0.2, 0.008), "box": (0.09, 0.01), "stream": (0.095, 0.01), "desk": (0.09, 0.075), "bus": (0.12, 0.06), "feed": (0.242, 0.0)}  # fmt: skip
HEADS = {"source": "source", "box": "box", "stream": "stream", "desk": "strip", "bus": "bus", "feed": "feed"}
TAKEN = {"box": "hole", "stream": "channel", "desk": "strip"}


@dataclass(slots=True)
class Frame:
    """A box of the picture: its edges, and the heights at which lines have met each of them. [px]"""

    x: Px
    wide: Px
    top: Px
    bottom: Px
    used: dict[str, int] = field(default_factory=dict)

    def take(self, side: str, count: int) -> Px:
        """Return the next free height at an edge at which `count` lines end."""
        number = self.used.get(side, 0)
        self.used[side] = number + 1
        pitch = min(SPREAD, (self.bottom - self.top - 6) / max(count, 1))
        half = 0.0 if side == "right" else pitch / 2  # lines that come and lines that go never share a height
        return self.top + 4 + half + number * pitch


def flow_svg(view: FlowView, size: str = "paper") -> str:
    """Return the picture in one of `SIZES`."""
    width, _ = SIZES[size]
    canvas = Canvas(width)
    y = heading(canvas, MARGIN, view["title"], view["show"], view["about"])
    if any(row["mark"] for row in view["rows"]):
        y = signs(canvas, MARGIN, y + 4, [("", "chain"), ("broken", "broken")])
    spots = spots_of(width)
    y += STEP / 2
    for name, (x, wide) in spots.items():
        canvas.text((x + 1, y), HEADS[name], wide, size=SMALL, tone="soft", bold=True)
    y += 6
    groups = [list(rows) for _, rows in groupby(view["rows"], key=lambda row: (row["box"], row["stream"], row["desk"]))]
    low, desks = y, []
    for rows in groups:
        frame, low = draw_group(canvas, rows, spots, low)
        desks.append((rows, frame))
    buses = draw_buses(canvas, view["buses"], spots["bus"], y)
    feeds = list(draw_feeds(canvas, view["feeds"], spots["feed"], y))
    join_buses(canvas, view, spots, desks, buses)
    join_feeds(canvas, spots, buses, feeds)
    return canvas.svg(f"{view['title']}, {view['show']}", ". ".join(view["about"]))


def spots_of(width: Px) -> dict[str, tuple[Px, Px]]:
    """Return the left edge and the width of each column. [px]"""
    room, x = width - 2 * MARGIN, MARGIN
    found: dict[str, tuple[Px, Px]] = {}
    for name, (share, gap) in COLUMNS.items():
        found[name] = (x, share * room)
        x += (share + gap) * room
    return found


def draw_group(canvas: Canvas, rows: Sequence[FlowRow], spots: dict[str, tuple[Px, Px]], y: Px) -> tuple[Frame, Px]:
    """Draw lines that pass the same devices; return the frame of their strips and where the next group begins."""
    names = {name: broken_lines(rows[0][name], spots[name][1] - 2 * PAD, TEXT, bold=True) for name in TAKEN}  # type: ignore[literal-required]  # TAKEN names fields of a row
    top = y + 4
    below = top + max(1, *(len(lines) for lines in names.values())) * STEP + 2
    for row in rows:
        below = draw_row(canvas, row, spots, below)
    for name, lines in names.items():
        x, wide = spots[name]
        if lines:
            edge = [(x, top), (x + wide, top), (x + wide, below), (x, below), (x, top)]
            canvas.line(edge, heavy=1.2)
        for number, words in enumerate(lines):
            canvas.text((x + PAD, top + 13 + number * STEP), words, wide - 2 * PAD, bold=True)
    x, wide = spots["desk"]
    return Frame(x, wide, top, below), below + STEP / 2


def draw_row(canvas: Canvas, row: FlowRow, spots: dict[str, tuple[Px, Px]], y: Px) -> Px:
    """Draw one line straight through its stations and return the height below it."""
    canvas.begin("line", row["line"])
    x, wide = spots["source"]
    label = f"{row['line']} {row['label']}".strip()
    said = broken_lines(label, wide - PAD, TEXT, bold=True)
    rest = broken_lines(row["source"] + (f"; ends early: {row['stop']}" if row["stop"] else ""), wide - PAD, SMALL)
    taken = {name: broken_lines(row[key], spots[name][1] - 2 * PAD, TEXT) for name, key in TAKEN.items()}  # type: ignore[literal-required]
    for number, words in enumerate([*said, *rest]):
        bold = number < len(said)
        canvas.text(
            (x, y + 12 + number * 13), words, wide, size=TEXT if bold else SMALL, bold=bold, tone="" if bold else "soft"
        )
    deep = max(13 * (len(said) + len(rest)), *(13 * len(lines) for lines in taken.values())) + 5
    ends = [(x + wide, x + wide)]
    for name, lines in taken.items():
        left, room = spots[name]
        for number, words in enumerate(lines):
            canvas.text((left + PAD, y + 12 + number * 13), words, room - 2 * PAD)
        if lines or row[name]:  # type: ignore[literal-required]
            ends.append((left, left + room))
    for (_, start), (end, _) in pairwise(ends):
        canvas.line([(start - (8 if start == x + wide else 0), y + 8), (end, y + 8)], row["mark"], heavy=1.8)
    canvas.finish()
    return y + deep


def draw_buses(canvas: Canvas, buses: Sequence[FlowMix], spot: tuple[Px, Px], y: Px) -> dict[str, Frame]:
    """Draw the buses beneath one another, each with the lines of the place in it."""
    found: dict[str, Frame] = {}
    for bus in buses:
        said = [(bus["name"], True), (bus["words"], False), (compress(bus["lines"]), False)]
        canvas.begin("bus", bus["name"])
        found[bus["name"]] = draw_frame(canvas, said, spot, y + 4)
        canvas.finish()
        y = found[bus["name"]].bottom + 4
    return found


def draw_feeds(
    canvas: Canvas, feeds: Sequence[FlowMix], spot: tuple[Px, Px], y: Px
) -> Iterator[tuple[tuple[str, ...], Frame]]:
    """Draw the feeds beneath one another, those that take the same buses in one frame."""
    groups: dict[tuple[str, ...], list[FlowMix]] = {}
    for feed in feeds:
        groups.setdefault(tuple(feed["takes"]), []).append(feed)
    for takes, group in groups.items():
        said = [] if takes else [("single lines, by no bus", False)]
        for feed in group:
            kept_out = f"without {compress(feed['without'])}" if feed["without"] else ""
            said += [(feed["name"], True), (", ".join(part for part in (feed["words"], kept_out) if part), False)]
        canvas.begin("feeds", ", ".join(feed["name"] for feed in group))
        frame = draw_frame(canvas, said, spot, y + 4)
        canvas.finish()
        yield takes, frame
        y = frame.bottom + 4


def draw_frame(canvas: Canvas, said: Sequence[tuple[str, bool]], spot: tuple[Px, Px], y: Px) -> Frame:
    """Draw a frame with texts in it, the bold ones larger."""
    x, wide = spot
    room, below = wide - 2 * PAD, y + 1
    for words, bold in said:
        size = TEXT if bold else SMALL
        for line in broken_lines(words, room, size, bold=bold):
            below += 13
            canvas.text((x + PAD, below), line, room, size=size, bold=bold)
    frame = Frame(x, wide, y, below + 5)
    canvas.line([(x, y), (x + wide, y), (x + wide, frame.bottom), (x, frame.bottom), (x, y)], heavy=1.2)
    return frame


def join_buses(
    canvas: Canvas,
    view: FlowView,
    spots: dict[str, tuple[Px, Px]],
    desks: Sequence[tuple[Sequence[FlowRow], Frame]],
    buses: dict[str, Frame],
) -> None:
    """Draw one line from the strips of a group to each bus that one of them is in."""
    pairs = [
        (frame, bus["name"])
        for rows, frame in desks
        for bus in view["buses"]
        if any(row["line"] in set(bus["lines"]) for row in rows)
    ]
    x, wide = spots["desk"]
    rails = Rails(x + wide, spots["bus"][0])
    joined(canvas, rails, [(frame, buses[name]) for frame, name in pairs])


def join_feeds(
    canvas: Canvas,
    spots: dict[str, tuple[Px, Px]],
    buses: dict[str, Frame],
    feeds: Sequence[tuple[tuple[str, ...], Frame]],
) -> None:
    """Draw one line from each bus to each feed that takes it."""
    x, wide = spots["bus"]
    rails = Rails(x + wide, spots["feed"][0])
    joined(canvas, rails, [(buses[name], frame) for takes, frame in feeds for name in takes if name in buses])


def joined(canvas: Canvas, rails: Rails, pairs: Sequence[tuple[Frame, Frame]]) -> None:
    """Draw lines between frames, the shortest next to where they begin; where no rail is free, a stub with a ring at each end."""
    going = {id(one): sum(a is one for a, _ in pairs) for one, _ in pairs}
    coming = {id(two): sum(b is two for _, b in pairs) for _, two in pairs}
    for one, two in pairs:
        y_a, y_b = one.take("right", going[id(one)]), two.take("left", coming[id(two)])
        start, end = one.x + one.wide, two.x
        x = rails.take(y_a, y_b, "middle")
        if x is None:
            canvas.line([(start, y_a), (start + 8, y_a)])
            canvas.line([(end - 8, y_b), (end, y_b)])
            continue
        canvas.line([(start, y_a), (x, y_a), (x, y_b), (end, y_b)])
