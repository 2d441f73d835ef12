"""`origins` on the terminal: each thing with its values and where they came from."""

from __future__ import annotations

from tailboard.term.page import BOLD, FAINT, Page, Style
from tailboard.term.signs import clean, cut, padded, width_of
from tailboard.views.origins import OriginsView, ThingView, ValueView

NAME_WIDTH_MIN, NAME_WIDTH_MAX = 12, 26


def origins_page(view: OriginsView, style: Style) -> str:
    """Return the page of `origins`."""
    page = Page(style)
    for section in view["sections"]:
        page.blank()
        page.put(section["section"].upper(), BOLD)
        for thing in section["things"]:
            show_thing(page, thing)
    return page.text()


def show_thing(page: Page, thing: ThingView) -> None:
    """Add one thing with its values."""
    at = thing["place"]["at"]
    gap = max(2, page.style.width - 2 - width_of(thing["id"]) - width_of(at))
    page.put(f"  {clean(thing['id'])}{' ' * gap}{at}")
    before = at
    names = [width_of(value["name"]) for value in thing["values"]]
    width = min(max([NAME_WIDTH_MIN, *names]), NAME_WIDTH_MAX)
    for value in thing["values"]:
        show_value(page, value, before, width)
        before = value["place"]["at"] or before


def show_value(page: Page, value: ValueView, before: str, width: int) -> None:
    """Add one value: name, value and, on the right, where it is written or how it came to be."""
    name = padded(cut(clean(value["name"]), width), width)
    origin = value["place"]["at"] if value["how"] == "written" else value["how"]
    text = clean(value["value"])
    room = page.style.width - 4 - width - 2
    if width_of(text) + 2 + width_of(origin) <= room:
        gap = room - width_of(text) - width_of(origin)
        page.put(f"    {name}  {text}{' ' * gap}{origin}")
        return
    page.tell(f"    {name}  ", text)
    at = value["place"]["at"]
    words = origin if origin == at or at in {"", before} else f"{origin} ({at})"
    page.say(words, 6 + width, 6 + width, FAINT)
