"""The documented examples of the clock rules, and what they leave alone."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.findings import Finding, Severity, Status
from tailboard.physics.clock import Code

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


JOINING = """
# show.yaml
kinds:
  sw: {role: switch, ports: {1..4: &port {medium: network, way: both}}}
  desk: {role: console, sample rate: 48 kHz, ports: {net: *port}}
vlans:
  AUDIO: {id: 20, multicast: yes}
devices:
  SW-1: {kind: sw}
  CON-1:
    kind: desk
    ports: {net: AUDIO}
    clock: {priority1: 100, role: leader, rate: 48 kHz}
  SB-1:
    kind: desk
    ports: {net: AUDIO}
    clock: {priority1: 110, role: second, rate: 48 kHz}
  HOUSE:
    kind: desk
    clock: {priority1: 80, rate: 48 kHz}
switches:
  SW-1: {1..4: {access: AUDIO}}
cables:
  C-1: {kind: cat solid, length: 5 m, from: SW-1/1, to: CON-1/net}
  C-2: {kind: cat solid, length: 5 m, from: SW-1/2, to: SB-1/net}
  H-1: {kind: cat solid, length: 5 m, from: SW-1/4, to: HOUSE/net, state: laid}
"""

LEADER, SECOND = "priority1: 100, role: leader", "priority1: 110, role: second"
FOLLOWER = "clock: {role: follower only, rate: 48 kHz}"

EXAMPLES = {
    "clock-never-follows": Example(
        edited(SECOND, "priority1: 110, class: 6, role: second"),
        ("class: 6, ", ""),
        "show.yaml:7:36",
        ("SB-1 has clock class 6", "never follows", "CON-1 leads domain 0"),
    ),
    "clock-way-uncorrected": Example(
        JOINING.replace("multicast: yes}", "multicast: yes, clock corrected: yes}").replace(
            "priority1: 80", "priority1: 180"
        ),
        ("SW-1: {kind: sw}", "SW-1: {kind: sw, clock: {transparent: yes}}"),
        "show.yaml:5:52",
        ("SW-1 does not correct the clock of CON-1", "SB-1"),
    ),
    "clock-changes-when-plugged": Example(
        JOINING,
        ("priority1: 80", "priority1: 180"),
        "show.yaml:24:75",
        ("when H-1 is plugged", "HOUSE leads AUDIO, domain 0 in place of CON-1", "CON-1 and SB-1 change over"),
    ),
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


GATEWAY = """
# show.yaml
vlans:
  AUDIO: {id: 20, subnet: 10.41.20.0/24, multicast: yes}
  HOUSE: {id: 70, subnet: 10.41.70.0/24, multicast: yes, owner: the hall}
devices:
  SW-1: {kind: switch-16-copper-4-sfp}
  CON-1: {kind: console-96, ports: {audio: AUDIO}, address: {AUDIO: 10.41.20.10}, clock: {domain: 10, priority1: 1, role: leader, rate: 48 kHz}}
  GW-1:
    kind: network-gateway-16
    address: {AUDIO: 10.41.20.50, HOUSE: 10.41.70.50}
    ports: {a: AUDIO, b: HOUSE}
    clock: {domain: 10, role: follower only, rate: 48 kHz}
    domain by port: {b: 0}
  FAC: {kind: outside-network, owner: the hall, address: {HOUSE: 10.41.70.9}, clock: {role: leader, priority1: 1, rate: 48 kHz}}
switches:
  SW-1: {1-2: {access: AUDIO}, 3-4: {access: HOUSE}}
cables:
  C-1..2: {kind: cat solid, length: 5 m, from: SW-1/1..2, to: "CON-1/audio, GW-1/a"}
  C-3..4: {kind: cat solid, length: 5 m, from: SW-1/3..4, to: "GW-1/b, FAC/net"}
streams:
  ST-1: {from: GW-1, channels: 1..8, rate: 48 kHz, vlan: AUDIO, to: {CON-1: 1..8}}
  FA-1: {from: FAC, channels: s1..8, rate: 48 kHz, vlan: HOUSE, to: {GW-1: 1..8}}
"""


@pytest.mark.parametrize(
    ("old", "new", "subject", "words"),
    [
        ("channels: 1..8, rate: 48 kHz", "channels: 1..8, rate: 96 kHz", "ST-1", "ST-1 is written at 96 kHz, but GW-1 and CON-1 run at 48 kHz"),
        ("channels: s1..8, rate: 48 kHz", "channels: s1..8, rate: 96 kHz", "FA-1", "FA-1 is written at 96 kHz, but FAC runs at 48 kHz"),
        ("role: follower only, rate: 48 kHz", "role: follower only, rate: 96 kHz", "GW-1", "GW-1 at 96 kHz cannot send ST-1 at 48 kHz"),
    ],
    ids=["our side", "their side", "the gateway itself"],
)  # fmt: skip
def test_a_stream_of_a_gateway_has_the_rate_of_the_end_that_does_not_convert(
    old: str, new: str, subject: str, words: str
) -> None:
    """The gateway's own clock says the rate of the side that follows it; the other side may run at any rate."""
    assert not found(GATEWAY, "clock-rate-differs")
    assert GATEWAY.count(old) == 1
    (finding,) = found(GATEWAY.replace(old, new), "clock-rate-differs")
    assert finding.subject == (subject,)
    assert words in finding.message


