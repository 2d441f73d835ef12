"""`check` on the terminal: the verdict, the root causes, what is open and assumed, the summary."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.signs import clean, cut, padded, width_of
from tailboard.term.spots import show_place, show_reasons
from tailboard.units.wording import counted
from tailboard.views.requirements import RequirementView
from tailboard.views.verdict import CheckView, Counts, FindingView

NOT_A_STATEMENT = "{} looked at: none listed in this plan; not a safety statement"
ROOTS = 10  # root causes shown unless all are asked for: more than a tired reader takes in at once
LISTED = 10
FOLLOWING = 3
REASONS = 4
FAMILY_WIDTH, CELL_WIDTH = 10, 14
STATUS_COLUMNS = ("holds", "holds if", "broken", "accepted", "open")
VERDICT_SIGNS = {
    "ready": "holds",
    "ready with warnings": "holds if",
    "not ready": "broken",
    "nothing proven": "open",
}


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be shown: everything instead of the first ten of each, and the notes."""

    everything: bool = False
    notes: bool = False


def check_page(view: CheckView, style: Style, wanted: Wanted) -> str:
    """Return the page of `check`."""
    page = Page(style)
    show_verdict(page, view)
    show_findings(page, view, wanted)
    show_open(page, view, wanted)
    show_assumptions(page, view, wanted)
    show_accepted(page, view)
    show_requirements(page, view, wanted)
    show_newer(page, view)
    show_counts(page, view)
    return page.text()


def show_verdict(page: Page, view: CheckView) -> None:
    """Add the verdict, the show it is about, and the number of findings."""
    word = view["verdict"]
    colour = ACCENT if word == "not ready" else BOLD
    page.tell(f"{page.style.sign(VERDICT_SIGNS[word])} {word.upper()}", "", 0, colour)
    show = view["show"]
    head = [show["title"], show["date"], f"version {show['version']}" if show["version"] else ""]
    if any(head):
        page.say(", ".join(part for part in head if part), 4)
    page.say(numbers(view), 4)


def numbers(view: CheckView) -> str:
    """Return the number of findings in words."""
    tally = view["counts"]
    parts = [counted(tally["error"], "error"), counted(tally["warning"], "warning")]
    if tally["note"]:
        parts.append(counted(tally["note"], "note"))
    text = ", ".join(parts)
    if tally["consequences"]:
        text += f": {counted(tally['causes'], 'cause')}, {counted(tally['consequences'], 'consequence')}"
    if view["claims"]["open"]:
        text += f"; {counted(view['claims']['open'], 'claim')} open"
    return text


def show_findings(page: Page, view: CheckView, wanted: Wanted) -> None:
    """Add the root causes, the first ten unless all are wanted; notes only when wanted."""
    roots = [one for one in view["findings"] if wanted.notes or one["severity"] != "note"]
    hidden = len(view["findings"]) - len(roots)
    shown = roots if wanted.everything else roots[:ROOTS]
    for finding in shown:
        page.blank()
        show_finding(page, finding, wanted)
    more = len(roots) - len(shown)
    if more:
        page.blank()
        page.say(f"and {counted(more, 'more cause')} of less damage; --all shows them")
    if hidden:
        page.blank()
        page.say(f"{counted(hidden, 'note')} not shown; --notes shows them")


def show_finding(page: Page, finding: FindingView, wanted: Wanted) -> None:
    """Add one root cause with its places, consequences and repair."""
    colour = ACCENT if finding["severity"] == "error" else BOLD
    page.tell(f"{page.style.sign('broken')} {finding['severity']}  ", finding["message"], 0, colour)
    show_place(page, finding["place"])
    reasons = finding["because"]
    shown = reasons if wanted.everything or len(reasons) <= REASONS + 1 else reasons[:REASONS]
    show_reasons(page, shown)
    if len(reasons) > len(shown):
        page.say(f"{len(reasons) - len(shown)} more places; 'tailboard why' shows them", 4)
    show_consequences(page, finding, wanted)
    if finding["fix"]:
        page.tell("mend: ", finding["fix"], 4, BOLD)
    name = f"rule {finding['rule']}" if finding["family"] == "reading" else f"claim {finding['id']}"
    page.say(name, 4, 10)


def show_consequences(page: Page, finding: FindingView, wanted: Wanted) -> None:
    """Add what follows: the lines and feeds that suffer, and the findings below; all of those only when wanted."""
    also, below = finding["also"], finding["consequences"]
    if also["words"] and (below or len(also["lines"]) + len(also["feeds"]) > 1):
        page.tell("and so also: ", also["words"], 4)
    shown = below if wanted.everything else below[: 0 if also["words"] else FOLLOWING]
    for one in shown:
        page.tell("and so: ", one["message"], 4)
    if len(below) > len(shown):
        more = counted(len(below) - len(shown), "finding")
        page.say(f"{more} {'follows' if len(below) - len(shown) == 1 else 'follow'} from it; --all shows them", 4)


