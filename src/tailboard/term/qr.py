"""A QR code on the terminal: two modules a character, dark on light whatever colours the terminal has."""

from __future__ import annotations

from tailboard.draw.qr_modules import modules

QUIET = 2  # modules of white around it: less than on paper, a bright screen needs less; common practice, no source
HALVES = {(False, False): "\u2588", (False, True): "\u2580", (True, False): "\u2584", (True, True): " "}
"""Light is drawn, dark is left: (upper, lower) to the sign. On a light terminal scanners read the inverse too."""


def terminal_code(text: str, plain: bool) -> str:
    """Return the code as lines of text; with `plain` signs of ASCII alone, twice as large."""
    rows = modules(text)
    side = len(rows) + 2 * QUIET
    blank = [[False] * side for _ in range(QUIET)]
    full = [*blank, *([False] * QUIET + row + [False] * QUIET for row in rows), *blank]
    if plain:
        return "\n".join("".join("  " if dark else "##" for dark in row) for row in full)
    full += [[False] * side] if len(full) % 2 else []
    return "\n".join(
        "".join(HALVES[upper, lower] for upper, lower in zip(full[at], full[at + 1], strict=True))
        for at in range(0, len(full), 2)
    )
