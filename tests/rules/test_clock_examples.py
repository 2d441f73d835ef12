"""The documented examples of the clock rules, and what they leave alone."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from support.draft import Draft
from tailboard.findings import Finding, Severity, Status

TWO = """
# show.yaml
devices:
  CON-1:
    kind: console-96
    clock: {priority1: 100, role: leader, rate: 48 kHz}
  SB-1:
    kind: stage-box-24x12
    clock: {priority1: 110, role: second, rate: 48 kHz}
  REC-1:
    kind: recorder-32
    clock: {role: follower only, rate: 48 kHz}
streams:
  ST-1: {from: SB-1, channels: 1..8, rate: 48 kHz, to: {CON-1: 1..8, REC-1: 1..8}}
"""


def edited(old: str, new: str) -> str:
    """Return the plan of two clocks and a recorder with one text replaced."""
    assert TWO.count(old) == 1, old
    return TWO.replace(old, new)


LEADER, SECOND = "priority1: 100, role: leader", "priority1: 110, role: second"
FOLLOWER = "clock: {role: follower only, rate: 48 kHz}"

EXAMPLES = {
    "clock-leader-missing": Example(
        edited(f"clock: {{{LEADER}", "clock: {role: follower only").replace(SECOND, "role: follower only"),
        (
            "role: follower only, rate: 48 kHz}\n  SB-1:\n    kind: stage-box-24x12\n    clock: {role: follower only",
            "priority1: 1, rate: 48 kHz}\n  SB-1:\n    kind: stage-box-24x12\n    clock: {priority1: 2",
        ),
        "show.yaml:4:19",
        ("domain 0", "CON-1, SB-1 and REC-1 are follower only"),
    ),
    "clock-leader-unplanned": Example(
        edited(SECOND, "priority1: 90, role: second"),
        ("priority1: 90", "priority1: 101"),
        "show.yaml:4:24",
        ("CON-1 leads domain 0", "priority1 100", "elected is SB-1", "90"),
    ),
    "clock-leaders-two": Example(
        edited(SECOND, "priority1: 110, role: leader"),
        ("priority1: 110, role: leader", "priority1: 110, role: second"),
        "show.yaml:7:35",
        ("CON-1 and SB-1", "both planned to lead"),
    ),
    "clock-second-missing": Example(
        edited(SECOND, "role: follower only"),
        ("role: follower only, rate: 48 kHz}\n  REC-1", "priority1: 110, rate: 48 kHz}\n  REC-1"),
        "show.yaml:4:5",
        ("without CON-1 nobody leads", "SB-1 and REC-1"),
    ),
    "clock-second-unplanned": Example(
        edited(FOLLOWER, "clock: {priority1: 105, rate: 48 kHz}"),
        ("priority1: 105", "priority1: 115"),
        "show.yaml:7:24",
        ("without CON-1, REC-1 leads", "105", "110", "the plan says SB-1"),
    ),
    "clock-domain-differs": Example(
        edited(SECOND, "domain: 1, priority1: 110").replace(FOLLOWER, "clock: {priority1: 111, rate: 48 kHz}"),
        ("domain: 1, priority1", "domain: 0, priority1"),
        "show.yaml:7:21",
        ("SB-1 runs in clock domain 1", "CON-1 and REC-1 in domain 0", "ST-1", "every 2.1 s"),
    ),
    "clock-rate-differs": Example(
        edited(FOLLOWER, "clock: {role: follower only, rate: 44.1 kHz}"),
        ("44.1 kHz", "48 kHz"),
        "show.yaml:10:40",
        ("REC-1 at 44.1 kHz cannot receive ST-1 at 48 kHz",),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def found(text: str, rule: str) -> list[Finding]:
    return show(text).findings(rule)


def test_clock_priority_shared_is_a_note() -> None:
    text = edited(FOLLOWER, "clock: {priority1: 110, rate: 48 kHz}")
    (finding,) = found(text, "clock-priority-shared")
    assert finding.severity is Severity.NOTE
    assert "SB-1 and REC-1 have the same priorities" in finding.message
    assert not found(text.replace("110, rate", "111, rate"), "clock-priority-shared")


def test_clock_settings_missing_is_open() -> None:
    text = edited(f"    {FOLLOWER}\n", "")
    (claim,) = show(text).claims("clock-settings-missing", Status.OPEN)
    assert claim.id == "clock-settings-missing:REC-1"
    assert claim.finding is not None
    assert "show.yaml" in claim.finding.fix
    assert not show(TWO).claims("clock-settings-missing", Status.OPEN)
    without_rate = edited(FOLLOWER, "clock: {role: follower only}")
    (claim,) = show(without_rate).claims("clock-settings-missing", Status.OPEN)
    assert claim.finding is not None
    assert "sample rate" in claim.finding.message


def test_a_tie_leaves_the_leader_open_until_hardware_addresses_are_written() -> None:
    text = edited(SECOND, "priority1: 100, role: second")
    (claim,) = show(text).claims("clock-leader-unplanned")
    assert claim.status is Status.OPEN
    addresses = text.replace("kind: console-96", "kind: console-96\n    MAC: 02:00:00:00:00:02")
    addresses = addresses.replace("kind: stage-box-24x12", "kind: stage-box-24x12\n    MAC: 02:00:00:00:00:01")
    (finding,) = found(addresses, "clock-leader-unplanned")
    assert "hardware address is lower" in finding.message
    other_way = addresses.replace("00:02", "00:00")
    assert not found(other_way, "clock-leader-unplanned")


def test_a_default_priority_is_an_assumption() -> None:
    text = edited(LEADER, "role: leader").replace(SECOND, "priority1: 130, role: second")
    (claim,) = show(text).claims("clock-leader-unplanned")
    assert claim.status is Status.HOLDS_IF
    assert claim.assumptions == ("CON-1 priority1",)


def test_a_gateway_may_stand_between_two_domains_and_rates() -> None:
    text = edited("recorder-32", "network-gateway-16").replace(
        FOLLOWER, "clock: {domain: 3, priority1: 1, rate: 44.1 kHz}"
    )
    assert not found(text, "clock-domain-differs")
    assert not found(text, "clock-rate-differs")


def test_a_stream_that_alone_differs_is_itself_at_fault() -> None:
    (finding,) = found(edited("rate: 48 kHz, to", "rate: 96 kHz, to"), "clock-rate-differs")
    assert finding.subject == ("ST-1",)
    assert "96 kHz" in finding.message


def test_the_recorder_of_the_small_show_at_44_1_khz() -> None:
    draft = Draft.example()
    draft.sub("rig.yaml", "role: follower only, rate: 48 kHz", "role: follower only, rate: 44.1 kHz")
    (finding,) = draft.findings("clock-rate-differs")
    assert finding.severity is Severity.ERROR
    assert finding.message == "REC-1 at 44.1 kHz cannot receive ST-1, ST-2, ST-4, ST-5, ST-6 and ST-7 at 48 kHz"
    assert set(finding.feeds) == {"FD9", "FD12", "FD13", "FD14", "FD15"}


def test_a_parted_trunk_is_the_cause_of_a_leader_of_its_own() -> None:
    draft = Draft.example().sub("rig.yaml", "S1: {optic: O1S-D}", "S1: {optic: O1S-U}")
    proof = draft.prove()
    (finding,) = [item for item in proof.findings if item.rule == "clock-leader-unplanned"]
    assert finding.subject[-1] == "SB-1"
    assert "cable F-01" in finding.rests_on
