"""The four signs of a status, each always with its word, and what the terminal must not be sent."""

from __future__ import annotations

from unicodedata import combining, east_asian_width

SIGNS = {
    "holds": "━━━",
    "holds if": "┄┄┄",
    "broken": "━ ━",
    "open": "▭",
    "none listed": "-",
    "box": "☐",
    "join": "──",
    "rule": "─",
}
PLAIN_SIGNS = {
    "holds": "===",
    "holds if": "...",
    "broken": "= =",
    "open": "[ ]",
    "none listed": "-",
    "box": "[ ]",
    "join": "--",
    "rule": "-",
}
SIGN_WIDTH = 3
HARMFUL = {
    **dict.fromkeys(range(0x20), " "),  # a control character may move the cursor or clear the screen
    **dict.fromkeys(range(0x7F, 0xA0), " "),
    **dict.fromkeys(range(0x202A, 0x202F), " "),  # these turn the direction of a text and hide what is written
    **dict.fromkeys(range(0x2066, 0x206A), " "),
    0x2028: " ",
    0x2029: " ",
    0xFEFF: " ",
}


def clean(text: str) -> str:
    """Return a text of the user's without characters that would act on a terminal; each becomes one blank."""
    return text if text.isascii() and text.isprintable() else text.translate(HARMFUL)


def width_of(text: str) -> int:
    """Return how many columns a text takes on a terminal."""
    if text.isascii():
        return len(text)
    return sum(0 if combining(sign) else 2 if east_asian_width(sign) in "WF" else 1 for sign in text)


def cut(text: str, width: int, dots: str = "...") -> str:
    """Return a text cut to a width in columns, the cut shown by dots."""
    if width_of(text) <= width:
        return text
    kept = ""
    for sign in text:
        if width_of(kept + sign) > width - len(dots):
            break
        kept += sign
    return kept + dots


def padded(text: str, width: int) -> str:
    """Return a text filled up with blanks to a width in columns."""
    return text + " " * (width - width_of(text))
