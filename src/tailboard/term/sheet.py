"""`sheet` for the terminal and the text printer: the title block, the holes in order, a box to tick."""

from __future__ import annotations

from tailboard.term.page import BOLD, Page, Style
from tailboard.term.signs import padded, width_of
from tailboard.term.table import show_table
from tailboard.text.ranges import compress
from tailboard.views.holes import HoleRow
from tailboard.views.sheet import BoxView, SheetView

HOLE_HEADER = ("hole", "", "line", "label", "plugged in", "48V", "cable", "channel", "strip", "")
PORT_HEADER = ("port", "carries", "to", "cable", "with", "")


def sheet_page(view: SheetView, style: Style) -> str:
    """Return the sheet as text."""
    page = Page(style)
    show_title(page, view)
    for box in view["boxes"]:
        show_box(page, box, alone=view["about"] == "box")
    show_place_tables(page, view)
    if view["cautions"]:
        page.rule()
        for caution in view["cautions"]:
            page.tell("!  ", caution)
    return page.text()


def show_title(page: Page, view: SheetView) -> None:
    """Add the title block: what the sheet is about, which show, which version, and the check sum of its content."""
    title = view["title"]
    page.rule()
    sides(page, title["subject"].upper(), "page 1 of 1", BOLD)
    sides(page, title["kind"], f"place {title['place']}" if title["place"] and view["about"] == "box" else "")
    if view["about"] == "place":
        page.say(title["place"])
    version = f"version {title['version']}" if title["version"] else "no version"
    sides(
        page,
        ", ".join(part for part in (title["show"], title["date"]) if part),
        f"{version}, content {title['content']}",
    )
    if title["plan"]:
        page.say(title["plan"])
    page.rule()


def sides(page: Page, left: str, right: str, colour: str = "") -> None:
    """Add a line with a text at either side, or two lines where they do not fit."""
    room = page.style.width - width_of(left) - width_of(right)
    if left and right and room < 2:
        page.say(left, 0, 0, colour)
        page.say(right)
    elif left or right:
        page.put(padded(left, page.style.width - width_of(right)) + right, colour)


def show_box(page: Page, box: BoxView, *, alone: bool) -> None:
    """Add the holes and ports of one device; on its own sheet every hole has a row, else unused ones share one."""
    if not alone:
        page.blank()
        page.put(f"{box['device']}  {box['kind']}", BOLD)
    tick = page.style.mark("box")
    rows = [hole_cells(row, tick) for row in box["holes"] if alone or row["use"] != "unused"]
    if not alone:
        rows += unused_rows(box["holes"])
    if rows:
        show_table(page, HOLE_HEADER, rows, HOLE_HEADER.index("plugged in"))
    ports = [
        (
            row["port"],
            row["carries"],
            row["far"],
            row["cable"],
            row["extra"],
            tick if row["use"] == "used" else row["use"],
        )
        for row in box["ports"]
        if alone or row["use"] != "unused"
    ]
    if ports:
        page.blank()
        show_table(page, PORT_HEADER, ports, PORT_HEADER.index("carries"))


def hole_cells(row: HoleRow, tick: str) -> tuple[str, ...]:
    """Return the cells of one hole; a spare and an unused hole say so where the plug would stand."""
    said = {"unused": "- unused -", "spare": f"SPARE {row['plugged'].removeprefix('spare').strip(', ')}".strip()}
    plugged = said.get(row["use"], row["plugged"])
    return (
        row["hole"], row["way"], row["item"], row["label"], plugged, row["phantom"], row["cable"], row["channel"],
        row["strip"], "" if row["use"] == "unused" else tick if row["state"] in {"", "plugged"} else row["state"],
    )  # fmt: skip


def unused_rows(rows: list[HoleRow]) -> list[tuple[str, ...]]:
    """Return the unused holes of a box as one row for each direction."""
    found: list[tuple[str, ...]] = []
    for way in ("in", "out", "both"):
        names = [row["hole"] for row in rows if row["use"] == "unused" and row["way"] == way]
        if names:
            found.append((compress(names), way, "", "", "- unused -", "", "", "", "", ""))
    return found


def show_place_tables(page: Page, view: SheetView) -> None:
    """Add what begins and ends at a place: sources, listeners, cables."""
    tick = page.style.mark("box")
    if view["lines"]:
        page.blank()
        page.put("Sources here", BOLD)
        header = ("line", "label", "source", "48V", "cable", "to hole", "")
        rows: list[tuple[str, ...]] = [
            (row["line"], row["label"], row["source"], row["phantom"], row["cable"], row["hole"], tick)
            for row in view["lines"]
        ]
        show_table(page, header, rows, header.index("source"))
    if view["feeds"]:
        page.blank()
        page.put("Listeners here", BOLD)
        names = ("feed", "label", "listener", "by", "from", "")
        feeds = [
            (row["feed"], row["label"], row["listener"], row["gear"], row["output"], tick) for row in view["feeds"]
        ]
        show_table(page, names, feeds, names.index("listener"))
    if view["cables"]:
        page.blank()
        page.put("Cables with an end here", BOLD)
        ends = ("cable", "kind", "length", "from", "to", "")
        cables = [
            (
                row["cable"],
                row["kind"],
                row["length"],
                row["begins"],
                row["ends"],
                tick if row["state"] == "plugged" else row["state"],
            )
            for row in view["cables"]
        ]
        show_table(page, ends, cables, ends.index("kind"))
