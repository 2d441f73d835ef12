"""A QR code as rows of modules, for a face that draws with signs instead of lines."""

from __future__ import annotations

import segno

from tailboard.draw.qr import ERROR


def modules(text: str) -> list[list[bool]]:
    """Return the code of a text, row by row, without its quiet zone; True is dark."""
    code = segno.make(text, micro=False, error=ERROR, boost_error=False)
    return [[bool(module) for module in row] for row in code.matrix]
