"""How wide the columns of a table are, how large its type is, and where a long word may break."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from tailboard.draw.measure import text_width
from tailboard.views.sheets.records import Column, Table

Pt = float  # a length on paper [pt]: 72 to the inch
Share = float  # a part of the width, beside those of the other columns

BIG_PT = 25.0  # the number to plug by: 15 minutes of arc at a metre are 4.4 mm, and a digit is 0.72 of its type
SIZES_PT = (10.0, 9.0, 8.0, 7.5)  # of the type in a table, the largest that spares its words from breaking
PLAIN_LEAST_PT = 7.5
BESIDE_BIG_PT = 12.0  # beside the number to plug by
HEAD_PT = 7.5
PAD_PT = 3.0  # on each side of a cell's text
PENCIL_PT = 52.0  # least room to write initials or a figure by hand: 18 mm, own choice
MARK_PT = 44.0  # the column of the word 'changed'
SHORT_MAX = 7  # letters of a text that is never wrapped: '-12.5 V', own choice
HARD_SPACE = "\N{NO-BREAK SPACE}"
BREAK = "\N{ZERO WIDTH SPACE}"
STATUSES = ("holds", "holds if", "broken", "open", "none listed")
SIGN_ROOM = "mmm"  # as wide as a drawn sign
PARTS = re.compile(r"(?<=[/_.,:;~+=\-])")


@cache
def width_pt(text: str, size: Pt, bold: bool = False) -> Pt:
    """Return the most room that a text takes. [pt]"""
    return text_width(text, size, bold=bold)


def word_pt(text: str, size: Pt, bold: bool = False) -> Pt:
    """Return the room of the longest word of a text. [pt]"""
    return max((width_pt(word, size, bold) for word in text.split(" ")), default=0.0)


def tight(text: str) -> str:
    """Return a text that does not wrap where it is short: '48 V' stays on one line."""
    return text.replace(" ", HARD_SPACE) if len(text) <= SHORT_MAX else text


def breakable(text: str, room: Pt, size: Pt, bold: bool = False) -> str:
    """Return a text whose words may break where they would not fit: after a sign of division, else anywhere."""
    if width_pt(text, size, bold) <= room:
        return text
    return " ".join(broken(word, room, size, bold) for word in text.split(" "))


def broken(word: str, room: Pt, size: Pt, bold: bool) -> str:
    """Return one word with the places at which it may break."""
    if width_pt(word, size, bold) <= room:
        return word
    parts = PARTS.split(word)
    return BREAK.join(part if width_pt(part, size, bold) <= room else BREAK.join(part) for part in parts if part)


def sizes_of(table: Table, room: Pt) -> tuple[Pt, list[Pt]]:
    """Return the size of a table's type and the widths of its columns, which fill the room together. [pt]"""
    big = any(column.big for column in table.columns)
    for size in (BESIDE_BIG_PT, *SIZES_PT) if big else SIZES_PT:
        least, most = needs(table, size)
        if sum(least) <= room or size == PLAIN_LEAST_PT:
            shares = [float(column.share) for column in table.columns]
            drawn = [20.0 * column.share if column.pencil else 0.0 for column in table.columns]
            roomy = [wide + more for wide, more in zip(most, drawn, strict=True)]
            return size, shared(least, (most, roomy), shares, room)
    raise AssertionError("unreachable: the least size is always taken")


def needs(table: Table, size: Pt) -> tuple[list[Pt], list[Pt]]:
    """Return for each column the room of its longest word, and of its longest text on one line. [pt]"""
    least: list[Pt] = []
    most: list[Pt] = []
    for index, column in enumerate(table.columns):
        own, bold = type_of(column, index, table, size)
        texts = {
            f"{SIGN_ROOM}{row.cells[index]}" if signed(row.cells[index]) else row.cells[index] for row in table.rows
        }
        head = column.head or column.key
        floor = PENCIL_PT if column.pencil else 0.0
        widen = 1.0 if not column.exact else 1.1  # a fixed width is wider
        least.append(
            max([floor, word_pt(head, HEAD_PT, True), *(word_pt(text, own, bold) * widen for text in texts)])
            + 2 * PAD_PT
        )
        most.append(max([least[-1], *(width_pt(text, own, bold) * widen + 2 * PAD_PT for text in texts)]))
    return least, most


def signed(text: str) -> bool:
    """Return whether a text is printed behind a sign."""
    return bool(status_of(text))


def status_of(text: str) -> str:
    """Return the status that a text says or begins with: `broken`, `holds if: the figures are true`; else nothing."""
    word = text.partition(":")[0]
    return word if word in STATUSES else ""


def type_of(column: Column, index: int, table: Table, size: Pt) -> tuple[Pt, bool]:
    """Return the size of a column's type and whether it is bold: the number to plug by, and what stands first."""
    if column.big:
        return BIG_PT, True
    return size, index == 0 or (index == 1 and table.columns[0].big)


def shared(least: Sequence[Pt], wishes: Sequence[Sequence[Pt]], shares: Sequence[Share], room: Pt) -> list[Pt]:
    """Return widths that fill a room: none below its least where that can be, then each wish in turn, by shares."""
    if sum(least) > room:
        return squeezed(least, room)
    widths = list(least)
    for limit in (*wishes, [room] * len(widths)):
        while (rest := room - sum(widths)) > 0.01:
            open_columns = [index for index, width in enumerate(widths) if width < limit[index] - 0.01]
            total = sum(shares[index] for index in open_columns)
            if not total:
                break
            for index in open_columns:
                widths[index] = min(limit[index], widths[index] + rest * shares[index] / total)
    return widths


def squeezed(least: Sequence[Pt], room: Pt) -> list[Pt]:
    """Return widths where not every longest word fits: the narrow ones keep theirs, the wide ones share the rest."""
    left, widths = room, [0.0] * len(least)
    order = sorted(range(len(least)), key=lambda index: least[index])
    for place, index in enumerate(order):
        widths[index] = min(least[index], left / (len(order) - place))
        left -= widths[index]
    return widths
