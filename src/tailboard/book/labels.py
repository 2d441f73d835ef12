"""Labels on sheets of label stock: each text as large as it fits, never cut, beside a code with the label's id."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tailboard.book.columns import Pt
from tailboard.book.pages import PAPERS, Imprint
from tailboard.book.setting import pdf_of
from tailboard.book.type import Signs, leftward
from tailboard.draw.breaking import broken_lines
from tailboard.draw.qr import qr_svg
from tailboard.findings import NOWHERE, Finding
from tailboard.model.show import Model
from tailboard.rules.printed import LABEL_TOO_SMALL
from tailboard.views.label_sheet import LabelView, record_of

Mm = float  # a length of label stock, as its makers write it [mm]
PT_PER_MM = 72 / 25.4
LEAST_PT = 7.0
STEPS_PT = (  # of the texts of a label: what is read first, here, far, more; the largest that fits, own choice
    (18.0, 13.0, 11.0, 9.0),
    (16.0, 12.0, 10.0, 8.0),
    (14.0, 10.0, 9.0, 7.0),
    (14.0, 9.0, 8.0, 7.0),
    (12.0, 8.0, 7.0, 7.0),
    (12.0, 7.0, 7.0, 7.0),
    (10.0, 7.0, 7.0, 7.0),
    (8.0, 7.0, 7.0, 7.0),
    (LEAST_PT, LEAST_PT, LEAST_PT, LEAST_PT),
)
LINE = 1.2  # from one line to the next, as a share of the type
INSET_MM = 1.6  # stock is cut, and printers feed, about a millimetre off: common practice, no source
SAID_MAX = 40  # letters of a text that a warning repeats
ROOMY_MM = 25.0  # labels that are lower say no more than what is read first and both ends, own choice
CODE_SHARE = 0.4  # of a label's width, at most, own choice: 20 modules of 0.4 mm and more can be read by a telephone
Sizes = tuple[float, float, float, float]
STOCKS: dict[
    str, dict[str, Sizes]
] = {  # columns x rows: width, height, gaps; sizes that many sheets have, from memory [mm]
    "a4": {
        "3x8": (70.0, 37.0, 0.0, 0.0),
        "2x7": (99.1, 38.1, 2.5, 0.0),
        "2x8": (99.1, 33.9, 2.5, 0.0),
        "3x7": (63.5, 38.1, 2.5, 0.0),
        "4x12": (45.7, 21.2, 2.5, 0.0),
        "5x13": (38.1, 21.2, 2.5, 0.0),
    },
    "letter": {
        "3x10": (66.7, 25.4, 3.2, 0.0),
        "2x5": (101.6, 50.8, 4.8, 0.0),
        "2x7": (101.6, 33.9, 4.8, 0.0),
    },
}
GRID = re.compile(
    r"(?P<columns>\d{1,2})x(?P<rows>\d{1,2})(?:,(?P<wide>\d+(?:\.\d+)?)x(?P<high>\d+(?:\.\d+)?)(?:,(?P<across>\d+(?:\.\d+)?)x(?P<down>\d+(?:\.\d+)?))?)?"
)


class GridError(Exception):
    """A label grid that cannot be; the text says why."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Label stock: how many labels, how large, how far apart; centred on the sheet. [mm]"""

    columns: int
    rows: int
    wide_mm: Mm
    high_mm: Mm
    across_mm: Mm = 0.0
    down_mm: Mm = 0.0


def grid_of(text: str, paper: str) -> Grid:
    """Return the grid that a text names: `3x8`, or with millimetres `3x8,70x37` or `3x8,70x37,0x0`. Raises GridError.

    An empty text means the first stock of that paper.
    """
    text = text or next(iter(STOCKS[paper]))
    found = GRID.fullmatch(text.strip())
    if not found:
        raise GridError(f"'{text}' is no grid of labels; write 3x8, or 3x8,70x37,0x0 with sizes and gaps in mm")
    name = f"{found['columns']}x{found['rows']}"
    stocks = STOCKS[paper]
    if found["wide"] is None and name not in stocks:
        raise GridError(
            f"the size of the labels of '{name}' on {paper} is not known (only of {', '.join(stocks)}); write it in mm, as in {name},60x30"
        )
    told = tuple(float(found[key] or 0) for key in ("wide", "high", "across", "down"))
    sizes = stocks[name] if found["wide"] is None else told
    grid = Grid(int(found["columns"]), int(found["rows"]), *sizes)
    page_wide, page_high = (side / PT_PER_MM for side in PAPERS[paper])
    wide = grid.columns * grid.wide_mm + (grid.columns - 1) * grid.across_mm
    high = grid.rows * grid.high_mm + (grid.rows - 1) * grid.down_mm
    if not grid.columns or not grid.rows or wide > page_wide + 0.1 or high > page_high + 0.1:
        raise GridError(f"{text} needs {wide:g} x {high:g} mm; {paper} has {page_wide:.0f} x {page_high:.0f} mm")
    if grid.wide_mm < 15 or grid.high_mm < 8:
        raise GridError(
            f"labels of {grid.wide_mm:g} x {grid.high_mm:g} mm hold no text of {LEAST_PT:g} pt beside a code"
        )
    return grid


@dataclass(frozen=True, slots=True)
class Fitted:
    """A label with its texts in lines: (text, size, bold); `whole` is false where not all of it fits. [pt]"""

    lines: tuple[tuple[str, Pt, bool], ...]
    code: Pt
    whole: bool


