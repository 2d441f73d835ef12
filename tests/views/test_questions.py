"""Questions: who is asked what, in whose words, and that filled-in answers close what was asked."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache

import pytest

from support.draft import Draft
from tailboard.findings import Severity, Status
from tailboard.rules.run import Proof
from tailboard.term.page import Style
from tailboard.term.questions import questions_page
from tailboard.views.questions import PEOPLE, PersonView, QuestionsView, near_person, questions_view

# What a letter to the house's people must not hold: words of ours, and of the files.
OUR_WORDS = re.compile(
    r"\b(claims?|assumptions?|strips?|subject|findings?|bridges ports|minus|feeds?|yaml|csv|OPEN|kind)\b"
)


def unconfirmed(show: str) -> Draft:
    """Return an example without anything confirmed."""
    draft = Draft.example(show)
    draft.files["show.yaml"] = draft.files["show.yaml"].partition("\nconfirmed:\n")[0] + "\n"
    return draft


def view_of(draft: Draft, wanted: str = "") -> QuestionsView:
    return questions_view(draft.read(), draft.prove(), wanted)


@cache
def views() -> dict[str, QuestionsView]:
    return {show: view_of(unconfirmed(show)) for show in ("small", "medium")}


def asked(view: QuestionsView) -> dict[str, str]:
    """Return who is asked each question."""
    return {one["name"]: person["who"] for person in view["people"] for one in person["questions"]}


def status(proof: Proof) -> Counter[Status]:
    return Counter(claim.status for claim in proof.claims)


@pytest.mark.parametrize(
    ("show", "name", "who"),
    [
        ("small", "LAP-S one interface", "client"),
        ("small", "kind stage-box-24x12", "ourselves"),
        ("small", "FD2 margin", "ourselves"),
        ("medium", "FAC excludes", "house audio"),
        ("medium", "kind outside-network", "house audio"),
        ("medium", "CDC-1 excludes", "ourselves"),
        ("medium", "HF1 coupling", "ourselves"),
        ("medium", "optic O1-U", "ourselves"),
    ],
)
def test_who_can_answer_is_asked(show: str, name: str, who: str) -> None:
    assert asked(views()[show])[name] == who


@pytest.mark.parametrize("show", ["small", "medium"])
def test_each_assumption_and_each_open_claim_is_in_one_question(show: str) -> None:
    draft = unconfirmed(show)
    claims = draft.prove().claims
    rests = [
        (one["name"] if one["sort"] in {"fact", "figures"} else "", claim)
        for person in views()[show]["people"]
        for one in person["questions"]
        for claim in one["rests"]
    ]
    expected = [(name, claim.id) for claim in claims for name in claim.assumptions if claim.status is not Status.OPEN]
    expected += [("", claim.id) for claim in claims if claim.status is Status.OPEN]
    assert sorted(rests) == sorted(expected)
    assert len(asked(views()[show])) == sum(len(person["questions"]) for person in views()[show]["people"])


HOUSE = """format: 1
supplies: {hall: {name: hall sockets, earth: EH, contact: "house electrician, ext. 3"}}
places: {stage: {supply: hall}, foyer: {}}
vlans: {A: {id: 20, subnet: 10.0.1.0/24}, B: {id: 30, subnet: 10.0.2.0/24}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: stage}
  DSK-1: {kind: house-desk, place: stage, owner: the hall}
  PC-1: {kind: computer, place: foyer, address: {A: 10.0.1.5}, one interface: yes, owner: the hall}
  PC-2: {kind: computer, place: stage, address: {A: 10.0.1.6}, one interface: yes, owner: client}
switches: {SW-A: {1-2: {access: A}}}
cables:
  C-1: {kind: cat solid, length: 20 m, from: SW-A/1, to: PC-1}
  C-2: {kind: cat solid, length: 20 m, from: SW-A/2, to: PC-2}
