"""Each mistake in the medium show is found by a rule of its fault, with the things and the number in the finding."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from medium.mistakes import MISTAKES, Mistake
from seeds.test_seeded import says, told
from support.draft import Draft
from tailboard.findings import Finding, Severity, Spot
from tailboard.rules.run import Proof

ROOT = Path(__file__).parents[2]
FAULTS = (ROOT / "docs" / "faults.md").read_text(encoding="utf-8")
LEAST = 15  # the issue's own number


def finding_of(proof: Proof, claim: str) -> Finding:
    """Return the worst finding of a rule on the things that a claim's id begins with."""
    found = [finding for finding in proof.findings if f"{finding.id}:".startswith(f"{claim}:")]
    assert found, [f"{item.id}: {item.message}" for item in proof.findings if item.severity > Severity.NOTE]
    return found[0]


def stands_at(draft: Draft, spot: Spot) -> str:
    """Return the file of a spot and the text that begins there; of what the tool brings itself, the file alone."""
    if spot.file not in draft.files:
        return f"{spot.file}: "
    line = draft.files[spot.file].splitlines()[spot.line - 1]
    return f"{spot.file}: {line[spot.column - 1 :]}"


def test_the_clean_plan_has_none_of_them() -> None:
    said = [f"{finding.id}:" for finding in Draft.example("medium").prove().findings]
    assert [name for name in said for mistake in MISTAKES if name.startswith(f"{mistake.claim}:")] == []


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: f"{mistake.fault} {mistake.claim}")
def test_a_mistake_is_found_with_its_evidence(mistake: Mistake) -> None:
    draft = Draft.example("medium")
    mistake.edit(draft)
    finding = finding_of(draft.prove(), mistake.claim)
    assert finding.severity > Severity.NOTE
    assert finding.fix
    own = told(finding)
    assert [word for word in mistake.facts if not says(own, word)] == [], own


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: f"{mistake.fault} {mistake.claim}")
def test_its_finding_points_at_the_text_and_at_the_other_place(mistake: Mistake) -> None:
    draft = Draft.example("medium")
    mistake.edit(draft)
    finding = finding_of(draft.prove(), mistake.claim)
    assert stands_at(draft, finding.spot).startswith(mistake.at), stands_at(draft, finding.spot)
    others = [stands_at(draft, reason.spot) for reason in finding.because]
    assert not mistake.other or any(text.startswith(mistake.other) for text in others), others
    assert mistake.other or not others, "name the other place"


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: f"{mistake.fault} {mistake.claim}")
def test_the_rule_stands_in_the_table_of_faults(mistake: Mistake) -> None:
    row = re.search(rf"^\| {mistake.fault} \|.*$", FAULTS, re.MULTILINE)
    assert row is not None
    assert f"`{mistake.claim.partition(':')[0]}`" in row[0]


def test_there_are_enough_and_each_is_of_its_own_kind() -> None:
    assert len(MISTAKES) >= LEAST
    assert len({mistake.fault for mistake in MISTAKES}) == len(MISTAKES)
