"""A table on the terminal: columns as wide as their content, one of them wrapped where the page is too narrow."""

from __future__ import annotations

from collections.abc import Sequence

from tailboard.term.page import BOLD, Page, wrapped
from tailboard.term.signs import clean, cut, padded, width_of

GAP = 2
FLEXIBLE_MIN = 8


def show_table(
    page: Page, header: Sequence[str], rows: Sequence[Sequence[str]], flexible: int, indent: int = 0
) -> None:
    """Add a table; the cells of column `flexible` are wrapped, those of the others are cut only if nothing else helps.

    Columns without any content are left out, the first and the flexible one never.
    """
    texts = [[clean(cell) for cell in row] for row in rows]
    kept = [
        number
        for number in range(len(header))
        if number in {0, flexible} or not header[number] or any(row[number] for row in texts)
    ]
    widths = {number: max(width_of(header[number]), *(width_of(row[number]) for row in texts), 1) for number in kept}
    room = page.style.width - indent - GAP * (len(kept) - 1)
    while sum(widths.values()) > room and widths[flexible] > FLEXIBLE_MIN:
        widths[flexible] -= 1
    while sum(widths.values()) > room:
        widest = max(widths, key=lambda number: widths[number])
        widths[widest] -= 1
    page.put(joined([header[number] for number in kept], kept, widths, indent), BOLD)
    for row in texts:
        parts = wrapped(row[flexible], widths[flexible]) or [""]
        for number, part in enumerate(parts):
            cells = [part if column == flexible else row[column] if number == 0 else "" for column in kept]
            page.put(joined(cells, kept, widths, indent))


def joined(cells: Sequence[str], kept: Sequence[int], widths: dict[int, int], indent: int) -> str:
    """Return the cells of one row side by side."""
    parts = [padded(cut(cell, widths[number], ""), widths[number]) for cell, number in zip(cells, kept, strict=True)]
    return " " * indent + (" " * GAP).join(parts)
