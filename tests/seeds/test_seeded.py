"""The small show, clean, with each seeded mistake, and with all at once: what must be said and what must not."""

from __future__ import annotations

import re

import pytest

from seeds.seeded import SEEDS, Fact, Seed
from support.draft import Draft
from tailboard.findings import Finding, Severity
from tailboard.rules.run import Proof, root_of

ROOTS_MAX = 15  # the issue's own limit for all mistakes at once
RANGE = re.compile(r"(\d+)\.\.(\d+)")


def plain(text: str) -> str:
    """Return a text with short ranges of numbers written out: 12..13 -> 12, 13."""
    return RANGE.sub(lambda found: ", ".join(str(n) for n in range(int(found[1]), int(found[2]) + 1)), text)


def says(text: str, word: str) -> bool:
    """Return whether a text holds one of the alternatives of a word, not as part of another name."""
    return any(re.search(rf"(?<![\w.])(?<!\w-){re.escape(one)}(?!\w|-\w)", text) for one in word.split("|"))


def told(finding: Finding) -> str:
    """Return all that a finding says."""
    return plain("\n".join((finding.message, *(reason.words for reason in finding.because))))


def families(proof: Proof) -> list[str]:
    """Return for each root that is no note all that it and its consequences say."""
    texts: dict[str, list[str]] = {}
    for finding in proof.findings:
        texts.setdefault(root_of(finding.id, proof.parent), []).append(told(finding))
    return ["\n".join(texts[finding.id]) for finding in roots(proof)]


def roots(proof: Proof) -> list[Finding]:
    """Return the errors and warnings that are no consequence of another."""
    return [item for item in proof.findings if item.severity > Severity.NOTE and item.id not in proof.parent]


def missing(proof: Proof, facts: tuple[Fact, ...]) -> list[Fact]:
    """Return the facts that no root and its consequences state."""
    texts = families(proof)
    return [fact for fact in facts if not any(all(says(text, word) for word in fact) for text in texts)]


def with_mistakes(seeds: tuple[Seed, ...]) -> Draft:
    """Return the small show with mistakes."""
    draft = Draft.example()
    for seed in seeds:
        seed.edit(draft)
    return draft


def test_the_clean_plan_has_no_error_and_no_warning() -> None:
    assert [item.message for item in Draft.example().prove().findings if item.severity > Severity.NOTE] == []


# The notes that the clean plan may have: its couplings are not stated, and which feeds and lines are meant.
NOTES = {
    "microphone-in-own-loudspeaker:FD2:FD3": ("1", "2", "5", "16"),
    "coupling-not-stated:FD1": ("1", "5", "16", "presenter"),
    "coupling-not-stated:FD2:FD3": ("stage",),
    "coupling-not-stated:FD4:FD5": ("6", "7", "12", "13"),
}


def test_the_clean_plan_has_the_notes_that_its_description_allows_and_no_other() -> None:
    notes = {item.id: told(item) for item in Draft.example().prove().findings}
    assert sorted(notes) == sorted(NOTES)
    assert all(says(notes[name], word) for name, words in NOTES.items() for word in words)


@pytest.mark.parametrize("seed", SEEDS, ids=lambda seed: seed.id)
def test_each_mistake_is_found_alone_with_its_facts(seed: Seed) -> None:
    proof = with_mistakes((seed,)).prove()
    assert missing(proof, seed.facts) == [], families(proof)


def test_all_mistakes_at_once_are_found_with_few_roots() -> None:
    proof = with_mistakes(SEEDS).prove()
    left = {seed.id: missing(proof, seed.facts) for seed in SEEDS}
    assert {name: facts for name, facts in left.items() if facts} == {}
    assert len(roots(proof)) <= ROOTS_MAX, [(item.id, item.message) for item in roots(proof)]


@pytest.mark.parametrize("order", [1, 2, 3])
def test_the_order_of_the_mistakes_does_not_matter(order: int) -> None:
    turned = (*SEEDS[order:], *SEEDS[:order])
    assert {item.id for item in with_mistakes(turned).prove().findings} == {
        item.id for item in with_mistakes(SEEDS).prove().findings
    }


# What is right as it stands: words that no error and no warning may bring together.
TRAPS = {
    "the recorder's longer link offset": ("REC-1", "offset"),
    "data cable of 85 m in one length": ("C-04", "85 m"),
    "48 V on the active DI of line 10": ("10", "48 V"),
    "48 V on the active DI of line 11": ("11", "48 V"),
    "a VLAN that stays on one switch": ("CTRL",),
    "a trunk with two VLANs": ("R-09",),
    "the same optic in the spare's truck port": ("F-02", "optic|1310"),
    "the off-air line on a single track": ("FD9", "15"),
}


@pytest.mark.parametrize("trap", TRAPS)
def test_a_trap_is_no_error(trap: str) -> None:
    words = TRAPS[trap]
    for seeds in ((), *((seed,) for seed in SEEDS if seed.id != "A-M05" or "C-04" not in words), SEEDS):
        if seeds == SEEDS and "C-04" in words:
            continue
        for finding in with_mistakes(seeds).prove().findings:
            if finding.severity > Severity.NOTE:
                assert not all(says(plain(finding.message), word) for word in words), finding.message


def test_the_medium_show_is_clean() -> None:
    """Open are the couplings and margins that nobody stated, and the delays of what others own or was not measured."""
    proof = Draft.example("medium").prove()
    assert not [finding.id for finding in proof.findings if finding.severity > Severity.NOTE]
    assert {finding.rule for finding in proof.findings} <= {
        "coupling-not-stated", "microphone-in-own-loudspeaker", "conversation-late", "fold-back-late",
        "sound-off-picture", "source-arrives-twice", "packet-late",
    }  # fmt: skip
