"""A text in lines that fit: words stay whole where they can, a word that is too long is broken."""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.draw.measure import Px, clean, text_width, wrapped


def broken_lines(text: str, room: Px, size: Px, *, bold: bool = False) -> list[str]:
    """Return a text in lines of which none is wider than the room, unless a single sign is."""
    if text_width(text, size, bold=bold) <= room and text.isprintable():
        return [text] if text.strip() else []
    lines: list[str] = []
    for line in wrapped(clean(text), room, size, len(text), bold=bold):
        lines += pieces(line, room, size, bold=bold)
    return lines


def pieces(word: str, room: Px, size: Px, *, bold: bool) -> Iterator[str]:
    """Yield a word in pieces that fit."""
    piece, used = "", 0.0
    for sign in word:
        wide = text_width(sign, size, bold=bold)
        if piece and used + wide > room:
            yield piece
            piece, used = "", 0.0
        piece, used = piece + sign, used + wide
    yield piece
