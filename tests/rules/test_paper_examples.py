"""The documented examples of the rules on answers, and what counts as an answer."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, roots, show
from tailboard.findings import Severity, Status
from tailboard.rules.run import prove

GUEST = """
# show.yaml
vlans: {INET: {id: 30, subnet: 10.1.30.0/24}}
places: {stage: {}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: stage}
  LAP-S: {kind: computer, place: stage, address: {INET: 10.1.30.7}, one interface: yes, owner: the presenter}
switches: {SW-A: {1: {access: INET}}}
cables:
  C-1: {kind: cat solid, length: 20 m, from: SW-A/1, to: LAP-S}
# found/answers-client.yaml
read: {by: stage manager, on: 2027-11-19}
answers:
  LAP-S one interface: {as planned: no, answer: it shares its mobile data}
"""
UNSIGNED = GUEST.replace("read: {by: stage manager, on: 2027-11-19}", "read: {on: 2027-11-19}").replace(
    "{as planned: no, answer: it shares its mobile data}", "yes"
)
MISSPELT = GUEST.replace("LAP-S one interface:", "LAP-S one interfaces:")
LENGTH = """
# show.yaml
vlans: {INET: {id: 30, subnet: 10.1.30.0/24}}
places: {stage: {}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: stage}
  SW-B: {kind: switch-8-copper-2-sfp, place: stage}
switches: {SW-A: {1: {access: INET}}, SW-B: {1: {access: INET}}}
cables:
  C-1: {kind: cat solid, from: SW-A/1, to: SW-B/1}
# found/answers-ourselves.yaml
read: {by: sound assistant, on: 2027-11-19}
answers:
  "copper-too-long:C-1": 60 m
"""

EXAMPLES = {
    "answer-contradicts-plan": Example(
        GUEST,
        ("as planned: no, answer: it shares its mobile data", "as planned: yes"),
        "show.yaml:5:84",
        ("'one interface' of LAP-S", "the answer is no", "it shares its mobile data", "stage manager, 2027-11-19"),
    ),
    "answer-settles-nothing": Example(
        UNSIGNED,
        ("read: {on:", "read: {by: stage manager, on:"),
        "found/answers-client.yaml:3:3",
        ("LAP-S one interface", "is yes", "does not say who gives it"),
    ),
    "answer-without-question": Example(
        MISSPELT,
        ("interfaces: {as planned: no, answer: it shares its mobile data}", "interface: {as planned: yes}"),
        "found/answers-client.yaml:3:3",
        ("nobody asks 'LAP-S one interfaces'", "did you mean 'LAP-S one interface'?"),
    ),
    "answer-not-in-plan": Example(
        LENGTH,
        ("{kind: cat solid, from", "{kind: cat solid, length: 60 m, from"),
        "show.yaml:8:3",
        ("'60 m'", "sound assistant, 2027-11-19", "no length is written for C-1"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def test_a_contradiction_names_both_places() -> None:
    (finding,) = show(GUEST).findings("answer-contradicts-plan")
    assert finding.severity is Severity.ERROR
    assert [str(reason.spot) for reason in finding.because] == ["found/answers-client.yaml:3:37"]
    assert "show.yaml" in finding.fix
    assert "found/answers-client.yaml" in finding.fix


def test_a_no_takes_back_what_was_confirmed() -> None:
    """Signed or not: whoever doubts it is right until somebody has looked."""
    confirmed = GUEST.replace(
        "# found/", "confirmed: [{what: w, by: EIC, on: 2027-11-01, settles: LAP-S one interface}]\n# found/"
    )
    confirmed = confirmed.replace("[{what", "{CF-1: {what").replace("interface}]", "interface}}")
    doubted = confirmed.replace("read: {by: stage manager, on: 2027-11-19}\n", "")
    for text, status in (
        (confirmed, Status.HOLDS_IF),
        (doubted, Status.HOLDS_IF),
        (confirmed.partition("# found")[0], Status.HOLDS),
    ):
        (claim,) = [one for one in show(text).claims("two-interfaces-bridge") if one.subject == ("LAP-S",)]
        assert claim.status is status, text
    (finding,) = show(doubted).findings("answer-contradicts-plan")
    assert "not signed" in finding.message


@pytest.mark.parametrize(
    ("head", "answer", "lacks"),
    [
        ("read: {by: A}", "yes", "on which day"),
        ("read: {on: 2027-11-19}", "yes", "who gives it"),
        ("read: {by: A, on: 2027-11-19}", "I think so", "whether it is as planned"),
        ("read: {by: A, on: 2027-11-19}", "{answer: as agreed on the phone}", "whether it is as planned"),
        ("", "{as planned: yes}", "who gives it and on which day"),
    ],
)
def test_what_an_answer_lacks_is_said_and_it_settles_nothing(head: str, answer: str, lacks: str) -> None:
    text = UNSIGNED.replace("read: {on: 2027-11-19}", head).replace(
        "LAP-S one interface: yes", f"LAP-S one interface: {answer}"
    )
    (finding,) = show(text).findings("answer-settles-nothing")
    assert f"does not say {lacks}" in finding.message
    (claim,) = [one for one in show(text).claims("two-interfaces-bridge") if one.subject == ("LAP-S",)]
    assert claim.status is Status.HOLDS_IF


def test_a_signature_of_its_own_is_enough() -> None:
    text = UNSIGNED.replace("LAP-S one interface: yes", "LAP-S one interface: {as planned: yes, by: stage manager}")
    assert not roots(show(text), "answer-settles-nothing")


def test_an_empty_form_says_nothing() -> None:
    text = UNSIGNED.replace("LAP-S one interface: yes", "LAP-S one interface: {as planned: , answer: }").replace(
        "read: {on: 2027-11-19}", "read: {by: , on: , how: }"
    )
    assert not [item for item in show(text).prove().findings if item.severity > Severity.NOTE]
    assert not show(text).read().model.found.answers


def test_an_answer_to_what_was_settled_before_is_no_idle_one() -> None:
    """Its claim names the assumption no longer, for it is settled."""
    text = GUEST.replace("as planned: no, answer: it shares its mobile data", "as planned: yes")
    reading = show(text).read()
    assert not [item.id for item in prove(reading.model).findings if item.rule == "answer-without-question"]


@pytest.mark.parametrize("name", ["kind switch-8-copper-2-sfp", "LAP-S owner", "cable kind cat solid"])
def test_an_answer_about_a_thing_of_the_plan_is_no_idle_one(name: str) -> None:
    text = UNSIGNED.replace("LAP-S one interface: yes", f"{name}: {{as planned: yes, by: A}}")
    assert not show(text).findings("answer-without-question")


def test_a_name_like_none_is_told_where_the_names_stand() -> None:
    (finding,) = show(MISSPELT.replace("LAP-S one interfaces", "the weather")).findings("answer-without-question")
    assert "did you mean" not in finding.message
    assert "tailboard questions" in finding.fix