"""


@pytest.mark.parametrize(
    ("old", "new", "name", "who"),
    [
        ("", "", "PC-1 one interface", "IT"),
        ("", "", "PC-2 one interface", "client"),
        ("", "", "supply-unknown:PC-1", "electrician"),
        ("owner: the hall}\n  PC-2", "owner: venue IT}\n  PC-2", "PC-1 one interface", "IT"),
        ("owner: client", "owner: a singer", "PC-2 one interface", "client"),
        (", owner: client", "", "two-interfaces-bridge:PC-2", ""),
    ],
)
def test_the_owner_decides_and_the_rule_before_him(old: str, new: str, name: str, who: str) -> None:
    assert old in HOUSE
    assert asked(view_of(Draft({"show.yaml": HOUSE.replace(old, new) if old else HOUSE}))).get(name, "") == who


def test_the_page_names_its_reader_by_the_plan() -> None:
    people = {person["who"]: person for person in view_of(Draft({"show.yaml": HOUSE}))["people"]}
    assert people["electrician"]["contacts"] == ["house electrician, ext. 3"]
    assert people["IT"]["contacts"] == ["the hall"]
    assert {one["sort"] for one in people["ourselves"]["questions"]} == {
        "figures"
    }  # of built-in kinds: our data sheets
    assert [one["contacts"] for one in views()["medium"]["people"]] == [["the arena"], []]


@pytest.mark.parametrize("who", ["IT", "electrician", "client"])
def test_others_are_asked_in_plain_words(who: str) -> None:
    pages = [
        questions_page(view_of(draft, who), Style())
        for draft in (Draft({"show.yaml": HOUSE}), unconfirmed("small"), unconfirmed("medium"))
    ]
    asked_of = [page for page in pages if not page.startswith("No questions")]
    assert asked_of
    for page in asked_of:
        own = page.partition("For us:")[0]
        assert not OUR_WORDS.findall(own), own


def test_a_house_desk_is_asked_with_the_names_on_its_jacks() -> None:
    page = questions_page(views()["medium"], Style())
    text = " ".join(page.split())
    assert "what we get from FAC on s1, s2 (HPA L and HPA R) holds nothing of what we send into r3..8" in text
    assert re.search(r"it howls\. \d+ claims rest on it: the minus of", text)


def test_each_question_says_what_is_assumed_why_and_leaves_a_blank() -> None:
    for view in views().values():
        for person in view["people"]:
            page = questions_page({**view, "people": [person]}, Style())
            assert page.count("    now: ") == len(person["questions"])
            assert page.count("    why: ") == len(person["questions"])
            assert page.count("no [ ], but: ___") == sum(one["sort"] != "figure" for one in person["questions"])
            assert page.count("____\n") == len(person["questions"]) + 2


@pytest.mark.parametrize("width", [80, 60])
@pytest.mark.parametrize("show", ["small", "medium"])
def test_pages_keep_their_width_and_only_lines_to_copy_are_longer(show: str, width: int) -> None:
    page = questions_page(views()[show], Style(width=width))
    long = [line for line in page.splitlines() if len(line) > width]
    assert long == [line for line in long if width < 80 and line.endswith("}")]


def filled(person: PersonView, word: str = "yes") -> str:
    """Return the lines of a page with a signature and each blank filled in."""
    text = person["text"].replace("{by: , on: ,", "{by: who knows, on: 2031-01-01,")
    assert "by: who knows" in text
    return text.replace("as planned: ,", f"as planned: {word},")


@pytest.mark.parametrize("show", ["small", "medium"])
def test_answers_written_back_settle_what_was_asked(show: str) -> None:
    """What is left open is what only the plan itself can hold: a figure that is not written."""
    draft = unconfirmed(show)
    before = status(draft.prove())
    for person in views()[show]["people"]:
        assert person["file"] not in draft.files
        draft.files[person["file"]] = filled(person)
    proof = draft.prove()
    after = status(proof)
    waiting = [one for person in views()[show]["people"] for one in person["questions"]]
    trials = sum(one["claims"] for one in waiting if one["sort"] == "trial")
    figures = sum(one["claims"] for one in waiting if one["sort"] == "figure")
    assert before[Status.HOLDS_IF] > 50
    assert after[Status.HOLDS_IF] == 0
    assert before[Status.OPEN] == trials + figures
    assert after[Status.OPEN] == figures
    assert after[Status.HOLDS] > before[Status.HOLDS] + before[Status.HOLDS_IF]
    assert not [item.message for item in proof.findings if item.severity > Severity.NOTE]
    left = [one for person in view_of(draft)["people"] for one in person["questions"]]
    assert {one["sort"] for one in left} <= {"figure"}


def test_one_answer_settles_its_question_alone() -> None:
    draft = unconfirmed("medium")
    resting = {one["name"]: one["claims"] for person in views()["medium"]["people"] for one in person["questions"]}
    draft.files["found/answers-house-audio.yaml"] = (
        "read: {by: facility audio, on: 2030-06-14}\nanswers: {FAC excludes: yes}\n"
    )
    after = {one["name"]: one["claims"] for person in view_of(draft)["people"] for one in person["questions"]}
    assert resting.keys() - after.keys() == {"FAC excludes"}
    assert {name: resting[name] for name in after} == after


def test_a_no_is_asked_on_with_what_was_said_and_breaks_the_plan() -> None:
    draft = unconfirmed("medium")
    draft.files["found/answers-house-audio.yaml"] = (
        "read: {by: facility audio, on: 2030-06-14}\nanswers: {FAC excludes: {as planned: no, answer: s3 has r1}}\n"
    )
    view = view_of(draft, "house audio")
    (question,) = [one for one in view["people"][0]["questions"] if one["name"] == "FAC excludes"]
    assert question["answered"] == "no, s3 has r1 (facility audio, 2030-06-14)"
    assert "that does not settle it" in questions_page(view, Style())
    assert [item.rule for item in draft.prove().findings if item.severity is Severity.ERROR] == [
        "answer-contradicts-plan"
    ]


def test_the_form_goes_to_a_file_that_is_not_there() -> None:
    draft = unconfirmed("small")
    draft.files["found/answers-client.yaml"] = "answers: {}\n"
    draft.files["found/answers-client-2.yaml"] = "answers: {}\n"
    (client,) = view_of(draft, "client")["people"]
    assert client["file"] == "found/answers-client-3.yaml"


def test_open_claims_with_one_repair_are_one_question() -> None:
    cables = "".join(f"  C-{n}: {{kind: cat solid, from: SW-A/{n}, to: SW-B/{n}}}\n" for n in (1, 2))
    show = f"devices: {{SW-A: {{kind: odd}}, SW-B: {{kind: odd}}}}\ncables:\n{cables}"
    kinds = "kinds: {odd: {role: switch, ports: {1..2: {medium: network, way: both, rate: 1 G}}}}\n"
    names = asked(view_of(Draft({"show.yaml": show, "kinds/odd.yaml": kinds})))
    assert {"copper-too-long:C-1", "copper-too-long:C-2"} <= set(names)
    twice = view_of(unconfirmed("medium"))
    assert any(
        one["claims"] > 1 for person in twice["people"] for one in person["questions"] if one["sort"] == "figure"
    )


def test_nothing_to_ask_is_said() -> None:
    draft = Draft({"lines.csv": "line,source,place,label,type\n", "show.yaml": "format: 1\n"})
    view = view_of(draft)
    assert view["people"] == []
    assert questions_page(view, Style()).startswith("No questions")


@pytest.mark.parametrize(
    ("word", "who"),
    [("it", "IT"), ("IT", "IT"), ("House Audio", "house audio"), ("house", "house audio"), ("elektrician", "electrician"),
     ("ourselve", "ourselves"), ("cient", "client"), ("nobody", "")],
)  # fmt: skip
def test_a_person_may_be_named_in_short(word: str, who: str) -> None:
    assert near_person(word) == who
    assert who in {*PEOPLE, ""}


def test_the_order_of_rows_changes_no_question() -> None:
    draft = unconfirmed("small")
    rows = draft.rows("lines")
    draft.write("lines", [rows[0], *reversed(rows[1:])])
    assert set(asked(view_of(draft))) == set(asked(views()["small"]))
