"""How wide a text is at most, whatever sans-serif font a reader has, and a text shortened to the room it has."""

from __future__ import annotations

Px = float  # a length, or a coordinate from the upper left corner, in px: 96 to the inch

# Advance widths of the signs 32 to 126 in thousandths of the size: DejaVu Sans and its bold, read from their hmtx tables.
# They are wider than the fonts named before them in FONTS, so a text that fits by them fits.
REGULAR = (
    318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636, 636,
    636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,
    603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635,
    634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
)  # fmt: skip
BOLD = (
    348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696, 696, 696, 696, 696,
    696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995, 837, 850,
    733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716,
    712, 343, 343, 665, 343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
)  # fmt: skip
FONTS = "'Liberation Sans', Arial, Helvetica, 'DejaVu Sans', sans-serif"
ALPHABET = 1150  # other signs below U+2000, letters of most alphabets: own choice, above what was measured
WIDE = 1500  # every other sign, also the wide ones of East Asia and pictographs: own choice, above what was measured
MORE = "…"
UNSEEN = "\N{REPLACEMENT CHARACTER}"


def clean(text: str) -> str:
    """Return a text without signs that act or cannot stand in XML; each is shown as a replacement, none is left out."""
    return "".join(sign if sign.isprintable() else " " if sign.isspace() else UNSEEN for sign in text)


def text_width(text: str, size: Px, *, bold: bool = False) -> Px:
    """Return the most room that a text takes. [px]"""
    table = BOLD if bold else REGULAR
    total = 0
    for sign in text:
        code = ord(sign)
        total += table[code - 32] if 32 <= code < 127 else ALPHABET if code < 0x2000 or sign in "…–—−·→←" else WIDE
    return total * size / 1000


def fitted(text: str, room: Px, size: Px, *, bold: bool = False) -> str:
    """Return a text as it fits: whole, or shortened with a sign at its end that says so."""
    if text_width(text, size, bold=bold) <= room:
        return text
    kept = ""
    for sign in text:
        if text_width(kept + sign + MORE, size, bold=bold) > room:
            break
        kept += sign
    return kept.rstrip() + MORE


def wrapped(text: str, room: Px, size: Px, most: int = 9, *, bold: bool = False) -> list[str]:
    """Return a text in lines that fit, at most so many; what is left over ends the last line, which may be too long."""
    lines: list[str] = []
    for word in text.split():
        if lines and (len(lines) == most or text_width(f"{lines[-1]} {word}", size, bold=bold) <= room):
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
