"""The documented examples of the rules on single failures and reserves, and their edges."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from support.draft import Draft
from tailboard.findings import Severity, Status
from tailboard.rules import faults
from tailboard.rules.run import evidence_sum

SWITCHES = """
devices:
  SW-A: {kind: switch-8-copper-2-sfp}
  SW-B: {kind: switch-8-copper-2-sfp}
"""
OPTICS = """\
switches:
  SW-A: {S1: {optic: O1S-U}, S2: {optic: O1S-U, shut: yes}}
  SW-B: {S1: {optic: O1S-D}, S2: {optic: O1S-D, shut: yes}}
"""
STRANDS = f"""
# show.yaml
vlans: {{AUDIO: {{id: 20}}, COMMS: {{id: 50}}, PARK: {{id: 999}}}}
{SWITCHES.strip()}
{OPTICS}cables:
  F-01: {{kind: single-mode strand, length: 150 m, mated pairs: 4, drum: D-1, route: west, from: SW-A/S1, to: SW-B/S1, carries: [AUDIO, COMMS], native: PARK}}
  F-02: {{kind: single-mode strand, length: 150 m, mated pairs: 4, drum: D-2, route: east, from: SW-A/S2, to: SW-B/S2, carries: [AUDIO, COMMS], native: PARK, state: capped}}
"""
SAME_DRUM = STRANDS.replace("drum: D-2, route: east", "drum: D-1, route: west")
FEWER = STRANDS.replace("carries: [AUDIO, COMMS], native: PARK, state", "carries: [AUDIO], native: PARK, state")
RESERVE = """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  SB-2: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
  CON-2: {kind: console-96}
cables:
  M-1: {kind: mic, length: 20 m, route: gutter, from: line 1, to: SB-1/1}
  M-2: {kind: mic, length: 20 m, route: gutter, from: line 2, to: SB-2/1}
# lines.csv
line,source,label,type,hole,strip,reserve
1,voice,VOX,dynamic,SB-1/1,CON-1/1,2
2,voice,VOX R,dynamic,SB-2/1,CON-2/1,
"""
APART = """
# show.yaml
supplies: {G1: {earth: E}, G2: {earth: E}}
places: {rack: {supply: G1}, hut: {supply: G2}}
vlans:
  RED: {id: 20}
  BLUE: {id: 21, apart from: RED}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: rack}
  SW-B: {kind: switch-8-copper-2-sfp, place: hut}
  REC-1: {kind: recorder-32, place: rack, address: {RED: 10.0.20.1}}
  REC-2: {kind: recorder-32, place: hut, address: {BLUE: 10.0.21.1}}
switches:
  SW-A: {1: {access: RED}, 2: {access: RED}}
  SW-B: {1: {access: BLUE}, 2: {access: BLUE}}
cables:
  C-1: {kind: cat solid, length: 5 m, from: SW-A/1, to: REC-1}
  C-2: {kind: cat solid, length: 5 m, from: SW-B/1, to: REC-2}
"""
ONE_SWITCH = APART.replace("from: SW-B/1", "from: SW-A/3").replace("2: {access: RED}", "3: {access: BLUE}").replace("REC-2: {kind: recorder-32, place: hut", "REC-2: {kind: recorder-32, place: rack")  # fmt: skip
SURVIVE = """
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  SB-2: {kind: stage-box-24x12}
  CON-1: {kind: console-96}
requirements:
  R1: {must: the voice goes on, proven by: failure-not-survived, keeps: "1", survives: SB-1}
