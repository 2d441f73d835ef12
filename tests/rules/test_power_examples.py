"""The documented examples of the power and earth rules, and their wording."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from support.draft import Draft
from tailboard.findings import Severity, Status

NONE_LISTED = "none listed in this plan; not a safety statement: "
EARTHS = """
# show.yaml
supplies:
  GEN: {earth: ET, breakers: {B1: 70 W}}
  HALL: {earth: EH}
places: {rack: {supply: GEN}, stage: {supply: HALL}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: rack}
  REC-1: {kind: recorder-32, place: stage}
cables:
  C-1: {kind: cat solid, length: 50 m, from: SW-A/1, to: REC-1, screened: yes}
"""

EXAMPLES = {
    "copper-joins-earths": Example(
        EARTHS,
        ("place: stage", "place: rack, supply: GEN, load: 10 W"),
        "show.yaml:9:46",
        ("C-1 runs from earth ET (GEN, SW-A) to earth EH (HALL, REC-1)", "its screen joins them", "-57.8 dBu"),
    ),
    "breaker-overloaded": Example(
        EARTHS.replace("place: stage", "place: rack"),
        ("B1: 70 W", "B1: 110 W"),
        "show.yaml:2:30",
        ("breaker B1 of GEN carries 85 W; it can carry 70 W", "REC-1 draws 60 W", "SW-A draws 25 W"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


@pytest.mark.parametrize(
    ("old", "new", "severity"),
    [
        (", screened: yes", "", Severity.WARNING),
        (", screened: yes", ", screened: yes, screen lifted: yes", Severity.WARNING),
        (", screened: yes", ", screened: yes, state: laid", Severity.WARNING),
        ("kind: cat solid", "kind: mic", Severity.ERROR),
        ("kind: cat solid", "kind: video", Severity.ERROR),
        ("kind: cat solid", "kind: loudspeaker cable", Severity.ERROR),
        ("kind: cat solid", "kind: transformer line", None),
        ("kind: cat solid", "kind: single-mode strand", None),
        ("earth: EH", "earth: ET", None),
    ],
)
def test_grades(old: str, new: str, severity: Severity | None) -> None:
    """The grades are common practice, no source."""
    findings = show(EARTHS.replace(old, new)).findings("copper-joins-earths")
    assert [finding.severity for finding in findings] == ([] if severity is None else [severity])


def test_supply_unknown_is_open() -> None:
    (claim,) = show(EARTHS.replace("stage: {supply: HALL}", "stage: {}")).claims("supply-unknown", Status.OPEN)
    assert claim.subject == ("REC-1",)
    assert claim.finding is not None
    assert "REC-1 or the place stage" in claim.finding.message
    assert not show(EARTHS).claims("supply-unknown", Status.OPEN)


def test_a_plan_without_supplies_has_one_open_claim_if_copper_runs_between_places() -> None:
    bare = EARTHS.partition("supplies:")[0] + EARTHS[EARTHS.index("places:") :]
    bare = bare.replace("{supply: GEN}", "{}").replace("{supply: HALL}", "{}")
    (claim,) = show(bare).claims("supply-unknown")
    assert claim.status is Status.OPEN
    assert not show(bare.replace("place: stage", "place: rack")).claims("supply-unknown")


def test_loads_that_are_not_written_leave_a_breaker_open() -> None:
    text = EXAMPLES["breaker-overloaded"].text.replace("kind: recorder-32", "kind: computer")
    (claim,) = show(text).claims("breaker-overloaded")
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "load of REC-1" in claim.finding.message


def test_devices_without_a_breaker_are_named() -> None:
    text = EXAMPLES["breaker-overloaded"].text.replace("B1: 70 W", "B1: 70 W, B2: 70 W")
    (claim,) = show(text).claims("breaker-overloaded", Status.OPEN)
    assert claim.subject == ("GEN", "breakers")
    assert claim.finding is not None
    assert "SW-A and REC-1" in claim.finding.message


@pytest.mark.parametrize("example", ["small", "medium"])
def test_what_is_not_found_is_never_called_safe(example: str) -> None:
    for claim in Draft.example(example).prove().claims:
        if claim.rule in {"copper-joins-earths", "supply-unknown", "breaker-overloaded"}:
            assert claim.says.startswith(NONE_LISTED)
            assert "safe" not in claim.says.removeprefix(NONE_LISTED)


@pytest.mark.parametrize("rule", EXAMPLES)
def test_each_repair_defers_to_the_electrician_and_local_codes(rule: str) -> None:
    (finding,) = EXAMPLES[rule].draft.findings(rule)
    assert "ask the house electrician" in finding.fix
    assert "a qualified person" in finding.fix
    assert "local codes" in finding.fix


def test_above_50_v_nobody_touches() -> None:
    """50 V: common practice and from memory; local codes decide."""
    (finding,) = show(EARTHS).findings("copper-joins-earths")
    assert "above 50 V stop, do not touch" in finding.fix
    assert "never lift a safety earth" in finding.fix


def test_copper_between_earths_cannot_be_accepted_away() -> None:
    entry = 'accepted: [{claim: "copper-joins-earths:C-1", because: no, by: me, on: 2030-01-01}]\n'
    proof = show(EARTHS + entry).prove()
    assert "copper-joins-earths:C-1" in proof.lapsed
    assert "copper-joins-earths:C-1" in {finding.id for finding in proof.findings}


def test_a_box_on_the_wrong_earth_is_one_cause() -> None:
    """Its nine analogue cables and its data cable are filed under one of them."""
    proof = Draft.example().sub("show.yaml", "SB-1: wing", "SB-1: booth").prove()
    found = [finding for finding in proof.findings if finding.rule == "copper-joins-earths"]
    assert len(found) == 10
    (root,) = [finding for finding in found if finding.id not in proof.parent]
    assert "so do 9 more at SB-1" in root.message
