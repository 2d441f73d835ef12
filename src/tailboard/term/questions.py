"""`questions` on the terminal and on paper: one page a person, a blank for each answer, and the lines that carry it back."""

from __future__ import annotations

from tailboard.term.page import BOLD, Page, Style
from tailboard.units.wording import counted, listed
from tailboard.views.questions import PersonView, QuestionsView, QuestionView
from tailboard.views.questionwords import OURSELVES

HEADINGS = {
    "fact": "To confirm",
    "figure": "Not written yet",
    "trial": "To try at the line check",
    "figures": "To measure, or to read off the data sheet",
}
PLAIN_READERS = ("IT", "electrician", "client")  # who is spared the claims in our words
CALLED = {"client": "the client", "electrician": "the electrician"}
BLANK_MIN = 12


def questions_page(view: QuestionsView, style: Style) -> str:
    """Return the pages of all persons, one after the other."""
    page = Page(style)
    for number, person in enumerate(view["people"]):
        if number:
            page.blank()
            page.rule()
            page.blank()
        show_person(page, view, person)
    if not view["people"]:
        whom = f" to {CALLED.get(view['wanted'], view['wanted'])}" if view["wanted"] else ""
        page.say(f"No questions{whom}: nothing is open, and nothing is assumed that somebody could confirm.")
    return page.text()


def show_person(page: Page, view: QuestionsView, person: PersonView) -> None:
    """Add the page of one person."""
    who = person["who"]
    page.put(f"Questions to {CALLED.get(who, who)}", BOLD)
    page.say(", ".join(part for part in (view["title"], view["date"], version(view)) if part), 4)
    if person["contacts"]:
        page.say(listed(person["contacts"]), 4)
    noun = "statement" if who in PLAIN_READERS else "claim"
    count = counted(len(person["questions"]), "question")
    wait = "waits" if person["claims"] == 1 else "wait"
    page.say(f"{count}; {counted(person['claims'], noun)} of the plan {wait} for the answers", 4)
    sort, why = "", ""
    for number, one in enumerate(person["questions"], 1):
        if one["sort"] != sort and who == OURSELVES:
            sort = one["sort"]
            page.blank()
            page.put(HEADINGS[sort], BOLD)
        page.blank()
        show_question(page, number, one, "" if one["why"] == why else one["why"], noun)
        why = one["why"]
    page.blank()
    page.put(f"Name and role {blank(page, 24)}", "")
    page.put(f"Day           {blank(page, 24)}", "")
    page.blank()
    page.say(f"For us: the answers go into {person['file']}, as yes or no and in words:")
    for line in person["text"].splitlines():
        page.put(f"  {line}")


def version(view: QuestionsView) -> str:
    """Return the version of the plan, in words."""
    return f"plan version {view['version']}" if view["version"] else ""


def show_question(page: Page, number: int, one: QuestionView, why: str, noun: str) -> None:
    """Add one question with its blank; `why` is empty where the question before has said it."""
    page.tell(f"{number:>3} ", one["question"])
    page.tell("now: ", one["assumed"], 4)
    rest = f"{counted(one['claims'], noun)} {'rests' if one['claims'] == 1 else 'rest'} on it"
    shown = f": {'; '.join(one['says'])}" if noun == "claim" and one["sort"] in {"fact", "figures"} else ""
    page.tell("why: ", f"{why} {rest}{shown}".strip(), 4)
    if one["answered"]:
        page.tell("so far: ", f"{one['answered']}; that does not settle it", 4)
    lead = "" if one["sort"] == "figure" else "yes [ ]  no [ ], but: "
    page.put(f"    {lead}{blank(page, 4 + len(lead))}")


def blank(page: Page, used: int) -> str:
    """Return a line to write on, to the end of the page."""
    return "_" * max(BLANK_MIN, min(page.style.width, 80) - used)
