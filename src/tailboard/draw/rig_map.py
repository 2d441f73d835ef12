"""The rig by place: places as bands, devices as boxes, cables as lines whose names stand on them where they leave a box."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

from tailboard.draw.measure import Px, clean, text_width, wrapped
from tailboard.draw.rails import Rails
from tailboard.draw.svg import NAME, SIZES, SMALL, STEP, TEXT, Canvas, heading, signs
from tailboard.views.rig_map import CableView, DeviceView, EndView, MapView, PlaceLane

MARGIN = {"phone": 8.0, "paper": 30.0, "page": 30.0, "book": 4.0}
BOX = {"phone": 116.0, "paper": 128.0, "page": 168.0, "book": 126.0}
NAMES = {"phone": 132.0, "paper": 134.0, "page": 226.0, "book": 134.0}
PAD = 6.0  # between text and an edge [px]
LONG = 1100.0  # a line that runs further is long: about a sheet of paper [px]
NOTES_MAX = 4  # lines of an overlay's words at one end


@dataclass(slots=True)
class Row:
    """One end of a cable in its box: where its line is, and what stands there."""

    end: EndView
    notes: list[str]
    y: Px = 0.0

    @property
    def steps(self) -> int:
        """Rows it takes."""
        return 1 + len(self.notes)


@dataclass(slots=True)
class Side:
    """One column of boxes: its left edge, the direction in which its cables leave (1: to the right), the height so far."""

    x: Px
    way: int
    y: Px
    box: Px
    names: Px

    @property
    def left(self) -> Px:
        """Left edge of the boxes."""
        return self.x if self.way == 1 else self.x + self.names

    @property
    def edge(self) -> Px:
        """Where cables leave the boxes."""
        return self.left + (self.box if self.way == 1 else 0.0)

    @property
    def inner(self) -> Px:
        """Where the names end and the lines run free."""
        return self.edge + self.way * self.names


@dataclass(slots=True)
class Sheet:
    """The picture while it is laid out. `seats`: each end of a cable at a device with its row and side."""

    canvas: Canvas
    size: str
    sheet_height: int
    seats: dict[str, list[tuple[Side, Row]]] = field(default_factory=dict)

    def room(self, y: Px, height: Px) -> Px:
        """Return where something of a height begins, so that no sheet of paper cuts it."""
        sheet, margin = self.sheet_height, MARGIN[self.size]
        if not sheet or height > sheet - 2 * margin:
            return y
        end = (y // sheet + 1) * sheet - margin
        return y if y + height <= end else y + -(-(end + 2 * margin - y) // STEP) * STEP  # whole rows


def map_svg(view: MapView, size: str = "paper") -> str:
    """Return the picture of a rig in one of `SIZES`."""
    width, sheet_height = SIZES[size]
    canvas, margin = Canvas(width), MARGIN[size]
    y = heading(canvas, margin, view["title"], view["show"], view["about"])
    y = signs(canvas, margin, y + 4, [(sign["mark"], sign["words"]) for sign in view["signs"]])
    sheet = Sheet(canvas, size, sheet_height)
    sides = columns(sheet, y + 4)
    for side, places in zip(sides, shared(view["places"], len(sides), sheet), strict=True):
        for place in places:
            draw_place(sheet, side, place)
    cables = {cable["cable"]: cable for cable in view["cables"]}
    draw_cables(sheet, sides, cables)
    bottom = max(side.y for side in sides)
    bottom = loose_cables(sheet, bottom, [cable for cable in view["cables"] if not cable["at"]])
    height = -(-(bottom + margin) // sheet_height) * sheet_height if sheet_height else bottom + margin
    return canvas.svg(f"{view['title']}, {view['show']}", ". ".join(view["about"]), height)


def columns(sheet: Sheet, y: Px) -> list[Side]:
    """Return the columns of boxes: one on a phone, else one at each edge, half a row apart so that no two lines meet."""
    margin, box, names = MARGIN[sheet.size], BOX[sheet.size], NAMES[sheet.size]
    left = Side(margin, 1, y, box, names)
    if sheet.size == "phone":
        return [left]
    return [left, Side(sheet.canvas.width - margin - box - names, -1, y + STEP / 2, box, names)]


def shared(places: Sequence[PlaceLane], count: int, sheet: Sheet) -> list[list[PlaceLane]]:
    """Return the places of each column: the unit's own left, the others right, evened out where one is much longer."""
    if count == 1:
        return [list(places)]
    sides = [[place for place in places if place["own"]], [place for place in places if not place["own"]]]
    heights = {place["place"]: place_height(sheet, place) for place in places}

    def tall(side: list[PlaceLane]) -> Px:
        return sum(heights[place["place"]] for place in side)

    while True:
        long, short = sorted(sides, key=tall, reverse=True)
        if len(long) < 2 or tall(short) + heights[long[-1]["place"]] >= tall(long):
            return sides
        short.append(long.pop())


