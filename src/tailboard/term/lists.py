"""`free` and `names` on the terminal."""

from __future__ import annotations

from tailboard.term.page import BOLD, Page, Style
from tailboard.term.table import show_table
from tailboard.units.wording import counted
from tailboard.views.free import FreeDocument
from tailboard.views.names import NamesView


def free_page(view: FreeDocument, style: Style) -> str:
    """Return the page of `free`."""
    page = Page(style)
    page.put(
        f"Free {'at' if view['about'] == 'place' else 'on' if view['about'] == 'device' else 'in'} {view['subject']}",
        BOLD,
    )
    rows = [
        (one["of"], one["what"], one["next"] or "none left", one["words"] if one["next"] else "")
        for one in view["free"]
    ]
    if rows:
        show_table(page, ("", "what", "next", "all that is free"), rows, 3)
    else:
        page.say("nothing: no hole, output, strip or port is left", 4)
    if view["about"] == "vlan" and any(one["what"] == "addresses" for one in view["free"]):
        page.say("Of the addresses the next few are listed; those of a DHCP range are left out.")
    return page.text()


def names_page(view: NamesView, style: Style) -> str:
    """Return the page of `names`."""
    page = Page(style)
    shows = (
        f"its display shows {counted(view['display'], 'letter')}"
        if view["display"]
        else "length of its display unknown"
    )
    page.put(f"Names to type into {view['device']}", BOLD)
    page.say(f"{view['kind']}: {shows}" if view["kind"] else shows, 4)
    rows = [(one["at"], one["shown"] or "-", one["owner"], one["full"] if one["cut"] else "") for one in view["names"]]
    if rows:
        show_table(page, ("at", "type", "for", "in full"), rows, 3)
    else:
        page.say("nothing: no line or feed has a name on it", 4)
    return page.text()
