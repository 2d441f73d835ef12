"""`compare` on the terminal: the verdict before and after, what changed, what it breaks, whose paper changes."""

from __future__ import annotations

from itertools import groupby

from tailboard.edits.changes import Change, Proposal
from tailboard.findings import Finding
from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.signs import padded
from tailboard.text.ranges import compress
from tailboard.units.wording import counted, listed
from tailboard.views.compare.concerned import ConcernView
from tailboard.views.compare.differences import thing_words
from tailboard.views.compare.document import BreakView, CompareView, SideView

WHAT_WIDTH = 12
ROWS_MAX = 12
SHEETS_MAX = 12
SORTS = {"place": "places", "box": "boxes", "person": "people", "house": "others' contacts"}


def compare_page(view: CompareView, style: Style, *, everything: bool = False) -> str:
    """Return the page."""
    page = Page(style)
    for lead, side in (("before", view["before"]), ("now", view["after"])):
        sign = style.sign("broken" if side["errors"] else "holds")
        page.tell(f"{sign} {padded(lead, 8)}", side_words(side), 0, ACCENT if side["errors"] else "")
    page.blank()
    if not view["differences"]:
        page.say("Nothing changed in the plan.")
        return page.text()
    page.put("What changed", BOLD)
    for section, items in groupby(view["differences"], key=lambda one: one["section"]):
        rows = [list(alike) for _, alike in groupby(items, key=lambda one: (one["what"], one["words"]))]
        shown = rows if everything else rows[:ROWS_MAX]
        for alike in shown:
            row, names = alike[0], compress(one["id"] for one in alike)
            page.tell(padded(row["what"], WHAT_WIDTH), f"{thing_words(row, names)}: {row['words']}", 2)
        if len(rows) > len(shown):
            page.say(f"and {len(rows) - len(shown)} more in {section}; --all shows them", 2 + WHAT_WIDTH)
    show_breaks(page, "Broken by it", view["broken"], "broken")
    show_breaks(page, "Mended by it", view["mended"], "holds")
    show_concerned(page, view["concerned"])
    changed = [one for one in view["sheets"] if one["what"] != "gone"]
    if changed:
        names = listed([f"{one['title']} ({one['what']})" for one in changed], SHEETS_MAX)
        page.tell(padded("sheets", WHAT_WIDTH + 6), names, 2)
    return page.text()


def side_words(side: SideView) -> str:
    """Return one plan with its verdict in a sentence."""
    version = f" version {side['version']}" if side["version"] else ""
    counts = f"{counted(side['errors'], 'error')}, {counted(side['warnings'], 'warning')}, {side['open']} open"
    return f"{side['name']}{version}: {side['verdict']} ({counts})"


def show_breaks(page: Page, heading: str, found: list[BreakView], sign: str) -> None:
    """Add what the change broke or mended."""
    if not found:
        return
    page.blank()
    page.put(heading, BOLD)
    for one in found:
        page.tell(
            f"{page.style.sign(sign)} {padded(one['severity'], 8)}", f"{one['message']} ({one['place']['at']})", 2
        )


def show_concerned(page: Page, found: list[ConcernView]) -> None:
    """Add whose paper changes."""
    page.blank()
    page.put("New paper for", BOLD)
    if not found:
        page.say("nobody", 2)
    for sort, items in groupby(found, key=lambda one: one["sort"]):
        names = [f"{one['name']} ({one['count']})" for one in items]
        page.tell(padded(SORTS[sort], WHAT_WIDTH + 6), ", ".join(names), 2)


def proposal_page(
    changes: list[Change], proposal: Proposal, unclear: list[str], harm: list[Finding], style: Style
) -> str:
    """Return what a colleague's workbook would change, what clashes with the show, and what it would break."""
    page = Page(style)
    out_of_it = [*(clash.change for clash in proposal.clashes), *(one.change for one in proposal.refused)]
    taken = [change for change in changes if change not in out_of_it]
    page.put(f"{counted(len(taken), 'change')} to take over" if taken else "Nothing to take over", BOLD)
    for change in taken:
        page.say(change_words(change), 2, 4)
    if proposal.clashes:
        page.blank()
        page.put("Changed on both sides; nothing is overwritten", BOLD)
        for clash in proposal.clashes:
            words = f"{change_words(clash.change)}; the show says '{clash.stands}' by now ({clash.spot})"
            page.tell(f"{style.sign('broken')} ", words, 2)
    for heading, sentences in (("Cannot be taken over", [one.why for one in proposal.refused]), ("Unclear", unclear)):
        if sentences:
            page.blank()
            page.put(heading, BOLD)
            for sentence in sentences:
                page.say(sentence, 2, 4)
    if harm:
        page.blank()
        page.put("It would break", BOLD)
        for found in harm:
            page.tell(f"{style.sign('broken')} ", f"{found.message} ({found.spot})", 2)
    page.blank()
    return page.text()


def change_words(change: Change) -> str:
    """Return one change in words."""
    where = f"{change.table} {change.row}, {change.column}"
    if change.value == change.row:
        return f"{change.table}: a new row {change.row}"
    if change.was == change.row and not change.value:
        return f"{change.table} {change.row}: taken out"
    return f"{where}: '{change.value}', was '{change.was or ''}'"
