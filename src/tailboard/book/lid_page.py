"""The sheet for the printer: A4, the number to plug by first and biggest, a box to tick; one HTML file, no scripts.

Digits to be read at a metre: 15 minutes of arc are 4.4 mm, near the least that ISO 9241-303 allows (16 minutes, from
memory). A digit is about 0.72 of its type size (own measure on a printed page), so a row of 6.3 mm with type as high as
the row is the least used here; then a box of 36 holes and its network port fill one page.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from html import escape

from tailboard.text.ranges import compress
from tailboard.views.holes import HoleRow
from tailboard.views.sheet import BoxView, SheetView, TitleView

ROW_HEIGHT_MM_MIN = 6.3
ROW_HEIGHT_MM_MAX = 9.5
BODY_HEIGHT_MM = 241.0  # A4 (297 mm, ISO 216) less 2 x 7 mm of margin, 26 mm of title block and 16 mm of cautions
HEADER_HEIGHT_MM = 3.8
HEADING_HEIGHT_MM = 6.6
STYLE = """
@page { size: A4 portrait; margin: 7mm }
* { box-sizing: border-box }
body { margin: 0; font-family: sans-serif; color: #000; background: #fff; font-size: 3.5mm; line-height: 1.1 }
section { width: 196mm; height: 282mm; overflow: hidden; page-break-after: always; position: relative }
section:last-child { page-break-after: auto }
header { display: flex; justify-content: space-between; align-items: flex-end; border-bottom: 0.7mm solid #000;
  height: 24mm; padding-bottom: 1mm; margin-bottom: 1mm; overflow: hidden }
header b { font-size: 12mm; line-height: 1; display: block }
header div:last-child { text-align: right }
.plan { font-weight: bold; border: 0.5mm solid #000; padding: 0.4mm 1mm; display: inline-block }
h2 { font-size: 4.2mm; margin: 1.5mm 0 0.5mm }
table { border-collapse: collapse; width: 100%; table-layout: auto }
th { text-align: left; font-size: 2.6mm; font-weight: normal; padding: 0.2mm 1mm; border-bottom: 0.3mm solid #000 }
td { padding: 0 1mm; border-bottom: 0.15mm solid #000; height: var(--row); line-height: 1; white-space: nowrap }
.first { font-weight: bold; font-size: calc(var(--row) - 0.3mm); line-height: calc(var(--row) - 0.3mm); padding-right: 2mm }
.strong { font-weight: bold; font-size: 4.4mm; white-space: nowrap }
.small { font-size: 2.8mm }
.long { white-space: normal; width: 40% }
.on { font-weight: bold; border: 0.4mm solid #000; padding: 0 0.6mm; white-space: nowrap }
.unused td { color: #000; background: repeating-linear-gradient(135deg, #fff 0 2.2mm, #ddd 2.2mm 2.5mm) }
.out .first { text-decoration: underline; text-decoration-thickness: 0.5mm }
.tick { width: 7mm; text-align: right }
.tick i { display: inline-block; width: 4.6mm; height: 4.6mm; border: 0.4mm solid #000; vertical-align: top }
footer { position: absolute; bottom: 0; left: 0; right: 0; font-size: 2.9mm; border-top: 0.3mm solid #000;
  padding-top: 0.6mm; height: 13mm; overflow: hidden; background: #fff }
footer p { margin: 0; font-weight: bold }
@media screen { section { margin: 6mm auto; padding: 7mm; width: 210mm; height: 297mm; border: 1px solid #999 }
  footer { left: 7mm; right: 7mm; bottom: 7mm } }
"""
TICK = "<i></i>"
WAYS = {"in": "in", "out": "OUT", "both": "in/out"}
HOLE_HEADER = ("hole", "", "line", "label", "plugged in", "48 V", "cable", "channel", "strip", "")
PORT_HEADER = ("port", "carries", "to", "cable", "with", "")
LINE_HEADER = ("line", "label", "source", "48 V", "cable", "to hole", "")
FEED_HEADER = ("feed", "label", "listener", "by", "from", "")
CABLE_HEADER = ("cable", "kind", "length", "from", "to", "")


@dataclass(frozen=True, slots=True)
class Block:
    """A table on paper: its heading, the names of its columns, and its rows as ready HTML."""

    heading: str
    header: tuple[str, ...]
    rows: tuple[str, ...]


def lid_page(view: SheetView) -> str:
    """Return the sheet as one HTML document; every text of the user's is escaped."""
    pages = paged(blocks(view))
    sections = "".join(page_html(view, page, number, len(pages)) for number, page in enumerate(pages, 1))
    name = escape(f"{view['title']['subject']} {view['title']['show']}".strip())
    head = f'<meta charset="utf-8"><title>{name}</title><style>{STYLE}</style>'
    return f'<!DOCTYPE html>\n<html lang="en"><head>{head}</head>\n<body>{sections}</body></html>\n'


def blocks(view: SheetView) -> list[Block]:
    """Return the tables of a sheet in order; on the sheet of a box the outputs follow the inputs."""
    found: list[Block] = []
    for box in view["boxes"]:
        found += box_blocks(box, alone=view["about"] == "box")
    lines = [
        row_html(
            (one["line"], one["label"], one["source"], phantom_html(one["phantom"]), one["cable"], one["hole"], TICK),
            "",
        )
        for one in view["lines"]
    ]
    feeds = [
        row_html((one["feed"], one["label"], one["listener"], one["gear"], one["output"], TICK), "")
        for one in view["feeds"]
    ]
    cables = [
        row_html(
            (
                one["cable"],
                one["kind"],
                one["length"],
                one["begins"],
                one["ends"],
                TICK if one["state"] == "plugged" else one["state"],
            ),
            "",
        )
        for one in view["cables"]
    ]
    tables = (
        ("Sources here", LINE_HEADER, lines),
        ("Listeners here", FEED_HEADER, feeds),
        ("Cables with an end here", CABLE_HEADER, cables),
    )
    return found + [Block(heading, header, tuple(rows)) for heading, header, rows in tables if rows]


def box_blocks(box: BoxView, *, alone: bool) -> list[Block]:
    """Return the holes and the network ports of one device."""
    name = "" if alone else f"{box['device']} {box['kind']}"
    holes = [hole_html(row) for row in box["holes"] if alone or row["use"] != "unused"]
    holes += [] if alone else unused_html(box["holes"])
    ports = tuple(
        row_html(
            (
                row["port"],
                row["carries"],
                row["far"],
                row["cable"],
                row["extra"],
                TICK if row["use"] == "used" else row["use"],
            ),
            "unused" if row["use"] == "unused" else "",
            PORT_CLASSES,
        )
        for row in box["ports"]
    )
    found = [Block(name, HOLE_HEADER, tuple(holes))] if holes else []
    return found + ([Block("" if holes else name, PORT_HEADER, ports)] if ports else [])


def hole_html(row: HoleRow) -> str:
    """Return the row of one hole."""
    said = {"unused": "unused", "spare": f"SPARE {row['plugged'].removeprefix('spare').strip(', ')}".strip()}
    end = "" if row["use"] == "unused" else TICK if row["state"] in {"", "plugged"} else row["state"]
    cells = (
        row["hole"], WAYS[row["way"]], row["item"], row["label"], said.get(row["use"], row["plugged"]),
        phantom_html(row["phantom"]), row["cable"], row["channel"], row["strip"], end,
    )  # fmt: skip
    return row_html(cells, f"{row['way']} {row['use']}", HOLE_CLASSES)


def unused_html(rows: list[HoleRow]) -> list[str]:
    """Return the unused holes of a box as one row for each direction."""
    found: list[str] = []
    for way, word in WAYS.items():
        names = [row["hole"] for row in rows if row["use"] == "unused" and row["way"] == way]
        if names:
            found.append(
                row_html((compress(names), word, "", "", "unused", "", "", "", "", ""), "unused", HOLE_CLASSES)
            )
    return found


def phantom_html(word: str) -> str:
    """Return the mark for 48 V: framed where it is on."""
    return ON if word == "48V" else word


ON = '<span class="on">48 V</span>'
LETTERS_MAX = {"first": 12, "strong": 16, "long": 66, "small": 16, "": 18}  # what 196 mm hold, tried on paper
READY = frozenset({TICK, ON})
HOLE_CLASSES = ("first", "small", "strong", "strong", "long", "", "", "small", "", "tick")
PORT_CLASSES = ("first", "long", "", "", "", "tick")


def row_html(cells: Sequence[str], kind: str, classes: Sequence[str] = ()) -> str:
    """Return one row: the first cell biggest, the second strong, the last for the pencil."""
    chosen = classes or ("first", "strong", *[""] * (len(cells) - 3), "tick")
    parts = "".join(
        f'<td class="{name}">{cell if cell in READY else escape(fitted(cell, name))}</td>'
        for cell, name in zip(cells, chosen, strict=True)
    )
    return f'<tr class="{escape(kind)}">{parts}</tr>'


def fitted(text: str, kind: str) -> str:
    """Return a text cut so that no cell pushes another off the page; dots show the cut."""
    most = LETTERS_MAX.get(kind, LETTERS_MAX[""])
    return text if len(text) <= most else f"{text[: most - 3]}..."


def paged(all_blocks: Sequence[Block]) -> list[list[Block]]:
    """Return the tables page by page; a table that does not fit goes on, with its heading, on the next page."""
    pages: list[list[Block]] = [[]]
    for block in all_blocks:
        rows = block.rows
        while rows:
            room = rows_left(pages[-1], block)
            whole = rows_left([], block)
            if room < 1 or (pages[-1] and room < len(rows) <= whole):
                pages.append([])
                room = whole
            pages[-1].append(replace(block, rows=rows[:room]))
            rows = rows[room:]
    return pages


def rows_left(page: Sequence[Block], block: Block) -> int:
    """Return how many rows of a table still fit on a page, at their least height."""
    taken_mm = sum(head_mm(other) + len(other.rows) * ROW_HEIGHT_MM_MIN for other in page) + head_mm(block)
    return int((BODY_HEIGHT_MM - taken_mm) / ROW_HEIGHT_MM_MIN)


def head_mm(block: Block) -> float:
    """Return the height of a table's heading and header. [mm]"""
    return HEADER_HEIGHT_MM + (HEADING_HEIGHT_MM if block.heading else 0.0)


def page_html(view: SheetView, page: Sequence[Block], number: int, count: int) -> str:
    """Return one page with the title block and the cautions; its rows are as high as the page allows."""
    rows = sum(len(block.rows) for block in page) or 1
    free_mm = BODY_HEIGHT_MM - sum(head_mm(block) for block in page)
    height_mm = max(ROW_HEIGHT_MM_MIN, min(ROW_HEIGHT_MM_MAX, free_mm / rows))
    tables = "".join(block_html(block) for block in page)
    cautions = "".join(f"<p>{escape(text)}</p>" for text in view["cautions"])
    return (
        f'<section style="--row:{height_mm:.2f}mm">{title_html(view["title"], number, count)}{tables}'
        f"<footer>{cautions}</footer></section>\n"
    )


def title_html(title: TitleView, number: int, count: int) -> str:
    """Return the title block: what, where, which show, which version, which page."""
    plan = f'<br><span class="plan">{escape(title["plan"])}</span>' if title["plan"] else ""
    show = ", ".join(part for part in (title["show"], title["date"]) if part)
    version = f"version {title['version']}" if title["version"] else "no version"
    left = f"<b>{escape(title['subject'])}</b>{escape(title['kind'])}{plan}"
    right = (
        f"{escape('place ' + title['place'] if title['place'] else '')}<br>{escape(show)}<br>"
        f"{escape(version)}, content {title['content']}<br>page {number} of {count}"
    )
    return f"<header><div>{left}</div><div>{right}</div></header>"


def block_html(block: Block) -> str:
    """Return one table."""
    heading = f"<h2>{escape(block.heading)}</h2>" if block.heading else ""
    header = "".join(f"<th>{escape(name)}</th>" for name in block.header)
    return f"{heading}<table><thead><tr>{header}</tr></thead><tbody>{''.join(block.rows)}</tbody></table>"
