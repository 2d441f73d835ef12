"""`trace` of one source on the terminal: where it ends up, in sentences."""

from __future__ import annotations

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.signs import padded
from tailboard.units.wording import listed
from tailboard.views.ends import EndsView, EndView

WORD_WIDTH = 9
NAMED_MAX = 8


def ends_page(view: EndsView, style: Style) -> str:
    """Return the page."""
    page = Page(style)
    page.say(f"{view['source']} {view['what']}".strip() + " ends up", 0, 0, BOLD)
    for mix in view["mixes"]:
        words = f"in bus {mix['bus']}" + (f", by {mix['by']}" if mix["by"] != view["source"] else "")
        page.say(words + (", which goes to air" if mix["on_air"] else ""), 4, 6)
    if not view["mixes"]:
        page.say("in no bus", 4, 6)
    for word, ends in (("always", view["always"]), ("on key", view["on_key"]), ("planned", view["planned"])):
        for group in together(ends):
            page.blank()
            show_ends(page, word, group)
    if not view["always"] and not view["on_key"]:
        page.blank()
        page.say("Nobody hears it by a way that works.", 4)
    if view["kept_out"]:
        page.blank()
        ears = f"{listed(view['kept_out'], NAMED_MAX)} would hear it too, if {listed(view['rests'])} were no fact"
        page.tell(f"{style.sign('holds if')} {padded('kept out', WORD_WIDTH)}", ears)
    page.blank()
    page.tell(f"{style.sign('holds')} {padded('never', WORD_WIDTH)}", view["never"] or "everybody can hear it")
    return page.text()


def together(ends: list[EndView]) -> list[list[EndView]]:
    """Return the ears that it comes to by the same mixes and equally late, together."""
    groups: dict[tuple[str, ...], list[EndView]] = {}
    for end in ends:
        way = end["way"]
        key = mixes_of(end), way["delay"], "?" if way["missing"] else "", way["stop"]["words"] if way["stop"] else ""
        groups.setdefault(key, []).append(end)
    return list(groups.values())


def mixes_of(end: EndView) -> str:
    """Return the way in short up to the ear's own mix; the whole way where it passes none."""
    names = end["by"].split(" - ")
    return " - ".join(names[: names.index(end["ear"])]) if end["ear"] in names[1:] else end["by"]


def show_ends(page: Page, word: str, group: list[EndView]) -> None:
    """Add the ears at which it is heard by one way."""
    lead = f"{page.style.sign('broken' if word == 'planned' else 'holds')} {padded(word, WORD_WIDTH)}"
    first, indent, alone = group[0], len(lead), len(group) == 1
    said = first["words"] if alone else listed([f"{one['ear']} {one['who']}".strip() for one in group], NAMED_MAX)
    page.tell(lead, said, 0, ACCENT if word == "planned" else "")
    by = first["by"] if alone else mixes_of(first)
    if by:
        page.tell("by ", by, indent)
    stop = first["way"]["stop"]
    if stop is not None:
        page.say(f"but {stop['words']} ({stop['place']['at']})", indent)
    elif first["way"]["delay"]:
        page.say(f"{first['way']['delay']} late" + (", of what is known" if first["way"]["missing"] else ""), indent)
    if first["loud"] and len(group) == 1:
        page.say(first["loud"], indent)
