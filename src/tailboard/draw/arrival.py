"""The delay ledger of a receiver: one bar a step, each beginning where the last ends, against the link offset."""

from __future__ import annotations

from tailboard.draw.measure import Px
from tailboard.draw.svg import SIZES, SMALL, STEP, Canvas, heading, signs
from tailboard.views.arrival import ArrivalView, StepTime

MARGIN = 16.0
BAR = 10.0  # height of a bar [px]
BAR_MIN = 0.8  # its least width, so that a short step is seen too [px]
BEYOND = 1.04  # the scale ends a little after the later of both times, so that its line can be seen


def arrival_svg(view: ArrivalView, size: str = "paper") -> str:
    """Return the picture of one arrival in one of `SIZES`."""
    width, _ = SIZES[size]
    canvas = Canvas(width)
    room = width - 2 * MARGIN
    y = heading(canvas, MARGIN, view["title"], view["show"], view["about"])
    y = signs(canvas, MARGIN, y + 6, [(view["mark"], view["verdict"])]) + 4
    for words in view["missing"]:
        y = canvas.paragraph((MARGIN, y), words, room)
    if view["needed_s"] is None:
        return canvas.svg(view["title"], view["verdict"])
    scale = room / (max(view["needed_s"], view["offset_s"] or 0.0) * BEYOND)
    offset = None if view["offset_s"] is None else MARGIN + view["offset_s"] * scale
    for step in view["steps"]:
        y = draw_step(canvas, step, y, (scale, room), offset)
    y = draw_sum(canvas, f"all of it: {view['needed']}", "", y + STEP / 2, MARGIN + view["needed_s"] * scale)
    if offset is not None:
        draw_sum(canvas, view["offset"], view["mark"], y, offset)
    return canvas.svg(view["title"], view["verdict"])


def draw_step(canvas: Canvas, step: StepTime, y: Px, sizes: tuple[Px, Px], offset: Px | None) -> Px:
    """Draw a step: its name and its time, what it consists of, its bar, and a tick at the link offset; return the next baseline."""
    scale, room = sizes
    canvas.begin("step", step["name"])
    used = canvas.text((MARGIN + room, y), step["time"], room / 3, bold=True, end=True)
    words = f"{step['name']}, the port that costs most" if step["most"] else step["name"]
    canvas.text((MARGIN, y), words, room - used - 12, bold=True)
    y = canvas.paragraph((MARGIN, y + 14), step["words"], room, size=SMALL, tone="soft")
    x, wide = MARGIN + step["begins_s"] * scale, max(step["worst_s"] * scale, BAR_MIN)
    canvas.line([(MARGIN, y + 2), (MARGIN + room, y + 2)], heavy=0.5, tone="faint")
    canvas.box((x, y - 8), (wide, BAR), "hotfull" if step["most"] else "full")
    if offset is not None:
        canvas.line([(offset, y - 10), (offset, y + 4)], heavy=1.5, tone="hot")
    canvas.finish()
    return y + BAR + STEP


def draw_sum(canvas: Canvas, words: str, mark: str, y: Px, end: Px) -> Px:
    """Draw a whole time as one line with its words above; return the next baseline."""
    canvas.text((MARGIN, y), words, canvas.width - 2 * MARGIN, bold=True)
    canvas.line([(MARGIN, y + 9), (end, y + 9)], mark, heavy=3)
    canvas.line([(end, y + 4), (end, y + 14)], heavy=1.5, tone="hot" if mark else "")
    return y + 2 * STEP
