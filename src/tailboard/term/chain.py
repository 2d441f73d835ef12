"""A chain on the terminal: a line drawn through its stations from left to right, what carries it and its time beneath."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.signs import clean, padded, width_of
from tailboard.term.spots import show_place
from tailboard.term.table import show_table
from tailboard.units.wording import counted, worded
from tailboard.views.chains import StepView, TraceView, WayView
from tailboard.views.levels import WayLevelView

CONNECTOR_MIN = 3
LATER_INDENT = 4


@dataclass(frozen=True, slots=True)
class Piece:
    """A connector and the station it leads to; `notes` stand beneath the connector."""

    sign: str
    notes: tuple[str, ...]
    station: str

    @property
    def width(self) -> int:
        """Columns of the connector."""
        return max(CONNECTOR_MIN, *(width_of(note) for note in self.notes))


def trace_page(view: TraceView, style: Style) -> str:
    """Return the page of `trace`."""
    page = Page(style)
    count = f"at least {view['count']} ways" if view["more"] else counted(view["count"], "way")
    words = f"{view['begins']} to {view['ends']}: {count if view['count'] else 'no way'}"
    working = any(way["works"] for way in view["ways"])
    sign = style.sign("holds" if working else "broken")
    page.tell(f"{sign} ", words, 0, BOLD if working else ACCENT)
    for way in view["ways"]:
        page.blank()
        show_way(page, way)
    if len(view["ways"]) < view["count"]:
        page.blank()
        page.say(f"the {len(view['ways'])} shortest are drawn")
    if not view["count"]:
        show_end(page, view)
    return page.text()


def show_end(page: Page, view: TraceView) -> None:
    """Add why nothing arrives: the minus that keeps it out, or how far it gets."""
    begun = view["begun"]
    if begun is not None:
        page.blank()
        page.say("It gets as far as this:", 4)
        draw(page, begun["steps"])
        page.say(f"nothing leads on from {begun['steps'][-1]['ends']}", 4)
        return
    page.say("nothing that carries it leads there", 4)
    for reason in view["minus"]:
        page.say(reason["words"], 4)
        show_place(page, reason["place"])


def show_way(page: Page, way: WayView) -> None:
    """Add one way: the drawing, the cables its streams cross, the sum of its delay, or where it stops."""
    draw(page, way["steps"])
    for step in way["steps"]:
        if step["hops"]:
            page.tell(f"{step['by']} goes by ", ", ".join(hop["cable"] for hop in step["hops"]), LATER_INDENT)
    if way["stop"] is not None:
        page.tell(f"{page.style.sign('broken')} ", way["stop"]["words"], LATER_INDENT, ACCENT)
        show_place(page, way["stop"]["place"])
        return
    if way["on_key"]:
        page.say("only while a key is pressed", LATER_INDENT)
    if way["delay"]:
        page.say(f"{way['delay']} in all" + (", of what is known" if way["missing"] else ""), LATER_INDENT)
    if way["missing"]:
        page.tell(f"{page.style.sign('open')} not known: ", ", ".join(way["missing"]), LATER_INDENT)
    if way["assumptions"]:
        page.tell(f"{page.style.sign('holds if')} example figures: ", ", ".join(way["assumptions"]), LATER_INDENT)
    if way["level"] is not None:
        show_level(page, way["level"])


def show_level(page: Page, level: WayLevelView) -> None:
    """Add how loud it comes there, place by place."""
    page.blank()
    rows = [
        (
            step["at"],
            step["what"],
            *(level_cell(step[key], step["unit"]) for key in ("peak_db", "nominal_db", "noise_db")),
            level_cell(step["left_db"], "dB").removeprefix("+"),
        )
        for step in level["steps"]
    ]
    show_table(page, ("level", "", "peak", "nominal", "noise", "left"), rows, 1, LATER_INDENT)
    page.say(level["words"], LATER_INDENT)
    page.tell(f"{page.style.sign('holds if')} taken for granted: ", level["taken"], LATER_INDENT)
    if level["missing"]:
        page.tell(f"{page.style.sign('open')} not known: ", ", ".join(level["missing"]), LATER_INDENT)
    if level["assumptions"]:
        page.tell(f"{page.style.sign('holds if')} example figures: ", ", ".join(level["assumptions"]), LATER_INDENT)


def level_cell(level_db: float | None, unit: str) -> str:
    """Return a level for a table."""
    return "" if level_db is None else worded(level_db, unit)


def draw(page: Page, steps: list[StepView]) -> None:
    """Add the line through the stations; it goes on in the next row where the page ends."""
    pieces = [piece_of(step, page.style) for step in steps]
    row, at = [clean(steps[0]["begins"])], width_of(clean(steps[0]["begins"]))
    chosen: list[Piece] = []
    for piece in pieces:
        added = piece.width + 2 + width_of(piece.station)
        if at + added > page.style.width and (chosen or at > LATER_INDENT):
            put_row(page, row[0], chosen)
            row, at, chosen = [" " * LATER_INDENT], LATER_INDENT, []
        chosen.append(piece)
        at += added
    put_row(page, row[0], chosen)


def piece_of(step: StepView, style: Style) -> Piece:
    """Return the connector and station of one step."""
    name = "broken" if step["stops"] else "holds"
    notes = tuple(clean(note) for note in (step["by"], step["delay"]) if note)
    return Piece(style.mark(name), notes, clean(step["ends"]))


def put_row(page: Page, begin: str, pieces: list[Piece]) -> None:
    """Add one row of the drawing and the notes beneath it."""
    rows = [begin, *[" " * width_of(begin)] * max((len(piece.notes) for piece in pieces), default=0)]
    for piece in pieces:
        rows[0] += f" {stretched(piece.sign, piece.width)} {piece.station}"
        for number in range(1, len(rows)):
            note = piece.notes[number - 1] if number <= len(piece.notes) else ""
            rows[number] += f" {padded(note, piece.width)} {' ' * width_of(piece.station)}"
    for row in rows:
        if row.strip():
            page.put(row)


def stretched(sign: str, width: int) -> str:
    """Return a sign drawn out to a width: unbroken, or with its gap in the middle."""
    if " " not in sign:
        return sign[0] * width
    side = (width - 1) // 2
    return sign[0] * side + " " * (width - 2 * side) + sign[0] * side