# lines.csv
line,source,label,type,hole,strip,gain owner
1,voice,VOX,dynamic,SB-1/1,CON-1/1,CON-1
2,voice,VOX R,dynamic,SB-2/1,CON-1/2,CON-1
"""

EXAMPLES = {
    "spare-cable-shares-route": Example(
        SAME_DRUM,
        ("drum: D-1, route: west, from: SW-A/S2", "drum: D-2, route: east, from: SW-A/S2"),
        "show.yaml:10:73",
        ("F-02, the spare of F-01, shares drum D-1 and route west with it: one cut takes both", "F-01 is on drum D-1"),
    ),
    "spare-cable-differs": Example(
        FEWER,
        ("carries: [AUDIO], native", "carries: [AUDIO, COMMS], native"),
        "show.yaml:10:128",
        ("F-02, the spare of F-01, does not pass COMMS at SW-A/S2", "F-01 ends in SW-A/S1"),
    ),
    "reserve-shares-route": Example(
        RESERVE,
        ("route: gutter, from: line 2", "route: bridge, from: line 2"),
        "show.yaml:8:41",
        ("line 2, the reserve of line 1, shares route gutter with it: M-2 of line 2 and M-1 of line 1",),
    ),
    "networks-share": Example(
        ONE_SWITCH,
        ("apart from: RED", "purpose: second"),
        "show.yaml:5:30",
        ("BLUE and RED are to stand apart, but both need SW-A and supply G1", "SW-A carries BLUE and RED"),
    ),
    "failure-not-survived": Example(
        SURVIVE,
        ("survives: SB-1", "survives: SB-2"),
        "show.yaml:6:88",
        ("without SB-1 the show loses what R1 must keep: line 1", "SB-1 fails"),
    ),
}


def test_every_rule_has_an_example() -> None:
    assert set(EXAMPLES) == {module.RULE.name for module in faults.MODULES}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def statuses(text: str, rule: str) -> dict[str, Status]:
    return {claim.id: claim.status for claim in show(text).claims(rule)}


def test_spares_whose_ways_are_not_written_are_open() -> None:
    text = STRANDS.replace(", route: east", "")
    assert statuses(text, "spare-cable-shares-route") == {"spare-cable-shares-route:F-02:F-01": Status.OPEN}
    (claim,) = show(text).claims("spare-cable-shares-route")
    assert claim.finding is not None
    assert "the route of F-02 is not written" in claim.finding.message
    assert statuses(STRANDS, "spare-cable-shares-route") == {"spare-cable-shares-route:F-02:F-01": Status.HOLDS}


def test_one_main_by_another_way_is_enough() -> None:
    third = "  F-03: {kind: single-mode strand, length: 150 m, drum: D-3, route: north, from: SW-A/1, to: SW-B/1}\n"
    (claim,) = show(SAME_DRUM + third).claims("spare-cable-shares-route")
    assert claim.status is Status.HOLDS
    assert claim.subject == ("F-02", "F-01", "F-03")


@pytest.mark.parametrize("state", ["laid", "capped"])
def test_a_cable_that_goes_elsewhere_is_no_spare(state: str) -> None:
    text = SAME_DRUM.replace("to: SW-B/S2", "to: SW-C/S2").replace("state: capped", f"state: {state}")
    assert not statuses(text, "spare-cable-shares-route")
    assert not statuses(text, "spare-cable-differs")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("native: PARK, state", "native: AUDIO, state", "does not pass PARK at SW-A/S2"),
        ("carries: [AUDIO, COMMS], native: PARK, state", "carries: [PARK, COMMS], native: AUDIO, state", "has AUDIO untagged instead of PARK"),
        ("carries: [AUDIO, COMMS], native: PARK, state", "carries: [AUDIO, COMMS, MORE], native: PARK, state", "passes MORE too"),
        ("S2: {optic: O1S-D, shut: yes}", "S2: {optic: O1S-D, shut: yes, access: PARK}", "does not pass AUDIO and COMMS at SW-B/S2"),
    ],
)  # fmt: skip
def test_what_a_spare_may_pass_otherwise(old: str, new: str, words: str) -> None:
    text = STRANDS.replace(old, new).replace("COMMS: {id: 50}", "COMMS: {id: 50}, MORE: {id: 60}")
    (finding,) = show(text).findings("spare-cable-differs")
    assert words in finding.message


def test_a_reserve_whose_ways_are_not_written_makes_no_claim() -> None:
    assert not statuses(RESERVE.replace("route: gutter, from: line 2", "from: line 2"), "reserve-shares-route")


def test_networks_apart_hold_and_what_is_not_written_is_open() -> None:
    assert statuses(APART, "networks-share") == {"networks-share:BLUE:RED": Status.HOLDS}
    (claim,) = show(APART.replace("hut: {supply: G2}", "hut: {}")).claims("networks-share")
    assert claim.status is Status.OPEN
    assert claim.finding is not None
    assert "the supply of SW-B is not written" in claim.finding.message
    far = APART.replace("REC-2: {kind: recorder-32, place: hut", "REC-2: {kind: recorder-32, place: rack")
    (claim,) = show(far).claims("networks-share")
    assert claim.finding is not None
    assert "the route of C-2 is not written" in claim.finding.message


def test_networks_apart_may_not_share_a_drum_a_route_or_a_supply() -> None:
    text = APART.replace("from: SW-A/1", "route: gutter, drum: D-1, from: SW-A/1").replace("from: SW-B/1", "route: gutter, drum: D-1, from: SW-B/1")  # fmt: skip
    (finding,) = show(text).findings("networks-share")
    assert "both need drum D-1 and route gutter" in finding.message
    (finding,) = show(APART.replace("hut: {supply: G2}", "hut: {supply: G1}")).findings("networks-share")
    assert "both need supply G1" in finding.message


def test_written_at_both_or_at_one_it_is_one_claim() -> None:
    both = APART.replace("RED: {id: 20}", "RED: {id: 20, apart from: BLUE}")
    assert statuses(both, "networks-share") == {"networks-share:BLUE:RED": Status.HOLDS}


def test_a_line_is_kept_by_its_reserve() -> None:
    text = SURVIVE.replace("gain owner", "gain owner,reserve").replace("CON-1/1,CON-1", "CON-1/1,CON-1,2")
    text = text.replace("CON-1/2,CON-1", "CON-1/2,CON-1,")
    assert statuses(text, "failure-not-survived") == {"failure-not-survived:R1:SB-1": Status.HOLDS}
    assert statuses(text.replace("survives: SB-1", "survives: CON-1"), "failure-not-survived") == {
        "failure-not-survived:R1:CON-1": Status.BROKEN
    }


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("survives: SB-1", "survives: SB-7", "names 'SB-7' under survives, and nothing here is called so"),
        ("survives: SB-1", "survives: SB1", "did you mean 'SB-1'?"),
        ('keeps: "1"', 'keeps: "9"', "names '9' under keeps"),
        (', keeps: "1"', "", "has 'survives' and no 'keeps'"),
        (", survives: SB-1", "", "has 'keeps' and no 'survives'"),
    ],
)
def test_names_that_nothing_bears_are_open(old: str, new: str, words: str) -> None:
    found = show(SURVIVE.replace(old, new)).claims("failure-not-survived", Status.OPEN)
    (claim,) = found
    assert claim.finding is not None
    assert words in claim.finding.message


def test_every_thing_of_a_sort_is_tried() -> None:
    text = SURVIVE.replace("survives: SB-1", "survives: every device")
    assert statuses(text, "failure-not-survived") == {
        "failure-not-survived:R1:SB-1": Status.BROKEN,
        "failure-not-survived:R1:SB-2": Status.HOLDS,
        "failure-not-survived:R1:CON-1": Status.BROKEN,
    }


def test_the_clean_shows_have_no_open_claim_of_this_family() -> None:
    names = {module.RULE.name for module in faults.MODULES}
    for example in ("small", "medium"):
        assert not [c.id for c in Draft.example(example).prove().claims if c.rule in names and c.status is Status.OPEN]


def test_an_acceptance_lapses_when_the_evidence_changes() -> None:
    """The spare of the small show is accepted for its drum; a route that the two share besides is another break."""
    draft = Draft.example()
    (claim,) = draft.claims("spare-cable-shares-route", Status.BROKEN)
    assert claim.finding is not None
    assert claim.finding.severity is Severity.WARNING
    entry = f'{{claim: "{claim.id}"'
    draft.sub("show.yaml", entry, f"{entry}, evidence: {evidence_sum(claim.finding)}")
    assert claim.id in draft.prove().accepted
    for strand in ("F-01", "F-02"):
        draft.sub("show.yaml", f"{strand}: {{from:", f"{strand}: {{route: gutter, from:")
    assert claim.id in draft.prove().lapsed