def show_open(page: Page, view: CheckView, wanted: Wanted) -> None:
    """Add the open claims with what is missing, those with one repair together."""
    by_repair: dict[str, list[str]] = {}
    for one in view["open"]:
        by_repair.setdefault(one["fix"], []).append(f"{one['missing']} ({one['place']['at']})")
    if not by_repair:
        return
    page.blank()
    page.say(f"Open: {counted(len(view['open']), 'claim')} that the files do not decide", 0, 0, BOLD)
    shown = list(by_repair.items())
    for fix, missing in shown if wanted.everything else shown[:LISTED]:
        page.tell(f"{page.style.sign('open')} ", missing[0])
        if len(missing) > 1:
            page.say(f"and {len(missing) - 1} more of this kind", 4)
        page.tell("close: ", fix, 4)
    if len(shown) > LISTED and not wanted.everything:
        page.say(f"and {len(shown) - LISTED} more; --all shows them", 4)


def show_assumptions(page: Page, view: CheckView, wanted: Wanted) -> None:
    """Add what the claims that hold if rest on, one line each, with the number of claims."""
    if not view["assumptions"]:
        return
    page.blank()
    page.put("Assumed, and how many claims rest on it", BOLD)
    shown = view["assumptions"]
    for one in shown if wanted.everything else shown[:LISTED]:
        lead = f"{page.style.sign('holds if')} {one['claims']:>4}  "
        page.put(lead + cut(clean(one["words"]), page.style.width - width_of(lead)))
    if len(shown) > LISTED and not wanted.everything:
        page.say(f"and {len(shown) - LISTED} more; --all shows them", 4)


def show_accepted(page: Page, view: CheckView) -> None:
    """Add the breaks that are accepted in writing."""
    if not view["accepted"]:
        return
    page.blank()
    page.put("Broken, and accepted in writing", BOLD)
    for one in view["accepted"]:
        page.tell(f"{page.style.sign('broken')} ", one["message"])
        until = f", until {one['until']}" if one["until"] else ""
        label = f"{one['label']}: " if one["label"] else ""
        page.say(f"{label}{one['because']}; {one['by']}, {one['on']}{until}", 4)


def show_requirements(page: Page, view: CheckView, wanted: Wanted) -> None:
    """Add the requirements: those that do not hold each with its status, the others in one line unless all are wanted."""
    if not view["requirements"]:
        return
    page.blank()
    page.put("Requirements", BOLD)
    met = [one for one in view["requirements"] if one["status"].startswith("holds") and not wanted.everything]
    for one in view["requirements"]:
        if one not in met:
            show_requirement(page, one)
    for word in ("holds if", "holds"):
        names = [one["id"] for one in met if one["status"] == word]
        if names:
            page.tell(f"{page.style.sign(word)} {padded(word, 8)}  ", ", ".join(names))


def show_requirement(page: Page, one: RequirementView) -> None:
    """Add one requirement with its status, and why nothing proves it."""
    word = one["status"]
    sign = page.style.sign("broken" if word == "accepted" else word)
    page.tell(f"{sign} {padded(word, 8)}  ", f"{one['id']}  {one['must']}", 0, ACCENT if word == "broken" else "")
    if one["reason"]:
        page.say(one["reason"], 14)


def show_newer(page: Page, view: CheckView) -> None:
    """Add how many claims a newer edition of the rules would make."""
    if view["newer"]:
        broken = sum(1 for one in view["newer"] if one["status"] == "broken")
        page.blank()
        page.say(
            f"A newer edition of the rules makes {counted(len(view['newer']), 'more claim')}, {broken} of them broken;"
            f" this show is proven with edition {view['show']['edition']}."
        )


def show_counts(page: Page, view: CheckView) -> None:
    """Add the table of claims, family by family; where the page is too narrow for it, the numbers of all."""
    page.blank()
    heads = [(page.style.mark("broken" if word == "accepted" else word), word) for word in STATUS_COLUMNS]
    cells = [padded(f"{sign} {word}", CELL_WIDTH) for sign, word in heads]
    if FAMILY_WIDTH + CELL_WIDTH * len(cells) > page.style.width + 1:
        for cell, number in zip(cells, counts_of(view["claims"]), strict=True):
            page.put(f"{cell} {number}")
        return
    page.put(padded("Claims", FAMILY_WIDTH) + "".join(cells))
    for family in view["families"]:
        if not silent(family["counts"]):
            page.put(padded(family["family"], FAMILY_WIDTH) + counts_row(family["counts"]))
    if len(view["families"]) != 1:
        page.put(padded("all", FAMILY_WIDTH) + counts_row(view["claims"]))
    for family in view["families"]:
        if family["counts"]["none_listed"]:
            page.put(padded(family["family"], FAMILY_WIDTH) + NOT_A_STATEMENT.format(family["counts"]["none_listed"]))


def silent(counts: Counts) -> bool:
    """Return whether a family has nothing but claims of safety without a break: they have no column."""
    return counts["none_listed"] > 0 and not any(counts_of(counts))


def counts_row(counts: Counts) -> str:
    """Return the cells of one row of the table."""
    return "".join(padded(f"{' ' * 4}{number}", CELL_WIDTH) for number in counts_of(counts))


def counts_of(counts: Counts) -> tuple[int, ...]:
    """Return the numbers in the order of the columns."""
    return counts["holds"], counts["holds_if"], counts["broken"], counts["accepted"], counts["open"]
