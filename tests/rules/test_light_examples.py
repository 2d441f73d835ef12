"""The documented examples of the light rules."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from support.draft import Draft
from tailboard.findings import Severity, Status


def strand(
    cable: str = "length: 150 m, mated pairs: 4",
    optics: str = "O1S-U O1S-D",
    more: str = "",
) -> str:
    """Return a show with one strand between two switches."""
    up, down = optics.split()
    return f"""
# show.yaml
devices: {{SW-A: {{kind: switch-8-copper-2-sfp}}, SW-B: {{kind: switch-8-copper-2-sfp}}}}
vlans: {{PARK: {{id: 999}}}}
switches:
  SW-A: {{S1: {{optic: {up}}}}}
  SW-B: {{S1: {{optic: {down}}}}}
cables:
  F-1: {{kind: single-mode strand, {cable}, from: SW-A/S1, to: SW-B/S1, native: PARK}}
{more}"""


REACHING = """optics:
  O-U: {rate: 1 G, TX: 1310 nm, RX: 1490 nm, TX power: -9..-5 dBm, RX power: -20..-3 dBm, reach: 2 km}
  O-D: {rate: 1 G, TX: 1490 nm, RX: 1310 nm, TX power: -9..-5 dBm, RX power: -20..-3 dBm, reach: 10 km}"""

EXAMPLES = {
    "light-too-weak": Example(
        strand("length: 150 m, mated pairs: 14"),
        ("mated pairs: 14", "mated pairs: 4"),
        "show.yaml:7:63",
        ("SW-A/S1", "-21.57 dBm", "F-1", "2.07 dB under the sensitivity -19.5 dBm", "14 mated pairs"),
    ),
    "light-too-strong": Example(
        strand(optics="O1-LH-U O1-LH-D"),
        ("O1-LH-U}}\n  SW-B: {S1: {optic: O1-LH-D", "O1S-U}}\n  SW-B: {S1: {optic: O1S-D"),
        "show.yaml:5:22",
        ("SW-A/S1", "+4.97 dBm", "7.97 dB above the overload -3 dBm"),
    ),
    "reach-exceeded": Example(
        strand("length: 2100 m, mated pairs: 2", optics="O-U O-D", more=REACHING),
        ("length: 2100 m", "length: 1900 m"),
        "show.yaml:7:43",
        ("F-1, 2100 m", "2000 m", "O-U in SW-A/S1"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


def test_light_unknown_is_open_and_names_the_figure_and_the_file() -> None:
    (claim,) = show(strand("length: 150 m")).claims("light-unknown", Status.OPEN)
    assert claim.finding is not None
    assert claim.finding.message == "the light on F-1 is not proven; not written: the mated pairs of F-1"
    assert "show.yaml" in claim.finding.fix
    assert not show(strand()).claims("light-unknown", Status.OPEN)


def test_what_can_be_said_without_the_mated_pairs_is_said() -> None:
    (claim,) = show(strand("length: 150 m", "O1-LH-U O1-LH-D")).claims("light-too-strong")
    assert claim.status is Status.BROKEN
    assert not show(strand("length: 150 m")).claims("light-too-weak")


def test_inside_the_reserve_of_3_db_is_a_warning() -> None:
    """-11 - 0.075 - 0.75 n against -19.5: 8 pairs leave 2.4 dB, 7 pairs leave 3.2 dB."""
    (finding,) = show(strand("length: 150 m, mated pairs: 8")).findings("light-too-weak")
    assert finding.severity is Severity.WARNING
    assert not finding.breaks
    assert not show(strand("length: 150 m, mated pairs: 7")).findings("light-too-weak")


def test_within_1_db_of_the_overload_is_a_note() -> None:
    """TX at most +5 dBm, overload -3 dBm: 8 dB are 40 km at 0.20 dB/km the one way, 22.9 km at 0.35 the other."""
    text = strand("length: 42 km, mated pairs: 0", "O1-LH-U O1-LH-D")
    (finding,) = show(text).findings("light-too-strong")
    assert finding.severity is Severity.NOTE
    assert "0.4 dB under the overload" in finding.message


def test_a_capped_spare_is_proven_like_the_strand_in_use() -> None:
    """The small show's F-02 must be equal to F-01."""
    for rule in ("light-too-weak", "light-too-strong", "light-unknown"):
        claims = Draft.example().claims(rule)
        assert {claim.subject[0] for claim in claims} == {"F-01", "F-02"}
        assert {claim.status for claim in claims} <= {Status.HOLDS, Status.HOLDS_IF}
    worn = Draft.example().sub(
        "show.yaml",
        "F-02: {from: SW-T/S2, to: SW-B/S2, mated pairs: 4",
        "F-02: {from: SW-T/S2, to: SW-B/S2, mated pairs: 14",
    )
    (finding,) = worn.findings("light-too-weak")
    assert finding.subject == ("F-02",)


def test_a_fast_module_without_its_reach_is_open() -> None:
    fast = REACHING.replace("rate: 1 G", "rate: 10 G").replace(", reach: 2 km", "").replace(", reach: 10 km", "")
    (claim,) = show(strand(optics="O-U O-D", more=fast)).claims("reach-exceeded")
    assert claim.status is Status.OPEN
    slow = fast.replace("rate: 10 G", "rate: 1 G")
    assert not show(strand(optics="O-U O-D", more=slow)).claims("reach-exceeded")


@pytest.mark.parametrize("rule", EXAMPLES)
def test_whoever_touches_a_strand_is_warned(rule: str) -> None:
    (finding,) = EXAMPLES[rule].draft.findings(rule)
    assert "never look into a fibre" in finding.fix
    assert "caps on" in finding.fix


def test_wrong_light_cannot_be_accepted_away() -> None:
    entry = 'accepted: [{claim: "light-too-weak:F-1", because: no, by: me, on: 2030-01-01}]'
    proof = show(strand("length: 150 m, mated pairs: 14", more=entry)).prove()
    assert "light-too-weak:F-1" in proof.lapsed
    assert "light-too-weak:F-1" in {finding.id for finding in proof.findings}
