"""The documented example of UPS minutes, and what goes with a UPS."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from tailboard.answers.ask import Ask
from tailboard.answers.fault_things import things
from tailboard.findings import Severity, Status

UPS = """
# show.yaml
kinds: {battery: {role: ups, figures: data sheet, load: 20 W, UPS energy: 110 Wh}}
devices:
  UPS-1: {kind: battery}
  SW-A: {kind: switch-8-copper-2-sfp, load: 200 W, UPS: 20 min, on UPS: UPS-1}
  REC-1: {kind: recorder-32, load: 400 W, on UPS: UPS-1}
"""
CAMERA = """
# show.yaml
kinds:
  feeder: {role: switch, figures: data sheet, PoE budget: 400 W, ports: {1..8: {medium: network, way: both, PoE source: yes, PoE source class: 4}}}
  cam: {role: camera, figures: data sheet, PoE power: 40 W, ports: {net: {medium: network, way: both, PoE class: 6}}}
devices: {SW-A: {kind: feeder}, CAM-1: {kind: cam}}
vlans: {IPCAM: {id: 40}}
switches: {SW-A: {1: {access: IPCAM, PoE: on}}}
cables:
  C-1: {kind: cat solid, length: 20 m, from: SW-A/1, to: CAM-1}
"""
PHASES = """
# show.yaml
supplies: {GEN: {earth: ET, breakers: {B1: 1 kW, B2: 1 kW}, phases: {B1: L1, B2: L1}, phase limits: {L1: 1 kW, L2: 1 kW}}}
devices:
  AMP-1: {kind: power-amplifier-2, supply: GEN, breaker: B1, load: 600 W}
  AMP-2: {kind: power-amplifier-2, supply: GEN, breaker: B2, load: 600 W}
"""
LEADS = """
# show.yaml
supplies: {GEN: {earth: ET, breakers: {B1: 1 kW}}, HALL: {earth: EH}}
places: {rack: {supply: GEN}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: rack, breaker: B1, supply 2: HALL}
  SW-B: {kind: switch-8-copper-2-sfp, place: rack, breaker: B1}
"""
EXAMPLES = {
    "ups-minutes-short": Example(
        UPS,
        ("load: 400 W, on", "load: 130 W, on"),
        "show.yaml:4:57",
        (
            "UPS-1 carries 600 W: its 110 Wh last 11 min; SW-A says 20 min",
            "UPS-1 is a battery, 110 Wh",
            "REC-1 draws the most of it: 400 W",
        ),
    ),
    "phase-overloaded": Example(
        PHASES,
        ("B2: L1", "B2: L2"),
        "show.yaml:1:101",
        ("phase L1 of GEN carries 1200 W; it can carry 1000 W", "breaker B1 carries 600 W", "breaker B2 carries 600 W"),
    ),
    "supplies-join-earths": Example(
        LEADS,
        ("HALL: {earth: EH}", "HALL: {earth: ET}"),
        "show.yaml:4:75",
        ("SW-A is on GEN (earth ET) and on HALL (earth EH): its leads join the two earths",),
    ),
    "poe-port-too-weak": Example(
        CAMERA,
        ("PoE source class: 4", "PoE source class: 6"),
        "show.yaml:4:47",
        ("CAM-1 (cam) asks 60 W; SW-A/1 feeds up to class 4 (30 W)", "C-1 leads from SW-A/1 to CAM-1"),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def test_the_fix_of_a_ups_says_how_much_too_much_and_asks_for_a_test() -> None:
    """110 Wh over 20 min are 330 W, so 270 W of 600 W are too much."""
    (finding,) = show(UPS).findings("ups-minutes-short")
    assert "take 270 W or more off UPS-1" in finding.fix
    assert "test it under its load" in finding.fix
    assert "ask the house electrician" in finding.fix


@pytest.mark.parametrize(("least", "found"), [("11 min", False), ("11.1 min", True), ("1 h", True)])
def test_the_show_may_ask_minutes_of_every_ups(least: str, found: bool) -> None:
    text = UPS.replace("UPS: 20 min, ", "").replace("# show.yaml\n", f"# show.yaml\nUPS at least: {least}\n")
    findings = show(text).findings("ups-minutes-short")
    assert bool(findings) == found
    assert all("the show says" in finding.message for finding in findings)


def test_minutes_at_the_ups_itself_count_too() -> None:
    text = UPS.replace("UPS: 20 min, ", "").replace("UPS-1: {kind: battery}", "UPS-1: {kind: battery, UPS: 15 min}")
    (finding,) = show(text).findings("ups-minutes-short")
    assert "UPS-1 says 15 min" in finding.message


@pytest.mark.parametrize(
    ("old", "new", "missing"),
    [
        (", UPS energy: 110 Wh", "", "the energy of UPS-1 is not written; 600 W hang on it"),
        (
            "recorder-32, load: 400 W",
            "own",
            "the load of REC-1 behind UPS-1 is not written; without it the UPS lasts 33",
        ),
    ],
)
def test_what_is_not_written_leaves_the_minutes_open(old: str, new: str, missing: str) -> None:
    """110 Wh at 200 W are 33 min."""
    text = UPS.replace("kinds: {", "kinds: {own: {role: recorder}, ").replace(old, new)
    (claim,) = show(text).claims("ups-minutes-short", Status.OPEN)
    assert claim.finding is not None
    assert missing in claim.finding.message


def test_minutes_that_are_enough_are_not_called_safe() -> None:
    (claim,) = show(UPS.replace("20 min", "2 min")).claims("ups-minutes-short")
    assert claim.status is Status.NONE_LISTED
    assert claim.says.startswith("none listed in this plan; not a safety statement")
    assert "600 W, 11 min worked out" in claim.says


def test_what_a_switch_feeds_hangs_on_its_ups_too() -> None:
    """A panel of 12 W at a switch of 200 W: 110 Wh x 60 / 212 W = 31.1 min."""
    text = """
