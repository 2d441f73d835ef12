"""Levels at the holes of the small show and of a few lines, against sums done by hand."""

from __future__ import annotations

import pytest

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.levels import HoleLevel, levels


def level(draft: Draft, line: str) -> HoleLevel:
    """Return the level of one line."""
    return Ask(draft.read().model)(levels)[line]


def line(cells: str, hole: str = "SB-1/1") -> HoleLevel:
    """Return the level of one line at a hole of a box or desk of the built-in kinds."""
    head, row = cells.split("|")
    draft = show(f"""
# lines.csv
line,hole,{head}
1,{hole},{row}
# show.yaml
devices:
  SB-1: {{kind: stage-box-24x12}}
  CON-1: {{kind: console-96}}
""")
    return level(draft, "1")


@pytest.mark.parametrize(
    ("number", "peak_dbfs"),
    [("1", -12), ("5", -6), ("6", -6), ("7", -12), ("8", -6), ("10", -12), ("12", -12), ("14", -12), ("15", -6)],
)
def test_peaks_of_the_small_show(number: str, peak_dbfs: float) -> None:
    """By hand from the scenario's tables: peak of the kind + gain - 18 dBu, such as -24 + 30 - 18 = -12 for line 1."""
    assert level(Draft.example(), number).peak_dbfs == pytest.approx(peak_dbfs)


def test_a_plus_4_dbu_line_reads_minus_14_dbfs() -> None:
    """The small scenario's kinds table: clips at +18 dBu, so a +4 dBu line reads -14 dBFS; +4 - 18 by hand too."""
    assert level(Draft.example(), "6").nominal_dbfs == pytest.approx(-14)


def test_a_minus_10_dbv_line_reads_25_8_db_under_full_scale() -> None:
    """By hand: -10 dBV is -7.78 dBu (check value AUD-03), less 18 is -25.78 dBFS."""
    assert line("level,gain|line -10 dBV,0 dB").nominal_dbfs == pytest.approx(-25.78, abs=5e-3)


def test_pad_and_gain_add_up() -> None:
    found = line("type,gain,pad|radio receiver,10 dB,-20 dB")
    assert found.gain_db == -10
    assert found.peak_dbfs == pytest.approx(12 - 10 - 18)


def test_a_gain_that_is_not_written_is_not_taken_as_0() -> None:
    assert line("type|condenser").gain_db is None
    assert line("type|condenser").peak_dbfs is None


def test_a_jack_without_a_preamplifier_has_no_gain() -> None:
    found = line("type|line", "CON-1/a1")
    assert found.gain_db == 0
    assert found.peak_dbfs == pytest.approx(12 - 18)


def test_the_level_of_a_line_is_its_own_then_its_kinds_then_that_of_the_jack_it_comes_from() -> None:
    draft = show("""
# lines.csv
line,hole,type,level
1,SB-1/1,condenser,line +4 dBu
2,SB-1/2,condenser,
3,SB-1/3,,
4,SB-1/4,,
# show.yaml
devices:
  SB-1: {kind: stage-box-24x12}
  RXR-1: {kind: radio-receiver}
cables:
  M-3: {kind: mic, from: RXR-1, to: SB-1/3}
""")
    assert [level(draft, number).level for number in "1234"] == ["line +4 dBu", "mic", "line +4 dBu", None]


def test_example_figures_are_named_and_an_owners_are_not() -> None:
    assert line("type,gain|condenser,0 dB").assumptions == ("kind stage-box-24x12", "source kind condenser")
    draft = show("""
# lines.csv
line,hole,type,gain
1,B/1,tube,0 dB
# kinds/own.yaml
kinds: {box: {role: box, figures: data sheet, ports: {1: {clip: +24 dBu, gain: 0..60 dB}}}}
source kinds: {tube: {level: mic, peak: -20 dBu, figures: data sheet}}
# show.yaml
devices: {B: {kind: box}}
""")
    assert not level(draft, "1").assumptions
    assert level(draft, "1").peak_dbfs == pytest.approx(-20 - 24)


def test_a_lone_list_has_levels_without_figures() -> None:
    found = level(Draft({"lines.csv": Draft.example().files["lines.csv"]}), "6")
    assert found.level == "line +4 dBu"
    assert found.taken is None
    assert found.peak_dbfs is None
