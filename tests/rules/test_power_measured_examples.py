"""The documented examples of voltages between earths, power lost in cables, breakers' shares, and copper through boxes."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from tailboard.findings import Severity, Status

EARTHS = """
# show.yaml
supplies: {GEN: {earth: ET}, HALL: {earth: EH}}
# found/house.yaml
read: {by: house electrician, on: 2027-11-18}
house: {earth voltage: {ET and EH: 3 V}}
"""
CAMERA = """
# show.yaml
kinds:
  cam: {role: camera, figures: data sheet, PoE power: 14 W, ports: {net: {medium: network, way: both, rate: 1 G, PoE class: 3}}}
devices: {SW-A: {kind: switch-8-copper-2-sfp}, CAM-1: {kind: cam}}
vlans: {IPCAM: {id: 40}}
switches: {SW-A: {1: {access: IPCAM, PoE: on}}}
cables:
  C-1: {kind: cat solid, length: 60 m + 25 m, from: SW-A/1, to: CAM-1}
"""
MULTICORE = """
# show.yaml
supplies: {GEN: {earth: ET}, HALL: {earth: EH}}
places: {truck: {supply: GEN}, stage: {supply: HALL}}
devices:
  MX-1: {kind: house-desk, place: stage}
  MC-1: {kind: analogue-multicore-12}
  BOX-1: {kind: stage-box-24x12, place: truck}
cables:
  A-1: {kind: line, from: MX-1/out1, to: MC-1/in1}
  A-2: {kind: line, from: MC-1/out1, to: BOX-1/1}
"""
EXAMPLES = {
    "found-earth-voltage": Example(
        EARTHS,
        ("3 V", "0.2 V"),
        "found/house.yaml:2:24",
        ("3 V were measured between ET and EH", "house electrician, 2027-11-18", "-48.2 dBu of hum"),
    ),
    "poe-lost-in-cable": Example(
        CAMERA,
        ("60 m + 25 m", "5 m + 25 m"),
        "show.yaml:7:34",
        (
            "CAM-1 (cam) draws 14 W at the end of C-1 and needs 16.35 W at SW-A/1, which gives 15.4 W to class 3",
            "17 ohm",
        ),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


COPPER = """places: {a: {supply: GEN}, b: {supply: HALL}}
devices: {SW-A: {kind: switch-8-copper-2-sfp, place: a}, REC-1: {kind: recorder-32, place: b}}
cables: {C-1: {kind: cat solid, length: 50 m, from: SW-A/1, to: REC-1, screened: yes}}
# found/"""


@pytest.mark.parametrize(
    ("volts", "joined", "severity"),
    [
        ("1 V", False, None),
        ("1.1 V", False, Severity.WARNING),
        ("1.1 V", True, Severity.ERROR),
        ("60 V", False, Severity.ERROR),
    ],
)
def test_grades_of_a_voltage(volts: str, joined: bool, severity: Severity | None) -> None:
    """1 V and 50 V: common practice and from memory; local codes decide."""
    text = EARTHS.replace("3 V", volts)
    findings = show(text.replace("# found/", COPPER) if joined else text).findings("found-earth-voltage")
    assert [finding.severity for finding in findings] == ([] if severity is None else [severity])
    for finding in findings:
        assert "do not join ET and EH by copper" in finding.fix
        assert "ask the house electrician" in finding.fix
        assert "only a qualified person measures" in finding.fix
        assert ("stop, do not touch" in finding.fix) == (volts == "60 V")
        assert ("C-1" in finding.message) == joined


def test_a_voltage_between_unknown_earths_is_open() -> None:
    (claim,) = show(EARTHS.replace("ET and EH", "ET and EX")).claims("found-earth-voltage")
    assert claim.status is Status.OPEN


def test_nothing_here_is_called_safe() -> None:
    """A voltage near zero is none listed, no more."""
    (claim,) = show(EARTHS.replace("3 V", "0.1 V")).claims("found-earth-voltage")
    assert claim.status is Status.NONE_LISTED
    assert claim.says.startswith("none listed in this plan; not a safety statement")


def test_a_cable_without_a_length_is_taken_as_100_m() -> None:
    """CUP-04: class 3 leaves 12.95 W at the end of the longest run, IEEE 802.3af (second-hand)."""
    text = CAMERA.replace("length: 60 m + 25 m, ", "")
    assert show(text).findings("poe-lost-in-cable")
    assert show(text.replace("14 W", "13 W")).findings("poe-lost-in-cable")
    assert not show(text.replace("14 W", "12.95 W")).findings("poe-lost-in-cable")


def test_a_breaker_is_loaded_to_its_share_only() -> None:
    """80 % for hours: common practice, no source. REC-1 draws 60 W, SW-A 25 W (example values of their kinds)."""
    text = """
# show.yaml
supplies: {GEN: {earth: ET, breakers: {B1: 100 W}}}
places: {rack: {supply: GEN}}
devices: {SW-A: {kind: switch-8-copper-2-sfp, place: rack}, REC-1: {kind: recorder-32, place: rack}}
"""
    (finding,) = show(text).findings("breaker-overloaded")
    assert finding.severity is Severity.WARNING
    assert "carries 85 W, more than 80 % of its 100 W (80 W)" in finding.message
    assert "move 5 W or more" in finding.fix
    assert not show(text.replace("100 W}", "100 W}, breaker limit: 85")).findings("breaker-overloaded")


def test_a_multicore_joins_the_earths_at_its_ends() -> None:
    """Common practice, no source: a multicore is copper from end to end and stands on no earth itself."""
    (finding,) = show(MULTICORE).findings("copper-joins-earths")
    assert finding.severity is Severity.ERROR
    assert "from earth EH (HALL, MX-1) to earth ET (GEN, BOX-1) by way of MC-1" in finding.message
    assert not show(MULTICORE).claims("supply-unknown", Status.OPEN)


@pytest.mark.parametrize(
    ("old", "new", "severity"),
    [
        ("A-2: {kind: line", "A-2: {kind: transformer line", None),
        ("A-1: {kind: line", "A-1: {kind: line, screen lifted: yes", Severity.WARNING),
        ("A-2: {kind: line", "A-2: {kind: line, state: laid", Severity.WARNING),
        ("place: truck}", "place: stage}", None),
        ("MC-1/out1", "MC-1/out2", None),
    ],
)
def test_grades_through_a_multicore(old: str, new: str, severity: Severity | None) -> None:
    """The weakest joint counts. The grades are common practice, no source."""
    findings = show(MULTICORE.replace(old, new)).findings("copper-joins-earths")
    assert [finding.severity for finding in findings] == ([] if severity is None else [severity])


@pytest.mark.parametrize(("jack", "joins"), [("direct1", True), ("isolated1", False)])
def test_the_isolated_output_of_a_splitter_parts(jack: str, joins: bool) -> None:
    """A transformer between (common practice, no source)."""
    text = MULTICORE.replace("analogue-multicore-12", "transformer-split-8").replace("MC-1/out1", f"MC-1/{jack}")
    assert bool(show(text).findings("copper-joins-earths")) == joins


def test_copper_between_earths_tells_what_was_measured() -> None:
    (finding,) = show(EARTHS.replace("3 V", "0.4 V").replace("# found/", COPPER)).findings("copper-joins-earths")
    assert "0.4 V were measured between ET and EH" in [because.words for because in finding.because]
