"""Answers in found/: the forms they may be written in, who signs them, and which of two counts."""

from __future__ import annotations

import pytest

from support.draft import Draft
from tailboard.model.records import FoundAnswer
from tailboard.model.show import Model

SHOW = "format: 1\ndevices: {HD-1: {kind: house-desk}}\n"


def model_of(*documents: str, show: str = SHOW) -> Model:
    """Return the model of a show with some documents in found/."""
    files = {f"found/answers-{number}.yaml": text for number, text in enumerate(documents, 1)}
    reading = Draft({"show.yaml": show, **files}).read()
    assert not [f"{item.spot} {item.message}" for item in reading.findings if item.rule != "show-empty"]
    return reading.model


def answer_of(*documents: str) -> FoundAnswer:
    (answer,) = model_of(*documents).found.answers.values()
    return answer


@pytest.mark.parametrize(
    ("written", "as_planned", "words"),
    [
        ("yes", True, ""),
        ("No", False, ""),
        ("only aux 1", None, "only aux 1"),
        ("{as planned: yes}", True, ""),
        ("{as planned: no, answer: aux 2 carries it}", False, "aux 2 carries it"),
        ("{answer: 60 m}", None, "60 m"),
        ('"60"', None, "60"),
    ],
)
def test_the_forms_of_an_answer(written: str, as_planned: bool | None, words: str) -> None:
    answer = answer_of(f"answers: {{HD-1 excludes: {written}}}\n")
    assert (answer.as_planned, answer.answer) == (as_planned, words)
    assert answer.id == "HD-1 excludes"


@pytest.mark.parametrize("written", ["", '"-"', '""', "{as planned: , answer: }", "{by: A1, on: 2030-01-01}", "{}"])
def test_a_blank_is_no_answer(written: str) -> None:
    assert not model_of(f"answers:\n  HD-1 excludes: {written}\n").found.answers


def test_the_head_signs_what_does_not_sign_itself() -> None:
    head = "read: {by: A1, on: 2030-01-01 10:00}\n"
    answer = answer_of(head + "answers: {HD-1 excludes: yes}\n")
    assert (answer.by, answer.on) == ("A1", "2030-01-01 10:00")
    answer = answer_of(head + "answers: {HD-1 excludes: {as planned: yes, by: house sound}}\n")
    assert (answer.by, answer.on) == ("house sound", "2030-01-01 10:00")


def test_a_name_keeps_its_dots_and_colons() -> None:
    """Ids of claims may look like ranges."""
    model = model_of('answers: {"bus-loop:1..3": {answer: no loop}}\n')
    assert list(model.found.answers) == ["bus-loop:1..3"]


YES, NO = "answers: {HD-1 excludes: yes}\n", "answers: {HD-1 excludes: no}\n"


def head(day: str) -> str:
    return f"read: {{by: A1, on: {day}}}\n"


@pytest.mark.parametrize(
    ("first", "second", "counts"),
    [
        (head("2030-01-02") + NO, head("2030-01-03") + YES, True),
        (head("2030-01-03") + YES, head("2030-01-02") + NO, True),
        (head("2030-01-02") + YES, head("2030-01-03") + NO, False),
        (head("2030-01-02") + NO, head("2030-01-02") + YES, False),
        (head("2030-01-02") + NO, head("2030-01-02 09:00") + YES, True),
        (NO, head("2030-01-03") + YES, False),
        (head("2030-01-03") + YES, NO, False),
        (YES, NO, False),
        (NO, YES, False),
    ],
)
def test_of_two_answers_the_later_counts_and_a_no_stays_where_that_is_not_known(
    first: str, second: str, counts: bool
) -> None:
    assert answer_of(first, second).as_planned is counts


def test_a_wrong_form_is_told_with_the_right_one() -> None:
    reading = Draft({"show.yaml": SHOW, "found/answers-1.yaml": "answers: [HD-1 excludes]\n"}).read()
    (finding,) = [item for item in reading.findings if item.spot.file.startswith("found/")]
    assert "needs the question before each answer" in finding.message
    assert "tailboard questions" in finding.fix


SETTLED = [
    (head("2030-01-03") + YES, True),
    ("read: {by: A1}\n" + YES, False),
    ("read: {on: 2030-01-03}\n" + YES, False),
    (YES, False),
    (NO, False),
    (head("2030-01-03") + "answers: {HD-1 excludes: as agreed}\n", False),
]


@pytest.mark.parametrize(("document", "settled"), SETTLED)
def test_only_a_signed_and_dated_yes_settles(document: str, settled: bool) -> None:
    assert ("HD-1 excludes" in model_of(document).settled) is settled


def test_a_no_unsettles_what_was_confirmed() -> None:
    show = f"{SHOW}confirmed: {{C-1: {{what: w, by: EIC, on: 2030-01-01, settles: HD-1 excludes}}}}\n"
    assert "HD-1 excludes" in model_of(show=show).settled
    assert "HD-1 excludes" not in model_of(NO, show=show).settled
