"""The documented examples of light that was measured, and of attenuators."""

from __future__ import annotations

import pytest

from rules.examples import Example, prove_example, show
from support.draft import Draft
from tailboard.findings import Severity, Status

STRAND = """
# show.yaml
devices: {SW-A: {kind: switch-8-copper-2-sfp}, SW-B: {kind: switch-8-copper-2-sfp}}
vlans: {PARK: {id: 999}}
switches:
  SW-A: {S1: {optic: O1S-U}}
  SW-B: {S1: {optic: O1S-D}}
cables:
  F-1: {kind: single-mode strand, length: 150 m, mated pairs: 4, from: SW-A/S1, to: SW-B/S1, native: PARK}
# found/sw-b.yaml
read: {by: sound assistant, on: 2027-11-19 16:20}
ports:
  SW-B: {S1: {RX power: -15.8 dBm}}
"""
EXAMPLES = {
    "received-light-differs": Example(
        STRAND,
        ("-15.8 dBm", "-8.4 dBm"),
        "found/sw-b.yaml:3:25",
        (
            "SW-B/S1 was read at -15.8 dBm over F-1, -12.25..-7.25 dBm is expected",
            "3.55 dB less",
            "sound assistant, 2027",
        ),
    ),
}


@pytest.mark.parametrize("rule", EXAMPLES)
def test_the_example_of(rule: str) -> None:
    prove_example(rule, EXAMPLES[rule])


@pytest.mark.parametrize(
    ("read", "severity", "words"),
    [
        ("-19.6 dBm", Severity.ERROR, "0.1 dB under the sensitivity"),
        ("-2.9 dBm", Severity.ERROR, "0.1 dB above the overload"),
        ("-12.3 dBm", Severity.WARNING, "dirty connector or a bend"),
        ("[-8 dBm, -9.1 dBm]", Severity.WARNING, "1.1 dB apart"),
        ("-7 dBm", Severity.NOTE, "0.25 dB more"),
        ("[-8 dBm, -8.9 dBm, -8.2 dBm]", None, ""),
    ],
)
def test_grades(read: str, severity: Severity | None, words: str) -> None:
    """By hand: TX -11..-6 dBm, 150 m at 0.35 dB/km and 4 x 0.3 dB are 1.2525 dB; sensitivity -19.5, overload -3 dBm.

    Usual losses are planning values (OPT-13, second-hand) and common practice; 1 dB of drift: common practice, no source.
    """
    findings = show(STRAND.replace("-15.8 dBm", read)).findings("received-light-differs")
    assert [finding.severity for finding in findings] == ([] if severity is None else [severity])
    assert all(words in finding.message for finding in findings)
    assert all("never look into a fibre" in finding.fix for finding in findings)


def test_light_at_a_port_of_which_nothing_can_be_expected_is_open() -> None:
    (claim,) = show(STRAND.replace(", mated pairs: 4", "")).claims("received-light-differs")
    assert claim.status is Status.OPEN


def test_a_table_of_readings_is_read_too() -> None:
    text = STRAND[: STRAND.index("# found/")] + "# found/light.csv\nport,RX power,by\nSW-B/S1,-15.8 dBm,me\n"
    (finding,) = show(text).findings("received-light-differs")
    assert finding.spot.file == "found/light.csv"


def test_an_attenuator_takes_away_in_every_window() -> None:
    """OPT-24, derived: an ER module at +4.0 dBm needs 5.0 dB before a receiver that takes -1.0 dBm. The note ends 1 dB under."""
    bare = (
        STRAND[: STRAND.index("# found/")].replace("O1S-U", "O10-ER").replace("O1S-D", "O10-ER").replace("150 m", "1 m")
    )
    (finding,) = show(bare).findings("light-too-strong")
    assert finding.severity is Severity.ERROR
    assert "an attenuator of 6 dB" in finding.fix
    fitted = bare.replace("mated pairs: 4", "mated pairs: 4, attenuator: {} dB")
    (finding,) = show(fitted.replace("{}", "5")).findings("light-too-strong")
    assert finding.severity is Severity.NOTE
    assert not show(fitted.replace("{}", "6")).findings("light-too-strong")
    (finding,) = show(fitted.replace("{}", "12")).findings("light-too-weak")
    assert "an attenuator of 12 dB" in "".join(because.words for because in finding.because)


def test_long_fast_strands_tell_how_far_their_light_smears() -> None:
    """OPT-15: 17.46 ps/(nm km) at 1550 nm (derived): 31 km smear 541.3 ps for each nm."""
    text = (
        STRAND[: STRAND.index("# found/")]
        .replace("O1S-U", "O10-ER")
        .replace("O1S-D", "O10-ER")
        .replace("150 m", "31 km")
    )
    (finding,) = show(text).findings("reach-exceeded")
    assert "541.3 ps" in "".join(because.words for because in finding.because)


def test_the_small_show_s_own_figures_of_light() -> None:
    """The scenario's own figure: at most -6.05 dBm, at least -14.075 dBm, both ways of F-01 and F-02."""
    for rule, power in (("light-too-strong", "-6.05 dBm"), ("light-too-weak", "-14.0")):
        claims = Draft.example().claims(rule)
        assert {claim.subject[0] for claim in claims} == {"F-01", "F-02"}
        assert all(claim.says.count(power) == 2 for claim in claims)
