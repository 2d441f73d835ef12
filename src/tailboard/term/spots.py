"""A place on the terminal: file, line and column, the line of text, and carets under the stretch."""

from __future__ import annotations

from tailboard.term.page import FAINT, Page
from tailboard.term.signs import clean, cut, width_of
from tailboard.views.places import PlaceView, ReasonView

INDENT = 4
TEXT_INDENT = 8


def show_place(page: Page, place: PlaceView) -> None:
    """Add a place with its line of text and carets."""
    if not place["at"]:
        return
    page.say(place["at"], INDENT)
    text = clean(place["text"])
    if not text.strip():
        return
    begin, end = stretch(place, text)
    room = page.style.width - TEXT_INDENT
    text, begin, end = window(text, begin, end, room)
    page.put(" " * TEXT_INDENT + text)
    if end > begin:
        carets = "^" * max(1, width_of(text[begin:end]))
        page.put(" " * (TEXT_INDENT + width_of(text[:begin])) + carets, FAINT)


def stretch(place: PlaceView, text: str) -> tuple[int, int]:
    """Return where the stretch begins and ends in the text; an empty one where the whole line is meant."""
    if not place["column"]:
        return 0, 0
    begin = min(place["column"] - 1, len(text))
    return begin, min(begin + max(place["width"], 1), max(len(text), begin + 1))


def window(text: str, begin: int, end: int, room: int) -> tuple[str, int, int]:
    """Return the part of a line that shows the stretch within `room` columns, and where the stretch lies in it."""
    lead = min(len(text) - len(text.lstrip()), begin if end > begin else len(text))
    text, begin, end = text[lead:].rstrip(), begin - lead, end - lead
    if width_of(text) <= room:
        return text, begin, end
    if width_of(text[:end]) > room - 3:
        skip = max(0, begin - room // 3)
        text, begin, end = "..." + text[skip:], begin - skip + 3, end - skip + 3
    text = cut(text, room)
    return text, begin, min(end, len(text))


def show_reasons(page: Page, reasons: list[ReasonView]) -> None:
    """Add the other places of a finding, each with its words."""
    for reason in reasons:
        at = reason["place"]["at"]
        if at:
            page.tell(f"{at}  ", reason["words"], INDENT)
        else:
            page.say(reason["words"], INDENT)
