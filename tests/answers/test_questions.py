"""What a question's name is about, and under which name an open claim is asked."""

from __future__ import annotations

import re

import pytest

from style.trees import PACKAGE
from support.draft import Draft
from tailboard.answers.questions import FIGURES, TRIALS, about, question_of
from tailboard.findings import Status

SMALL = Draft.example().read().model


@pytest.mark.parametrize(
    ("name", "sort", "thing", "field"),
    [
        ("kind console-96", "kind", "console-96", ""),
        ("kind console-96: processing", "kind", "console-96", ""),
        ("source kind radio receiver", "source kind", "radio receiver", ""),
        ("cable kind cat solid", "cable kind", "cat solid", ""),
        ("optic O1S-U", "optic", "O1S-U", ""),
        ("HD-1 excludes", "device", "HD-1", "excludes"),
        ("SB-1 priority1", "device", "SB-1", "priority1"),
        ("HD-1 48V", "device", "HD-1", "48V"),
        ("FD2 margin", "feed", "FD2", "margin"),
    ],
)
def test_a_name_is_about_a_thing_of_the_plan(name: str, sort: str, thing: str, field: str) -> None:
    found = about(name, SMALL)
    assert found is not None
    assert (found.sort, found.thing, found.field) == (sort, thing, field)


@pytest.mark.parametrize(
    "name",
    ["", "HD-1", "HD-1 excluds", "HD-2 excludes", "kind console-97", "optic", "FD2 marign", "FD99 margin", "hears FD2"],
)
def test_other_names_are_about_nothing(name: str) -> None:
    assert about(name, SMALL) is None


def test_figures_name_who_uses_them_and_where() -> None:
    found = about("source kind radio receiver", SMALL)
    assert found is not None
    assert found.users == ("line 5", "line 6")
    assert found.spot.file.startswith("built-in/")
    assert found.used == SMALL.lines["5"].at.spot("type")


def test_a_fact_is_found_where_it_is_written() -> None:
    text = Draft.example().files["show.yaml"].splitlines()
    found = about("HD-1 excludes", SMALL)
    assert found is not None
    assert text[found.spot.line - 1][found.spot.column - 1 :].startswith("{aux1: in1..2")


@pytest.mark.parametrize("show", ["small", "medium"])
def test_each_assumption_of_the_examples_is_about_something(show: str) -> None:
    draft = Draft.example(show)
    draft.files["show.yaml"] = draft.files["show.yaml"].partition("\nconfirmed:\n")[0] + "\n"
    reading = draft.read()
    names = {name for claim in draft.prove().claims for name in claim.assumptions}
    assert len(names) > 10
    assert [name for name in names if about(name, reading.model) is None] == []


@pytest.mark.parametrize("show", ["small", "medium"])
def test_an_open_claim_that_can_be_tried_is_asked_by_the_name_that_settles_it(show: str) -> None:
    opened = [claim for claim in Draft.example(show).prove().claims if claim.status is Status.OPEN]
    tried = {question_of(claim) for claim in opened} - {claim.id for claim in opened}
    told = {name for claim in opened if claim.finding for name in re.findall(r"'settles: ([^']+)'", claim.finding.fix)}
    assert tried == told != set()


def test_every_trial_that_a_rule_asks_for_is_known() -> None:
    """A rule that wants a word under `settles` must be asked for by that word."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in sorted((PACKAGE / "rules").rglob("*.py")))
    assert set(re.findall(r"'settles: \{[^}]+\} (\w+)'", text)) == set(TRIALS)
    assert FIGURES[0] == "kind"
