"""A PDF as somebody holds it: the text of each page, every letter with its size and box, the page as a picture."""

from __future__ import annotations

import ctypes
import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import pypdfium2  # type: ignore[import-untyped]
import pypdfium2.raw as pdfium  # type: ignore[import-untyped]

SET_PT = 1.0  # letters of one line may be set so far into one another, as two slashes are


@dataclass(frozen=True, slots=True)
class Letter:
    """One letter: its size of type and its box, from the lower left corner of the page. [pt]"""

    sign: str
    size_pt: float
    left: float
    bottom: float
    right: float
    top: float


@dataclass(slots=True)
class Page:
    """One page. [pt]"""

    width: float
    height: float
    text: str
    letters: list[Letter] = field(default_factory=list)
    rects: list[tuple[float, float, float, float]] = field(default_factory=list)

    @property
    def words(self) -> str:
        """The text on one line, without the marks where a word may break."""
        return " ".join(self.text.replace("\u200b", "").replace("\ufffe", "").split())


def pages_of(data: bytes) -> list[Page]:
    """Return the pages of a PDF."""
    document = pypdfium2.PdfDocument(data)
    found = []
    for number in range(len(document)):
        page = document[number]
        text = page.get_textpage()
        rects = [text.get_rect(index) for index in range(text.count_rects())]
        found.append(Page(page.get_width(), page.get_height(), text.get_text_range(), list(letters_of(text)), rects))
    document.close()
    return found


def letters_of(text: pypdfium2.PdfTextPage) -> Iterator[Letter]:
    """Yield the letters of a page that leave ink."""
    for index in range(text.count_chars()):
        sign = chr(pdfium.FPDFText_GetUnicode(text.raw, index))
        if sign.isspace() or not sign.isprintable() or sign in "\u200b\ufffe":
            continue
        matrix = pdfium.FS_MATRIX()
        pdfium.FPDFText_GetMatrix(text.raw, index, ctypes.byref(matrix))
        size = pdfium.FPDFText_GetFontSize(text.raw, index) * math.hypot(matrix.b, matrix.d)
        yield Letter(sign, size, *text.get_charbox(index))


def overlaps(page: Page) -> list[tuple[str, str]]:
    """Return pairs of lines of text that lie on one another by more than a tenth of the smaller."""
    found = []
    rects = sorted(page.rects, key=lambda rect: -rect[3])
    for number, one in enumerate(rects):
        for other in rects[number + 1 :]:
            if other[3] <= one[1]:
                continue
            wide = min(one[2], other[2]) - max(one[0], other[0])
            high = min(one[3], other[3]) - max(one[1], other[1])
            if wide > SET_PT and high > SET_PT and wide * high > 0.1 * min(area(one), area(other)):
                found.append((str(one), str(other)))
    return found


def area(rect: tuple[float, float, float, float]) -> float:
    """Return the area of a box."""
    return (rect[2] - rect[0]) * (rect[3] - rect[1])