# show.yaml
kinds:
  battery: {role: ups, figures: data sheet, UPS energy: 110 Wh}
  cam: {role: camera, figures: data sheet, PoE power: 12 W, ports: {net: {medium: network, way: both, PoE class: 3}}}
devices:
  UPS-1: {kind: battery}
  SW-A: {kind: switch-8-copper-2-sfp, load: 200 W, on UPS: UPS-1}
  CAM-1: {kind: cam}
switches: {SW-A: {1: {PoE: on}}}
cables: {C-1: {kind: cat solid, length: 20 m, from: SW-A/1, to: CAM-1}}
"""
    (claim,) = show(text).claims("ups-minutes-short")
    assert "212 W, 31.1 min worked out" in claim.says


def test_a_ups_that_fails_takes_what_is_behind_it() -> None:
    found = Ask(show(UPS).read().model)(things)
    assert found.takes["device UPS-1"] == {"device UPS-1", "device SW-A", "device REC-1"}
    assert found.takes["device SW-A"] == {"device SW-A"}


def test_a_ups_that_nobody_has_is_an_unknown_name() -> None:
    findings = show(UPS.replace("on UPS: UPS-1}\n  REC", "on UPS: UPS-7}\n  REC")).prove().findings
    assert any("UPS-7" in finding.message and finding.spot.file == "show.yaml" for finding in findings)


@pytest.mark.parametrize(
    ("port_class", "power", "severity"),
    [
        (3, "12.95 W", Severity.WARNING),
        (3, "13 W", Severity.ERROR),
        (4, "25.5 W", Severity.WARNING),
        (4, "26 W", Severity.ERROR),
        (5, "40 W", Severity.WARNING),
        (6, "51 W", None),
    ],
)
def test_a_device_of_class_6_at_a_weaker_port(port_class: int, power: str, severity: Severity | None) -> None:
    """12.95, 25.5 and 40 W are left at the device by classes 3, 4 and 5; class 6 asks 60 W: IEEE 802.3, second-hand."""
    text = CAMERA.replace("source class: 4", f"source class: {port_class}").replace("40 W", power)
    findings = show(text).findings("poe-port-too-weak")
    assert [finding.severity for finding in findings] == ([] if severity is None else [severity])


def test_a_port_without_a_class_is_not_judged_and_none_is_called_safe() -> None:
    assert not show(CAMERA.replace(", PoE source class: 4", "")).claims("poe-port-too-weak")
    (claim,) = show(CAMERA.replace("class: 4", "class: 8")).claims("poe-port-too-weak")
    assert claim.status is Status.NONE_LISTED
    assert claim.says.startswith("none listed in this plan; not a safety statement")


TWO = """
# show.yaml
kinds:
  feeder: {role: switch, figures: data sheet, PoE budget: 40 W, ports: {1..8: {medium: network, way: both, PoE source: yes}}}
  cam: {role: camera, figures: data sheet, PoE power: 25 W, ports: {net: {medium: network, way: both, PoE class: 4}}}
