"""`meets` on the terminal: whether two things meet, and each cable on the way with the tag on it."""

from __future__ import annotations

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.views.meets import MeetsView, WayView


def meets_page(view: MeetsView, style: Style) -> str:
    """Return the page of `meets`."""
    page = Page(style)
    verb = "meets" if view["meet"] else "does not meet"
    page.say(f"{view['first']} {verb} {view['second']}", 0, 4, BOLD)
    if not view["ways"]:
        page.say("No frame and no packet gets from one into the other, as planned.", 4)
    for way in view["ways"]:
        page.blank()
        show_way(page, way)
    return page.text()


def show_way(page: Page, way: WayView) -> None:
    """Add one way."""
    sign = page.style.sign("holds" if way["arrives"] else "broken")
    on = f"on {way['vlan']}: " if way["vlan"] else ""
    page.tell(f"{sign} ", f"{on}{way['begins']} to {way['ends']}", 0, "" if way["arrives"] else ACCENT)
    for hop in way["hops"]:
        page.say(hop["words"], 4, 6)
    for sentence in way["routers"]:
        page.say(sentence, 4, 6)
    if way["stop"]:
        at = f" ({way['place']['at']})" if way["place"] else ""
        page.say(f"{way['stop']}{at}", 4, 6)
