"""`fails` on the terminal: what one failure takes and what to do, or the worst single failures as a table."""

from __future__ import annotations

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.signs import padded
from tailboard.term.table import show_table
from tailboard.units.wording import counted, listed
from tailboard.views.fails import FailsView, FailuresView

WORD_WIDTH = 8
ROWS_MAX = 15
SINGULAR = {"lines": "line", "feeds": "feed", "stations": "station", "interrupts": "interrupt"}


def fails_page(view: FailsView, style: Style) -> str:
    """Return the page of one failure."""
    page = Page(style)
    page.say(f"Without {view['words']}", 0, 4, BOLD)
    if view["takes"]:
        page.say(f"go {listed(view['takes'], 12)}", 4)
    if view["battery"]:
        page.say(f"run on by their own battery: {', '.join(view['battery'])}", 4)
    if view["place"] is not None:
        page.say(f"written at {view['place']['at']}", 4)
    page.blank()
    show_lost(page, view)
    if view["before"]:
        page.say(f"Not as planned anyway, see 'check': {listed(view['before'])}", 4)
    if view["clock"]:
        page.blank()
        page.put("Clock", BOLD)
        for sentence in view["clock"]:
            page.say(sentence, 4)
    if any(part["names"] for part in view["lost"]):
        show_steps(page, view)
    return page.text()


def show_lost(page: Page, view: FailsView) -> None:
    """Add what is lost and what goes on."""
    lost = [part for part in view["lost"] if part["names"]]
    if not lost:
        page.tell(
            f"{page.style.sign('holds')} {padded('goes on', WORD_WIDTH)}", "every line, feed, station and interrupt"
        )
        return
    for number, part in enumerate(lost):
        total = part["total"]
        lead = f"{page.style.sign('broken')} {padded('lost' if not number else '', WORD_WIDTH)}"
        lead = lead if not number else " " * len(lead)
        share = f"{len(part['names'])} of {counted(total, SINGULAR[part['sort']], part['sort'])}"
        page.tell(lead, f"{share}: {part['words']}", 0, ACCENT if not number else "")
    left = [part for part in view["lost"] if part["goes_on"]]
    for number, part in enumerate(left):
        lead = f"{page.style.sign('holds')} {padded('goes on', WORD_WIDTH)}"
        lead = lead if not number else " " * len(lead)
        page.tell(lead, f"{part['sort']}: {part['goes_on_words']}")


def show_steps(page: Page, view: FailsView) -> None:
    """Add what to do, step by step."""
    page.blank()
    page.put("Do this", BOLD)
    for number, sentence in enumerate(view["do"], 1):
        page.tell(f"{number} ", sentence, 4)
    if not view["do"]:
        page.say("Nothing in the plan takes over: repair or replace it.", 4)
    elif view["no_reserve"]:
        count = len(view["no_reserve"])
        have = "of the lost lines has" if count == 1 else "of the lost lines have"
        page.say(f"{count} {have} no reserve that goes on.", 4)


def failures_page(view: FailuresView, style: Style, *, everything: bool = False) -> str:
    """Return the page of all single failures."""
    page = Page(style)
    page.put("What takes most when it fails alone", BOLD)
    shown = view["failures"] if everything else view["failures"][:ROWS_MAX]
    rows = [
        (
            row["words"],
            *(str(row[key]) if row[key] else "-" for key in ("lines", "feeds", "stations", "interrupts", "no_reserve")),
            row["instead"] or "-",
        )
        for row in shown
    ]
    if not rows:
        page.say("Nothing: no line, feed or station of this show rests on a thing that is written.", 4)
        return page.text()
    header = ("without", "lines", "feeds", "stations", "talk", "bare", "instead")
    show_table(page, header, rows, 6)
    page.blank()
    page.say("Lines, feeds, stations and interrupts lost; bare: lost lines that no reserve takes over.")
    more = len(view["failures"]) - len(shown)
    if more:
        page.say(f"{counted(more, 'thing takes', 'things take')} less; --all shows them. 'fails NAME' says what to do.")
    else:
        page.say("'fails NAME' says what to do.")
    return page.text()
