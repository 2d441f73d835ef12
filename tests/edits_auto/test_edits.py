"""Automatic edits of the shipped shows: of each the right rules speak, or it is known why nothing is said.

An edit changes the entries of a show; the show is written out as text, read, and proven in this process. Two things
may come of it: an expected family names what was edited (or, where a note is right, an open claim does); the edit is in
the table of harmless ones with its reason, and then nothing at all may be said.
"""

from __future__ import annotations

from difflib import unified_diff
from functools import cache

import pytest

import edits_auto.on_cables
import edits_auto.on_comms
import edits_auto.on_devices
import edits_auto.on_feeds
import edits_auto.on_kinds
import edits_auto.on_lines
import edits_auto.on_load
import edits_auto.on_network
import edits_auto.on_site  # noqa: F401  each module registers its kinds of edits
from edits_auto.edit import MAKERS, Case, Edit
from edits_auto.harmless import HARMLESS, why_harmless
from edits_auto.judge import NOTED, Judge, Spoken

# How many edits of a kind are tried, of all there are; a proof of the medium show takes longer. Together under 60 s.
PER_KIND = {"small": 2, "medium": 2}
FEW = {"small": 16, "medium": 80}  # a kind with fewer edits than this is tried once
LEAST = 200  # the issue's own number, for each show
HARMLESS_MOST = 0.15  # own choice: more would be a table of excuses
FAMILIES = {"chain", "hearing", "level", "network", "clock", "light", "power", "reading", NOTED}
SHOWS = tuple(PER_KIND)


@cache
def judge_of(show: str) -> Judge:
    return Judge.of(Case.example(show))


@cache
def edits_of(show: str, kind: str) -> tuple[Edit, ...]:
    """Return the edits of a kind that are tried: some of all, evenly spread."""
    case = judge_of(show).case
    found = list(MAKERS[kind][1](case))
    most = PER_KIND[show] if len(found) >= FEW[show] else 1
    return tuple(found) if len(found) <= most else tuple(found[index * len(found) // most] for index in range(most))


def verdict(judge: Judge, edit: Edit, new: list[Spoken]) -> str:
    """Return what is wrong about what is said of an edit; empty where nothing is."""
    said = ", ".join(item.id for item in new) or "nothing"
    right = judge.right(edit, new)
    harmless = why_harmless(judge.case, edit)
    if harmless:
        return f"{edit}: harmless ({harmless}), but said is {said}" if new else ""
    if right:
        return ""
    return (
        f"{edit}: said is {said}; expected one of {', '.join(sorted(edit.families))} that names {', '.join(edit.names)}"
    )


@pytest.mark.parametrize("kind", MAKERS)
@pytest.mark.parametrize("show", SHOWS)
def test_an_edit_is_found_or_known(show: str, kind: str) -> None:
    judge = judge_of(show)
    wrong = [verdict(judge, edit, judge.new(edit)) for edit in edits_of(show, kind)]
    assert [words for words in wrong if words] == []


@pytest.mark.parametrize("show", SHOWS)
def test_the_show_as_text_is_clean(show: str) -> None:
    assert judge_of(show).said == {}


@pytest.mark.parametrize("show", SHOWS)
def test_there_are_enough_edits_and_few_are_harmless(show: str) -> None:
    case = judge_of(show).case
    edits = [edit for kind in MAKERS for edit in edits_of(show, kind)]
    assert len({str(edit) for edit in edits}) == len(edits)
    harmless = [edit for edit in edits if why_harmless(case, edit)]
    assert len(edits) >= LEAST
    assert len(harmless) <= HARMLESS_MOST * len(edits)
    assert {family for edit in edits for family in edit.families} >= FAMILIES


@pytest.mark.parametrize("show", SHOWS)
def test_an_edit_changes_the_text_of_its_entries_and_no_more(show: str) -> None:
    case = judge_of(show).case
    clean = case.text().files
    for kind in MAKERS:
        for edit in edits_of(show, kind)[:1]:
            files = case.text(*edit.changes).files
            lines = [
                line
                for name in {*clean, *files}
                for line in unified_diff(clean.get(name, "").splitlines(), files.get(name, "").splitlines(), n=0)
                if line[:1] in {"+", "-"} and not line.startswith(("+++", "---"))
            ]
            # An entry is one line; one more may head the first port that is written for a switch.
            assert 1 <= len(lines) <= 2 * len(edit.changes) + 1, (str(edit), lines)


def test_each_reason_is_needed() -> None:
    """A reason that no edit of any show needs is left over from a rule or kind that is gone."""
    cases = [judge_of(show).case for show in SHOWS]
    edits = [(case, edit) for case in cases for _, make in MAKERS.values() for edit in make(case)]
    idle = [
        reason.words
        for reason in HARMLESS
        if not any(edit.kind in reason.kinds and reason.applies(case, edit) for case, edit in edits)
    ]
    assert idle == []
    assert {kind for reason in HARMLESS for kind in reason.kinds} <= set(MAKERS)


def test_the_verdict_can_fail() -> None:
    judge = judge_of("small")
    edit = next(MAKERS["duplicate an address"][1](judge.case))
    assert verdict(judge, edit, judge.new(edit)) == ""
    assert "expected one of network" in verdict(judge, edit, [])
    elsewhere = [Spoken("phantom-wrong:1", "chain", "\n".join(edit.names))]
    assert "expected one of network" in verdict(judge, edit, elsewhere)
    unnamed = [Spoken("address-shared:A:B", "network", "two devices share an address")]
    assert "that names" in verdict(judge, edit, unnamed)
