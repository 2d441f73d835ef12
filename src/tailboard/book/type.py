"""The type of the book: its fonts, and the signs that none of them has."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache

import fontpkg
import typst

from tailboard.draw.measure import UNSEEN, clean

FAMILY = "Atkinson Hyperlegible"  # made to be told apart at a distance
BEHIND = "Noto Sans"  # other scripts; every further font package whose name begins so is used too
WIDE = re.compile(r"[\x20-\x7e]?[^\x00-\x7f]+")  # with the letter before it, which marks may belong to
JOINER = "\N{ZERO WIDTH JOINER}"
PROBE = b'#set page(width: auto, height: auto)\n#set text(font: "Atkinson Hyperlegible")\n#sys.inputs.data'


@cache
def fonts() -> typst.Fonts:
    """Return the fonts that the book may use: those of the font packages and those inside the typesetter."""
    names = [FAMILY, *sorted(name for name in family_names() if name.startswith(BEHIND))]
    folders = dict.fromkeys(str(fontpkg.path(name).parent) for name in names)
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=list(folders))


def family_names() -> list[str]:
    """Return the font families that are installed as packages."""
    return [family.name for family in fontpkg.families().values()]


@cache
def compiler() -> typst.Compiler:
    """Return the typesetter; reused, for making one costs more than setting a page."""
    return typst.Compiler(font_paths=fonts(), ignore_system_fonts=True)


def clusters(text: str) -> list[str]:
    """Return a text in signs as they are set: a letter with its marks is one, joined pictographs are one."""
    found: list[str] = []
    for sign in text:
        joined = found and (unicodedata.category(sign)[0] == "M" or sign == JOINER or found[-1].endswith(JOINER))
        if joined:
            found[-1] += sign
        else:
            found.append(sign)
    return found


def can_set(text: str) -> bool:
    """Return whether some font has every sign of a text: PDF/A refuses to show one that no font has."""
    try:
        compiler().compile(PROBE, format="pdf", sys_inputs={"data": text}, pdf_standards="a-2b", timestamp=0)
    except typst.TypstError:
        return False
    return True


def unknown(signs: Sequence[str]) -> set[str]:
    """Return the signs that no font has: all at once where there is none, else by halves."""
    if not signs or can_set(" ".join(signs)):
        return set()
    if len(signs) == 1:
        return set(signs)
    half = len(signs) // 2
    return unknown(signs[:half]) | unknown(signs[half:])


@dataclass(slots=True)
class Signs:
    """Texts as they can be printed. `missing`: the signs that no font has, for each the mark that stands for it."""

    known: set[str] = field(default_factory=set)
    missing: set[str] = field(default_factory=set)

    def learn(self, texts: Iterable[str]) -> None:
        """Find out which signs of some texts can be printed."""
        wide = {run for text in texts if not text.isascii() for run in WIDE.findall(text)}
        fresh = sorted({sign for run in wide for sign in clusters(clean(run))} - self.known - self.missing)
        lost = unknown([sign for sign in fresh if not sign.isascii() and not sign.isspace()])
        self.missing |= lost
        self.known.update(set(fresh) - lost)

    def shown(self, text: str) -> str:
        """Return a text as it is printed; a sign that no font has is printed as a mark that cannot be overlooked."""
        if text.isascii() and text.isprintable():
            return text
        cleaned = clean(text)
        if self.missing and not cleaned.isascii():
            return "".join(UNSEEN if sign in self.missing else sign for sign in clusters(cleaned))
        return cleaned


def leftward(text: str) -> bool:
    """Return whether a text runs from right to left: its first letter says so (Unicode UAX 9, rules P2 and P3)."""
    for sign in text if not text.isascii() else "":
        match unicodedata.bidirectional(sign):
            case "R" | "AL":
                return True
            case "L":
                return False
            case _:
                continue
    return False