def labels_pdf(
    labels: Sequence[LabelView], imprint: Imprint, content: str, grid: Grid, start: int, model: Model
) -> tuple[bytes, Signs, list[Finding]]:
    """Return the label sheets, what could not be printed, and the labels that do not fit.

    start  the first free label of the first sheet, from 1; the sheets before it are used up already.
    """
    signs = Signs()
    signs.learn(text for label in labels for text in label.values() if isinstance(text, str))
    signs.learn([imprint.show, imprint.version])
    head: LabelView = {
        "id": f"labels {content}",
        "big": "labels",
        "here": f"sum {content}",
        "far": imprint.supersedes,
        "more": f"{imprint.show}, {imprint.version}, made {imprint.stamp}",
    }
    made, findings = [], list[Finding]()
    for label in (head, *labels):
        fitted = fit(label, grid, signs)
        if not fitted.whole and label is not head:
            findings.append(misfit(label, grid, model))
        made.append(label_data(label, fitted))
    document = {
        "title": f"{signs.shown(imprint.show)}: labels",
        "paper": list(PAPERS[imprint.paper]),
        "inset": INSET_MM * PT_PER_MM,
        "wide": grid.wide_mm * PT_PER_MM,
        "high": grid.high_mm * PT_PER_MM,
        "pages": list(sheets_of(made, grid, start, imprint.paper)),
    }
    return pdf_of("labels.typ", document, imprint.seconds), signs, findings


def fit(label: LabelView, grid: Grid, signs: Signs) -> Fitted:
    """Return a label in the largest type in which all of it fits."""
    wide, high = ((side - 2 * INSET_MM) * PT_PER_MM for side in (grid.wide_mm, grid.high_mm))
    code = min(high, wide * CODE_SHARE)
    keys = ("big", "here", "far", "more") if grid.high_mm >= ROOMY_MM else ("big", "here", "far")
    texts = {key: signs.shown(label[key]) for key in keys}  # type: ignore[literal-required]  # fields of a label
    found = Fitted((), code, whole=False)
    for sizes in STEPS_PT:
        lines: list[tuple[str, Pt, bool]] = []
        for (key, text), size in zip(texts.items(), sizes, strict=False):
            bold = key in {"big", "here"}
            lines += [(line, size, bold) for line in broken_lines(text, wide - code - 4, size, bold=bold)]
        found = Fitted(tuple(lines), code, whole=sum(size * LINE for _, size, _ in lines) <= high)
        if found.whole and (sizes == STEPS_PT[-1] or spared(texts, lines)):
            return found
    kept: list[tuple[str, Pt, bool]] = []
    for line in found.lines:
        if sum(size * LINE for _, size, _ in (*kept, line)) > high:
            break
        kept.append(line)
    return found if found.whole else Fitted((*kept[:-1], ("... more", LEAST_PT, True)), code, whole=False)


def spared(texts: Mapping[str, str], lines: Sequence[tuple[str, Pt, bool]]) -> bool:
    """Return whether no word of a label is broken over two lines."""
    words = {word for text in texts.values() for word in text.split()}
    return all(word in words for line, _, _ in lines for word in line.split())


def misfit(label: LabelView, grid: Grid, model: Model) -> Finding:
    """Return the finding for a label whose text does not fit."""
    record = record_of(model, label["id"])
    spot = record.at.spot() if record is not None else NOWHERE
    size = f"{grid.wide_mm:g} x {grid.high_mm:g} mm"
    texts = (label["big"], label["here"], label["far"])
    said = ", ".join(f"'{text if len(text) <= SAID_MAX else text[:SAID_MAX] + '...'}'" for text in texts)
    return LABEL_TOO_SMALL.finding(
        tuple(label["id"].split(" ", 1)),
        spot,
        f"the label of {label['id']} does not fit on {size} at {LEAST_PT:g} pt: {said}",
        "use larger labels (--labels), or shorter names",
    )


def label_data(label: LabelView, fitted: Fitted) -> dict[str, Any]:
    """Return one label for the template."""
    return {
        "code": qr_svg(label["id"]),
        "side": fitted.code,
        "lines": [{"t": text, "s": size, "b": bold, "r": leftward(text)} for text, size, bold in fitted.lines],
    }


def sheets_of(labels: Sequence[dict[str, Any]], grid: Grid, start: int, paper: str) -> Iterator[list[dict[str, Any]]]:
    """Yield the labels of each sheet with their places, row by row. [pt]"""
    page_wide, page_high = PAPERS[paper]
    step_x, step_y = (
        (size + gap) * PT_PER_MM for size, gap in ((grid.wide_mm, grid.across_mm), (grid.high_mm, grid.down_mm))
    )
    left = (page_wide - grid.columns * step_x + grid.across_mm * PT_PER_MM) / 2
    top = (page_high - grid.rows * step_y + grid.down_mm * PT_PER_MM) / 2
    count = grid.columns * grid.rows
    sheet: list[dict[str, Any]] = []
    for number, label in enumerate(labels, start - 1):
        row, column = divmod(number % count, grid.columns)
        sheet.append({**label, "x": left + column * step_x, "y": top + row * step_y})
        if number % count == count - 1:
            yield sheet
            sheet = []
    if sheet:
        yield sheet