def place_height(sheet: Sheet, place: PlaceLane) -> Px:
    """Return the height of a place. [px]"""
    return 3 * STEP + sum(device_height(sheet, device, rows_of(sheet, device)) + STEP for device in place["devices"])


def rows_of(sheet: Sheet, device: DeviceView) -> list[Row]:
    """Return the rows of a device."""
    room = NAMES[sheet.size] - 2 * PAD
    return [Row(end, wrapped(clean(end["notes"]), room, SMALL, NOTES_MAX)) for end in device["ends"]]


def head_lines(sheet: Sheet, device: DeviceView) -> tuple[list[tuple[str, Px, str, bool]], bool]:
    """Return the lines of a device's head (words, size, tone, bold), and whether the ports stand beneath it, not beside."""
    room = BOX[sheet.size] - 2 * PAD
    ports = max((text_width(clean(end["port"]), SMALL) for end in device["ends"]), default=0.0)
    name, kind = clean(device["device"]), clean(device["kind"])
    beneath = text_width(name, NAME, bold=True) > room - min(ports, room / 2) - PAD and bool(device["ends"])
    lines = [(name, NAME, "", True), (kind, SMALL, "soft", False)]
    inside = room if beneath else room - min(ports, room / 2) - (PAD if ports else 0.0)
    tone = "accent" if device["mark"] == "broken" else ""
    lines += [
        (line, SMALL, tone, True) for line in wrapped(clean(device["notes"]), inside, SMALL, NOTES_MAX, bold=True)
    ]
    return lines, beneath


def device_height(sheet: Sheet, device: DeviceView, rows: Sequence[Row]) -> Px:
    """Return the height of a box: its head and its rows, beside or beneath one another. [px]"""
    lines, beneath = head_lines(sheet, device)
    steps = sum(row.steps for row in rows)
    return STEP * (len(lines) + steps if beneath else max(len(lines), steps)) + STEP / 2