def test_the_other_side_of_a_gateway_may_run_at_another_rate() -> None:
    text = GATEWAY.replace("priority1: 1, rate: 48 kHz}}\nswitches", "priority1: 1, rate: 96 kHz}}\nswitches")
    assert not found(
        text.replace("channels: s1..8, rate: 48 kHz", "channels: s1..8, rate: 96 kHz"), "clock-rate-differs"
    )


def test_a_gateway_and_the_house_behind_it_need_clock_settings() -> None:
    for old in (
        "    clock: {domain: 10, role: follower only, rate: 48 kHz}\n",
        ", clock: {role: leader, priority1: 1, rate: 48 kHz}",
    ):
        assert GATEWAY.count(old) == 1
        assert len(show(GATEWAY.replace(old, "")).claims("clock-settings-missing", Status.OPEN)) == 1
    assert not show(GATEWAY).claims("clock-settings-missing", Status.OPEN)


def test_a_panel_that_converts_the_rate_needs_none() -> None:
    text = TWO + "  ST-9: {from: KP-1, channel count: 2, to: CON-1}\n"
    text = text.replace("devices:", "devices:\n  KP-1: {kind: network-panel}")
    assert not show(text).claims("clock-settings-missing", Status.OPEN)
    own = text.replace("kind: network-panel", "kind: own-panel")
    own += "# kinds/own.yaml\nkinds:\n  own-panel: {role: panel, send channels: 2, ports: {net: {medium: network, way: both}}}\n"
    (claim,) = show(own).claims("clock-settings-missing", Status.OPEN)
    assert claim.id == "clock-settings-missing:KP-1"


def test_a_boundary_clock_passes_the_best_time_on() -> None:
    """IEEE 1588-2008 Figure 26: the port towards the source follows (S1), the others pass its time on (M3)."""
    text = """
# show.yaml
vlans: {A: {id: 10, multicast: yes}, B: {id: 20, multicast: yes}}
devices:
  REF: {kind: console-96, address: {A: 10.0.0.1}, clock: {priority1: 50, role: leader}}
  BC: {kind: network-gateway-16, address: {A: 10.0.0.2, B: 10.1.0.2}, clock: {priority1: 90, boundary: yes}}
  CON: {kind: console-96, address: {B: 10.1.0.3}, clock: {priority1: 70}}
  BOX: {kind: recorder-32, address: {A: 10.0.0.4}, clock: {role: follower only}}
"""
    islands = {island.vlan: island for island in Ask(show(text).read().model)(clock).islands}
    codes = {
        (vlan, member.device): island.decision(member) for vlan, island in islands.items() for member in island.members
    }
    assert codes == {
        ("A", "REF"): Code.M2, ("A", "BC"): Code.S1, ("A", "BOX"): Code.S1, ("B", "BC"): Code.M3, ("B", "CON"): Code.S1,
    }  # fmt: skip
    assert islands["B"].source is not None
    assert islands["B"].source.device == "REF"
    says = [claim.says for claim in show(text).claims("clock-leader-unplanned")]
    assert says == ["REF leads the clock of A, domain 0", "BC passes the clock of REF on to B, domain 0"]
    plain = {i.vlan: i for i in Ask(show(text.replace(", boundary: yes", "")).read().model)(clock).islands}
    assert plain["B"].leader is not None
    assert plain["B"].leader.device == "CON"
    (finding,) = found(text.replace("priority1: 70", "priority1: 70, role: leader"), "clock-leader-unplanned")
    assert "whose time the boundary clock BC passes on" in finding.message


def test_a_transparent_clock_leads_nobody() -> None:
    """IEEE 1588-2008 clause 10 (from memory): it passes messages on and takes no part in the election."""
    text = JOINING.replace("SW-1: {kind: sw}", "SW-1: {kind: sw, clock: {transparent: yes, priority1: 1}}")
    islands = Ask(show(text).read().model)(clock).islands
    assert [island.leader.device for island in islands if island.leader] == ["CON-1"]
    assert "SW-1" not in {name for island in islands for name in island.devices}


@pytest.mark.parametrize(
    ("rate", "words"),
    [
        (
            "47.952 kHz",
            "pulled down by 1001 to 1000, as for another picture rate: where the two meet unconverted, 48 samples",
        ),
        ("48.048 kHz", "pulled up by 1001 to 1000"),
    ],
)
def test_a_rate_that_is_pulled_is_told_as_such(rate: str, words: str) -> None:
    """48 kHz x 1000/1001 = 47,952.05 Hz and 48 kHz x 1001/1000 = 48,048 Hz: arithmetic of 30 and 30/1.001 pictures a second."""
    findings = show(edited(FOLLOWER, f"clock: {{role: follower only, rate: {rate}}}")).findings("clock-rate-differs")
    assert words in findings[0].message
    other = show(edited(FOLLOWER, "clock: {role: follower only, rate: 44.1 kHz}")).findings("clock-rate-differs")
    assert "pulled" not in other[0].message
