"""`why` and `explain` on the terminal: a claim with its evidence, a rule with its document."""

from __future__ import annotations

from collections.abc import Iterable

from tailboard.term.page import ACCENT, BOLD, Page, Style
from tailboard.term.spots import show_place
from tailboard.units.wording import counted
from tailboard.views.claims import WhyView
from tailboard.views.rulebook import FAMILIES, RuleView


def why_page(view: WhyView, style: Style) -> str:
    """Return the page of `why`."""
    page = Page(style)
    word = "accepted" if view["accepted"] else view["status"]
    sign = style.sign("broken" if word == "accepted" else word)
    page.tell(f"{sign} {word}  ", view["says"] or view["message"], 0, ACCENT if word == "broken" else BOLD)
    if view["message"] and view["says"]:
        page.say(("missing: " if view["status"] == "open" else "but ") + view["message"], 4, 8)
    if view["place"] is not None:
        show_place(page, view["place"])
    show_steps(page, view)
    for one in view["assumptions"]:
        page.blank()
        page.tell(f"{style.sign('holds if')} ", f"assumed: {one['words']}")
        page.say(one["closes"], 4)
    show_links(page, view)
    if view["fix"]:
        page.blank()
        page.tell("close: " if view["status"] == "open" else "mend: ", view["fix"], 4, BOLD)
    show_acceptance(page, view)
    page.blank()
    page.say(f"claim {view['id']}", 4, 10)
    page.say(f"tailboard explain {view['rule']} says what the rule is for", 4)
    return page.text()


def show_steps(page: Page, view: WhyView) -> None:
    """Add the evidence, step by step, with the text that stands there."""
    if not view["evidence"]:
        return
    page.blank()
    page.put("    Evidence", BOLD)
    for number, step in enumerate(view["evidence"], 1):
        page.tell(f"{number}. ", step["words"], 4)
        show_place(page, step["place"])


def show_links(page: Page, view: WhyView) -> None:
    """Add what it follows from and what follows from it."""
    if view["cause"]:
        page.blank()
        page.say(f"follows from {view['cause']}", 4, 8)
        if view["first_cause"] != view["cause"]:
            page.say(f"and in the end from {view['first_cause']}", 4, 8)
    if view["consequences"]:
        page.blank()
        page.say(f"{counted(len(view['consequences']), 'finding')} follow from it:", 4)
        for name in view["consequences"]:
            page.say(name, 8, 12)


def show_acceptance(page: Page, view: WhyView) -> None:
    """Add who accepted the break, or how to accept it in writing."""
    if view["accepted"]:
        page.blank()
        page.say(f"accepted: {view['accepted']}", 4, 8)
    if view["lapsed"]:
        page.blank()
        page.say(view["lapsed"], 4, 8)
    entry = view["accept"]
    if entry is None or view["accepted"]:
        return
    page.blank()
    if entry["acceptable"]:
        page.say("To accept it in writing, add this under 'accepted' in show.yaml:", 4)
        page.say(entry["text"], 6, 8)
    else:
        page.say("It cannot be accepted away.", 4)


def rule_page(view: RuleView, style: Style) -> str:
    """Return the page of `explain RULE`."""
    page = Page(style)
    page.put(view["name"], BOLD)
    page.say(f"family {view['family']}, {view['severity']}, since edition {view['edition']} of the rules", 4)
    if not view["acceptable"]:
        page.say("it cannot be accepted away", 4)
    for paragraph in paragraphs(view["document"]):
        page.blank()
        page.say(paragraph, 4)
    return page.text()


def paragraphs(document: str) -> Iterable[str]:
    """Yield the parts of a rule's document: the sentence, then each heading with its text."""
    part: list[str] = []
    for line in document.splitlines():
        begins = line[:1].isupper() and line.partition(":")[0] in HEADINGS
        if part and (begins or not line.strip()):
            yield " ".join(part)
            part = []
        if line.strip():
            part.append(line.strip())
    if part:
        yield " ".join(part)


HEADINGS = frozenset({"What it finds", "Why it matters", "Example", "Fix", "Does not find", "Source"})


def rules_page(views: Iterable[RuleView], style: Style) -> str:
    """Return the page of `explain` alone: all rules by family."""
    page = Page(style)
    by_family: dict[str, list[RuleView]] = {}
    for view in views:
        by_family.setdefault(view["family"], []).append(view)
    for family, rules in by_family.items():
        page.blank()
        page.put(f"{family.upper()}  {FAMILIES.get(family, '')}", BOLD)
        for rule in sorted(rules, key=lambda one: one["name"]):
            page.say(rule["name"], 2)
            page.say(rule["sentence"], 6)
    page.blank()
    page.say("tailboard explain RULE shows what it finds, why it matters and how to mend it")
    return page.text()