def draw_place(sheet: Sheet, side: Side, place: PlaceLane) -> None:
    """Draw a band with the name of its place, and its devices; on the next sheet it goes on under the same name."""
    canvas = sheet.canvas
    heights = [device_height(sheet, device, rows_of(sheet, device)) for device in place["devices"]]
    side.y = sheet.room(side.y, 2.5 * STEP + heights[0])
    wide = side.box + side.names
    canvas.begin("place", place["place"])
    top = side.y
    canvas.line([(side.x, top), (side.x + wide, top)], heavy=2)
    used = canvas.text((side.x, top + 16), place["place"], wide * 0.6, size=NAME + 1, bold=True)
    canvas.text((side.x + used + PAD, top + 16), place["words"], wide - used - PAD, size=SMALL, tone="soft")
    canvas.finish()
    side.y = top + 1.5 * STEP
    for device, height in zip(place["devices"], heights, strict=True):
        next_y = sheet.room(side.y, height)
        if next_y != side.y:
            canvas.line([(side.x, next_y), (side.x + wide, next_y)], heavy=2)
            canvas.text((side.x, next_y + 16), f"{place['place']}, continued", wide, size=NAME + 1, bold=True)
            next_y += 2 * STEP
        side.y = next_y
        draw_device(sheet, side, device, height)
        side.y += height + STEP / 2
    side.y = top + -(-(side.y + STEP / 2 - top) // STEP) * STEP  # whole rows: the two columns never share a height


def draw_device(sheet: Sheet, side: Side, device: DeviceView, height: Px) -> None:
    """Draw a box with its name, its ports, and the names of its cables beside it."""
    canvas, top, left = sheet.canvas, side.y, side.left
    lines, beneath = head_lines(sheet, device)
    canvas.begin("device", device["device"])
    canvas.box((left, top), (side.box, height), heavy=2.5 if device["mark"] else 1, mark=device["mark"])
    rows = rows_of(sheet, device)
    ports = max((text_width(clean(end["port"]), SMALL) for end in device["ends"]), default=0.0)
    inside = side.box - 2 * PAD
    room = inside if beneath or not rows else inside - min(ports, inside / 2) - PAD
    start = left + PAD if side.way == 1 or beneath else left + side.box - PAD - room
    for number, (words, size, tone, bold) in enumerate(lines):
        canvas.text((start, top + 13 + number * STEP), words, room, size=size, tone=tone, bold=bold)
    canvas.finish()
    y = top + STEP * (1 + (len(lines) if beneath else 0))
    for row in rows:
        row.y = y
        sheet.seats.setdefault(row.end["cable"], []).append((side, row))
        draw_end(sheet, side, row, inside / 2)
        y += STEP * row.steps


def draw_end(sheet: Sheet, side: Side, row: Row, port_room: Px) -> None:
    """Write the port inside the box, and outside, on the line, the cable and what is at its far end."""
    canvas, end, y = sheet.canvas, row.end, row.y
    inside, outside = side.edge - side.way * PAD, side.edge + side.way * PAD
    canvas.text((inside, y - 3), end["port"], port_room, size=SMALL, tone="soft", end=side.way == 1)
    room = side.names - 2 * PAD
    start = outside if side.way == 1 else side.x + PAD
    used = canvas.text((start, y - 3), end["cable"], room * 0.6, size=TEXT, bold=True)
    canvas.text((start + used + PAD, y - 3), end["far"], room - used - PAD, size=SMALL, tone="soft")
    for number, words in enumerate(row.notes, 1):
        canvas.text((start, y - 3 + number * STEP), words, room, size=SMALL)


def draw_cables(sheet: Sheet, sides: Sequence[Side], cables: dict[str, CableView]) -> None:
    """Draw every cable that has an end at a device: trunks first, so that they get the straightest way."""
    canvas = sheet.canvas
    first, last = sides[0].inner, sides[-1].inner if len(sides) > 1 else canvas.width - MARGIN[sheet.size]
    rails = Rails(first, last, both=len(sides) > 1)
    order = {"trunk": 0, "network": 1, "line": 2}
    jobs = sorted(sheet.seats.items(), key=lambda job: (order[cables[job[0]]["sort"]], length(job[1])))
    for name, seats in jobs:
        cable = cables[name]
        heavy = 2.4 if cable["heavy"] else 1.2
        tone = "" if cable["heavy"] or cable["mark"] else "faint"
        canvas.begin("cable", name)
        canvas.body.append(title_of(cable))
        if len(seats) == 2:
            for points in ways(rails, seats):
                canvas.line(points, cable["mark"], heavy=heavy, tone=tone)
                if len(points) == 2:
                    canvas.ring(points[-1], full=True)
        else:
            side, row = seats[0]
            canvas.line([(side.edge, row.y), (side.inner, row.y)], cable["mark"], heavy=heavy, tone=tone)
            canvas.ring((side.inner, row.y), full=cable["at"] == 2)
        canvas.finish()


def title_of(cable: CableView) -> str:
    """Return what a pointer over a cable shows."""
    return f"<title>{escape(clean(cable['cable'] + ': ' + ' - '.join(cable['ends']) + ', ' + cable['words']))}</title>"


def length(seats: Sequence[tuple[Side, Row]]) -> tuple[bool, Px]:
    """Return how far apart the ends of a cable are; those between two columns come first."""
    across = len({id(side) for side, _ in seats}) > 1
    return not across, abs(seats[0][1].y - seats[-1][1].y)


def ways(rails: Rails, seats: Sequence[tuple[Side, Row]]) -> Iterator[list[tuple[Px, Px]]]:
    """Yield the lines of a cable between two boxes: one by a rail, or, where no rail is free, a stub at each end."""
    (side_a, row_a), (side_b, row_b) = seats
    near = "first" if side_a.way == 1 else "last"
    far = (
        "middle" if rails.both else "last"
    )  # long lines keep clear of the boxes, so that short ones need not cross them
    x = rails.take(row_a.y, row_b.y, near if side_a is side_b and abs(row_a.y - row_b.y) < LONG else far)
    if x is None:
        yield [(side_a.edge, row_a.y), (side_a.inner, row_a.y)]
        yield [(side_b.edge, row_b.y), (side_b.inner, row_b.y)]
        return
    yield [(side_a.edge, row_a.y), (x, row_a.y), (x, row_b.y), (side_b.edge, row_b.y)]


def loose_cables(sheet: Sheet, y: Px, cables: Sequence[CableView]) -> Px:
    """Draw the cables that no device has, each as a line of its own, and return the height after them."""
    if not cables:
        return y
    canvas, margin = sheet.canvas, MARGIN[sheet.size]
    wide = canvas.width - 2 * margin
    y = sheet.room(y + STEP, 3 * STEP)
    canvas.line([(margin, y), (margin + wide, y)], heavy=2)
    canvas.text((margin, y + 16), "at no device", wide, size=NAME + 1, bold=True)
    y += 2.5 * STEP
    for cable in cables:
        y = sheet.room(y, STEP)
        canvas.begin("cable", cable["cable"])
        canvas.line([(margin, y - 4), (margin + 40, y - 4)], cable["mark"])
        used = canvas.text((margin + 48, y), cable["cable"], wide * 0.3, bold=True)
        words = f"{' - '.join(cable['ends'])}; {cable['words']}"
        canvas.text((margin + 54 + used, y), words, wide - 54 - used, size=SMALL, tone="soft")
        canvas.finish()
        y += STEP
    return y
