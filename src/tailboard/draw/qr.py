"""A QR code as one path, in steps of one module, its quiet zone included (ISO/IEC 18004)."""

from __future__ import annotations

from functools import cache

import segno

QUIET = 4  # modules of white around it: ISO/IEC 18004, from memory
BYTES_MAX = 2000  # a code of level M holds 2,331 bytes: ISO/IEC 18004 table 7, from memory
ERROR = "m"  # 15 % of it may be lost to dirt


@cache
def qr_svg(text: str) -> str:
    """Return the code of a text as SVG, one unit a module.

    The mask is always the first one: trying all eight costs ten times the time and readers do not need it.
    """
    said = text if len(text.encode()) <= BYTES_MAX else text[: BYTES_MAX // 4]
    alphabet = None if said.isascii() else "utf-8"  # told to the reader, who would guess otherwise
    code = segno.make(
        said, micro=False, error=ERROR, boost_error=False, mask=0, encoding=alphabet, eci=alphabet is not None
    )
    rows = [[bool(module) for module in row] for row in code.matrix]
    side = len(rows) + 2 * QUIET
    path = "".join(runs(row, number + QUIET) for number, row in enumerate(rows))
    return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}"><path d="{path}"/></svg>'


def runs(row: list[bool], y: int) -> str:
    """Return the dark runs of one row as a path."""
    found, x = "", 0
    while x < len(row):
        end = x
        while end < len(row) and row[end]:
            end += 1
        if end > x:
            found += f"M{x + QUIET} {y}h{end - x}v1h-{end - x}z"
        x = end + 1
    return found
