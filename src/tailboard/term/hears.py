"""`hears` on the terminal, in sentences: always, on key, never, each with its proof."""

from __future__ import annotations

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.signs import padded
from tailboard.units.wording import listed
from tailboard.views.hears import HeardView, HearsView, WantedView

WORD_WIDTH = 8
NAMED_MAX = 8


def hears_page(view: HearsView, style: Style) -> str:
    """Return the page of `hears`."""
    page = Page(style)
    page.say(f"{view['listener']} hears by", 0, 0, BOLD)
    for ear in view["by"]:
        page.say(ear, 4, 6)
    for words in view["levels"]:
        page.say(words, 4, 6)
    for word, groups in (("always", view["always"]), ("on key", view["on_key"])):
        for group in groups:
            page.blank()
            show_heard(page, "holds", word, group)
    if not view["always"] and not view["on_key"]:
        page.blank()
        page.say("Nothing comes there by a way that works.", 4)
    for group in view["planned"]:
        page.blank()
        show_heard(page, "broken", "planned", group)
    show_wanted(page, view)
    return page.text()


def show_heard(page: Page, sign: str, word: str, group: HeardView) -> None:
    """Add the sources that come by one way, and the way."""
    lead = f"{page.style.sign(sign)} {padded(word, WORD_WIDTH)}"
    page.tell(lead, f"{sources_words(group)}", 0, ACCENT if sign == "broken" else "")
    indent = len(lead)
    page.tell("by ", group["by"], indent)
    way = group["way"]
    if way["stop"] is not None:
        page.say(f"but {way['stop']['words']} ({way['stop']['place']['at']})", indent)
    elif way["delay"]:
        page.say(f"{way['delay']} late" + (", of what is known" if way["missing"] else ""), indent)
    if group["loud"]:
        page.say(group["loud"], indent)


def sources_words(group: HeardView) -> str:
    """Return the sources in words, their numbers after them."""
    names = [one["what"] or one["name"] for one in group["sources"]]
    said = listed(list(dict.fromkeys(names)), NAMED_MAX)
    return said if said == group["names"] else f"{said} ({group['names']})"


def show_wanted(page: Page, view: HearsView) -> None:
    """Add what hearing.csv wants, and what became of it."""
    if not view["wanted"]:
        page.blank()
        page.say("hearing.csv wants nothing of this listener; a row there says who must be heard and who must not.")
        return
    page.blank()
    page.put("Wanted in hearing.csv", BOLD)
    for wish in view["wanted"]:
        show_wish(page, wish)


def show_wish(page: Page, wish: WantedView) -> None:
    """Add one wish with its proof."""
    lead = f"{page.style.sign(wish['status'])} {padded(wish['wish'], WORD_WIDTH)}"
    page.tell(lead, f"{wish['names']}: {outcome(wish)}", 0, ACCENT if wish["status"] == "broken" else "")
    for way in wish["by"][:NAMED_MAX]:
        page.tell("by ", way, len(lead))
    if wish["status"] == "broken":
        page.say(f"wanted at {wish['place']['at']}", len(lead))


def outcome(wish: WantedView) -> str:
    """Return what became of a wish, in words."""
    if wish["status"] == "holds":
        return "no way leads there" if wish["wish"] == "never" else "heard"
    if wish["status"] == "holds if":
        return f"no way leads there, if {listed(wish['rests'])} is a fact; else {wish['heard']} would come there"
    if wish["wish"] == "never":
        return f"{wish['heard']} can get there"
    parts = (
        [f"{wish['missing']} not heard" + (" without a key" if wish["wish"] == "always" else "")]
        if wish["missing"]
        else []
    )
    parts += [f"{wish['heard']} heard without a key"] if wish["heard"] else []
    return "; ".join(parts)