devices: {SW-A: {kind: feeder}, CAM-1: {kind: cam}, CAM-2: {kind: cam}}
switches: {SW-A: {1: {PoE: on, PoE priority: 2}, 2: {PoE: on, PoE priority: 1}}}
cables:
  C-1: {kind: cat solid, length: 20 m, from: SW-A/1, to: CAM-1}
  C-2: {kind: cat solid, length: 20 m, from: SW-A/2, to: CAM-2}
"""


@pytest.mark.parametrize(
    ("old", "new", "who"),
    [
        ("", "", "CAM-1 loses its power first: PoE priority 2 is the last of SW-A"),
        ("priority: 1", "priority: 9", "CAM-2 loses its power first"),
        ("priority: 1", "priority: 2", "one of CAM-1 and CAM-2 loses its power first"),
        (", PoE priority: 1", "", ""),
        ("40 W", "60 W", ""),
    ],
)
def test_who_loses_power_first_when_over_budget(old: str, new: str, who: str) -> None:
    """50 W of 40 W. Of 60 W, 50 W are above the share to plan with, but nobody loses anything."""
    (finding,) = show(TWO.replace(old, new) if old else TWO).findings("poe-over-budget")
    told = [because.words for because in finding.because if "loses" in because.words]
    assert len(told) == (1 if who else 0)
    assert all(who in words for words in told)


@pytest.mark.parametrize(
    ("limit", "severity"), [("1.6 kW", None), ("1.4 kW", Severity.WARNING), ("1.1 kW", Severity.ERROR)]
)
def test_grades_of_a_phase(limit: str, severity: Severity | None) -> None:
    """1200 W; 80 % for hours: common practice, no source. 1120 W are 80 % of 1.4 kW."""
    findings = show(PHASES.replace("L1: 1 kW", f"L1: {limit}")).findings("phase-overloaded")
    assert [finding.severity for finding in findings] == ([] if severity is None else [severity])
    assert all("ask the house electrician" in finding.fix for finding in findings)


def test_the_load_of_a_phase_is_told_beside_that_of_its_breakers() -> None:
    claims = show(PHASES.replace(", phase limits: {L1: 1 kW, L2: 1 kW}", "")).claims("phase-overloaded")
    assert [claim.status for claim in claims] == [Status.NONE_LISTED]
    assert claims[0].says.startswith("none listed in this plan; not a safety statement")
    assert "1200 W are written" in claims[0].says


@pytest.mark.parametrize(
    ("old", "new", "missing"),
    [
        ("B2: L1", "B7: L1", "B7 is on a phase of GEN, and is not among its breakers"),
        (
            "power-amplifier-2, supply: GEN, breaker: B2, load: 600 W",
            "own, supply: GEN, breaker: B2",
            "the load of AMP-2",
        ),
    ],
)
def test_what_is_not_written_leaves_a_phase_open(old: str, new: str, missing: str) -> None:
    text = PHASES.replace("devices:", "kinds: {own: {role: recorder}}\ndevices:").replace(old, new)
    (claim,) = show(text).claims("phase-overloaded", Status.OPEN)
    assert claim.finding is not None
    assert missing in claim.finding.message


def test_two_leads_on_two_earths_come_with_the_cautions() -> None:
    (finding,) = show(LEADS).findings("supplies-join-earths")
    assert "measured by a qualified person" in finding.fix
    assert "ask the house electrician" in finding.fix
    (claim,) = show(LEADS.replace("EH", "ET")).claims("supplies-join-earths")
    assert claim.status is Status.NONE_LISTED
    assert claim.says.startswith("none listed in this plan; not a safety statement")


def test_a_device_with_two_supplies_survives_the_loss_of_one() -> None:
    takes = Ask(show(LEADS).read().model)(things).takes
    for lost in ("supply GEN", "breaker GEN/B1", "place rack"):
        assert takes[lost] == {"device SW-B"}
    assert not takes["supply HALL"]


def test_a_second_lead_on_the_same_supply_saves_nothing() -> None:
    takes = Ask(show(LEADS.replace("supply 2: HALL", "supply 2: GEN")).read().model)(things).takes
    assert takes["supply GEN"] == {"device SW-A", "device SW-B"}


def test_a_second_lead_beside_a_ups_survives_the_ups() -> None:
    text = UPS.replace("devices:", "supplies: {GEN: {earth: ET}}\ndevices:").replace(
        "400 W, on", "400 W, supply 2: GEN, on"
    )
    assert Ask(show(text).read().model)(things).takes["device UPS-1"] == {"device UPS-1", "device SW-A"}
