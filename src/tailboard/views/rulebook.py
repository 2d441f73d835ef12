"""Every rule by its name: those of reading and those that prove."""

from __future__ import annotations

from typing import TypedDict

from tailboard.findings import Rule
from tailboard.model.acts import RULES as ACT_RULES
from tailboard.model.changes import RULES as CHANGE_RULES
from tailboard.model.reading import RULES as FOLDER_RULES
from tailboard.rules.answered import RULES as ANSWER_RULES
from tailboard.rules.printed import RULES as PRINT_RULES
from tailboard.rules.registry import MODULES
from tailboard.rules.run import ACCEPTED_IDLE
from tailboard.text.faults import RULES as FILE_RULES
from tailboard.text.misfits import RULES as FIELD_RULES

FAMILIES = {
    "chain": "each line and feed through one chain, nothing used twice",
    "hearing": "who hears whom, and who must not",
    "level": "class, clip, gain and its owner, 48 V, level references",
    "delay": "arrival before play-out, voices in time, sound with picture",
    "network": "VLANs, cables, addresses, load, power over Ethernet",
    "clock": "one leader, a second choice, one rate",
    "light": "optics, fibre, and the light that arrives",
    "power": "supplies, loads, earths",
    "faults": "what a single failure takes, and what stands in for it",
    "paper": "labels, versions, acceptances, answers",
    "reading": "what the files say, before anything is proven",
}


class RuleView(TypedDict):
    """One rule with its document."""

    name: str
    family: str
    severity: str
    edition: int
    acceptable: bool
    sentence: str
    document: str


def rule_view(rule: Rule) -> RuleView:
    """Return a rule as a reader sees it."""
    return {
        "name": rule.name,
        "family": rule.family,
        "severity": rule.severity.word,
        "edition": rule.edition,
        "acceptable": rule.acceptable,
        "sentence": sentence_of(rule),
        "document": rule.document.strip(),
    }


def rules_by_name() -> dict[str, Rule]:
    """Return all rules by name, those that prove first, in the order of the registry."""
    proving = [module.RULE for module in MODULES]
    return {
        rule.name: rule
        for rule in (
            *proving,
            ACCEPTED_IDLE,
            *ANSWER_RULES,
            *PRINT_RULES,
            *CHANGE_RULES,
            *ACT_RULES,
            *FOLDER_RULES,
            *FIELD_RULES,
            *FILE_RULES,
        )
    }


def family_of_rules() -> dict[str, str]:
    """Return the family of each rule."""
    return {name: rule.family for name, rule in rules_by_name().items()}


def sentence_of(rule: Rule) -> str:
    """Return what is wrong, in one sentence: the beginning of the rule's document."""
    return " ".join(rule.document.strip().partition("\n\n")[0].split())
