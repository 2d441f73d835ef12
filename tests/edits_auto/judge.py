"""What the rules say of an edited show that they did not say of the clean one, and whether it is what was expected."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from edits_auto.edit import Case, Edit
from tailboard.findings import Finding, Severity, Status
from tailboard.rules.registry import MODULES
from tailboard.rules.run import ACCEPTED_IDLE, Proof

NOTED = "noted"  # among the families of an edit: an open claim, a new assumption or a note is right
RANGE = re.compile(r"(?<![\w.])(\d+)\.\.(\d+)(?![\w.])")
FAMILY_OF = {module.RULE.name: module.RULE.family for module in MODULES} | {ACCEPTED_IDLE.name: ACCEPTED_IDLE.family}


@dataclass(frozen=True, slots=True)
class Spoken:
    """One thing that is said: an error, a warning or a broken claim; or a note, or what a claim assumes."""

    id: str
    family: str
    text: str

    def names(self, words: Iterable[str]) -> bool:
        """Return whether one of the words stands in it by itself, not as part of another name."""
        return any(re.search(rf"(?<![\w.])(?<!\w-){re.escape(word)}(?!\w|-\w)", self.text) for word in words if word)


def spoken(proof: Proof) -> dict[str, Spoken]:
    """Return the errors, warnings and broken claims by their ids."""
    said = {finding.id: finding for finding in proof.findings if finding.severity > Severity.NOTE}
    broken = {
        claim.id: claim.finding
        for claim in proof.claims
        if claim.status is Status.BROKEN and claim.finding is not None and claim.id not in proof.accepted
    }
    return {name: told(finding) for name, finding in {**broken, **said}.items()}


def told(finding: Finding) -> Spoken:
    """Return all that a finding says; short ranges of numbers are written out."""
    words = [*finding.subject, finding.message, *(reason.words for reason in finding.because)]
    text = RANGE.sub(lambda found: written_out(int(found[1]), int(found[2])), "\n".join(words))
    return Spoken(finding.id, FAMILY_OF.get(finding.rule, "reading"), text)


def written_out(first: int, last: int) -> str:
    """Return a range as a list: 12..14 -> 12, 13, 14."""
    return ", ".join(str(number) for number in range(first, last + 1))


def noted(proof: Proof) -> dict[str, Spoken]:
    """Return the notes, open claims among them, and for each claim what it assumes."""
    found = {finding.id: told(finding) for finding in proof.findings if finding.severity is Severity.NOTE}
    for claim in proof.claims:
        for assumption in claim.assumptions:
            key = f"{claim.id} if {assumption}"
            found[key] = Spoken(key, FAMILY_OF[claim.rule], assumption)
    return found


@dataclass(frozen=True)
class Judge:
    """Compares proofs of edited shows with that of the clean one."""

    case: Case
    said: Mapping[str, Spoken]
    notes: Mapping[str, Spoken]

    @classmethod
    def of(cls, case: Case) -> Judge:
        """Return the judge of a show."""
        proof = case.text().prove()
        return cls(case, spoken(proof), noted(proof))

    def new(self, edit: Edit) -> list[Spoken]:
        """Return what is said of the edited show and was not said of the clean one; notes only where they are right."""
        proof = self.case.text(*edit.changes).prove()
        found = [item for name, item in spoken(proof).items() if name not in self.said]
        if NOTED in edit.families:
            found += [replace(item, family=NOTED) for name, item in noted(proof).items() if name not in self.notes]
        return found

    def right(self, edit: Edit, new: Iterable[Spoken]) -> list[Spoken]:
        """Return those of an expected family that name what was edited."""
        return [item for item in new if item.family in edit.families and item.names(edit.names)]
