"""The level ledger against hand-worked chains, a rendered signal, and laws."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.examples import show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import LevelLedger, line_ledgers
from tailboard.answers.level_ways import feed_ledgers
from tailboard.physics.level import dbu_from_v, microphone_dbu, sum_db, thermal_noise_dbu, v_from_dbu
from tailboard.views.gains import gain_rows

TEXT = """
# lines.csv
line,source,label,type,SPL,gain,pad,48V,hole,strip
5,singer,VOC,condenser,{spl},{gain},{pad},on,SB-1/5,CON-1/5
# show.yaml
source kinds:
  condenser: {{level: mic, sensitivity: 20 mV/Pa, self noise: {noise}, 48V: needs}}
kinds:
  box: {{role: box, ports: {{1..8: {{level: mic, clip: {clip}, gain: 0..60 dB, noise: -128 dBu, 48V: yes}}}}}}
devices:
  SB-1: {{kind: box}}
  CON-1: {{kind: console-96}}
"""


def ledger(
    spl: str = "104 dB SPL", gain: str = "40 dB", pad: str = "", noise: str = "16 dB SPL", clip: str = "+18 dBu"
) -> LevelLedger:
    text = TEXT.format(spl=spl, gain=gain, pad=pad, noise=noise, clip=clip)
    return Ask(show(text).read().model)(line_ledgers)["5"]


@pytest.mark.parametrize(("clip", "peak_dbfs"), [("+18 dBu", 0.24), ("+24 dBu", -5.76)])
def test_a_singer_at_104_db_clips_one_converter_and_not_the_other(clip: str, peak_dbfs: float) -> None:
    """AUD-13 (worked arithmetic): 20 mV/Pa, 104 dB SPL, +40 dB: -21.76 dBu, +18.24 dBu, +0.24 or -5.76 dBFS."""
    found = ledger(clip=clip)
    assert [round(step.peak_db or 0.0, 2) for step in found.steps] == [-21.76, 18.24, peak_dbfs]
    assert found.clips_first is not None
    assert found.clips_first.headroom_peak_db == pytest.approx(-peak_dbfs, abs=0.005)


def test_noise_of_microphone_and_preamplifier_add_as_powers() -> None:
    """AUD-17 (worked arithmetic): -109.76 dBu and -128.0 dBu make -109.695 dBu; with 40 dB of gain -69.695."""
    found = ledger(noise="16 dB SPL")
    assert found.steps[0].noise_db == pytest.approx(-109.76, abs=0.005)
    assert found.steps[1].noise_db == pytest.approx(-109.695 + 40, abs=0.005)
    assert found.sets_the_noise is found.steps[0]


def test_thermal_noise_is_the_floor_of_a_quiet_source() -> None:
    """AUD-14 and AUD-16: 150 ohm at 293 K is -130.92 dBu; a preamplifier of -128 dBu is 2.92 dB above it."""
    assert -128.0 - thermal_noise_dbu(150.0) == pytest.approx(2.92, abs=0.005)


def test_the_ledger_agrees_with_a_rendered_signal() -> None:
    """A sine and noise of the ledger's source, sent through the same gain and noise numerically (numpy)."""
    found = ledger(spl="94 dB SPL", gain="30 dB", noise="30 dB SPL")
    rate, rng = 48000, np.random.default_rng(3)
    time_s = np.arange(rate) / rate
    assert found.steps[0].peak_db is not None
    assert found.steps[0].noise_db is not None
    sine = math.sqrt(2) * v_from_dbu(found.steps[0].peak_db) * np.sin(2 * np.pi * 997 * time_s)
    hiss = rng.normal(0, v_from_dbu(found.steps[0].noise_db), rate) + rng.normal(0, v_from_dbu(-128.0), rate)
    gain = 10 ** (30 / 20)
    assert dbu_from_v(float(np.sqrt(np.mean((gain * sine) ** 2)))) == pytest.approx(found.steps[1].peak_db, abs=0.01)
    assert dbu_from_v(float(np.sqrt(np.mean((gain * hiss) ** 2)))) == pytest.approx(found.steps[1].noise_db, abs=0.1)


@given(st.floats(40, 130), st.integers(0, 60), st.integers(0, 59))
def test_more_gain_never_lowers_a_level_and_never_worsens_the_ratio(spl: float, gain: int, more: int) -> None:
    one, other = (ledger(f"{spl:.2f} dB SPL", f"{value} dB") for value in (min(gain, gain - more), gain))
    if min(gain, gain - more) < 0:
        return
    assert (other.steps[-1].peak_db or 0) >= (one.steps[-1].peak_db or 0)
    assert (other.signal_to_noise_db or 0) >= (one.signal_to_noise_db or 0) - 1e-9


@given(st.lists(st.floats(-150, 20), min_size=1, max_size=8))
def test_a_sum_of_noises_is_never_below_the_largest(levels: list[float]) -> None:
    assert sum_db(*levels) >= max(levels)
    assert sum_db(*levels) == pytest.approx(sum_db(*reversed(levels)))


@given(st.floats(60, 140))
def test_the_gain_that_is_advised_never_clips(spl: float) -> None:
    advice = ledger(f"{spl:.2f} dB SPL", "0 dB").advice
    assert advice is not None
    assert 0 <= advice.gain_db <= 60
    if not advice.words:
        assert advice.reached_dbfs <= -6 + 1e-6
        assert advice.reached_dbfs > -10.1 or advice.gain_db in {0, 60}


def test_the_advice_brings_the_peak_to_the_permitted_level() -> None:
    """EBU R 68 (second-hand): highest permitted level 9 dB above alignment, so -9 dBFS; -21.76 dBu and 30 dB make -9.76."""
    advice = ledger().advice
    assert advice is not None
    assert (advice.gain_db, advice.pad_db) == (30.0, 0.0)
    assert advice.reached_dbfs == pytest.approx(-9.76, abs=0.005)


def test_a_pad_is_a_step_of_its_own() -> None:
    found = ledger(spl="130 dB SPL", gain="20 dB", pad="-20 dB")
    assert [step.words for step in found.steps] == ["condenser", "pad", "preamplifier", "converter"]
    assert (found.steps[1].peak_db or 0) == pytest.approx(microphone_dbu(20.0, 130.0) - 20)


@pytest.mark.parametrize(
    ("part", "missing"), [("clip: +18 dBu, ", "the clip level of SB-1/5"), ("noise: -128 dBu, ", "the noise of SB-1/5")]
)
def test_a_missing_figure_is_named_and_no_number_is_made_of_it(part: str, missing: str) -> None:
    text = TEXT.format(spl="104 dB SPL", gain="40 dB", pad="", noise="16 dB SPL", clip="+18 dBu").replace(part, "")
    found = Ask(show(text).read().model)(line_ledgers)["5"]
    assert missing in found.missing
    assert found.advice is None or "clip" not in missing


def test_an_unwritten_gain_leaves_the_ledger_at_the_hole() -> None:
    found = ledger(gain="")
    assert len(found.steps) == 1
    assert "the gain of line 5" in found.missing
    assert found.advice is not None


@pytest.mark.parametrize("name", ["small", "medium"])
def test_the_examples_are_worked_out_whole(name: str) -> None:
    ask = Ask(Draft.example(name).read().model)
    lines, feeds = ask(line_ledgers), dict(feed_ledgers(ask))
    assert all(found.signal_to_noise_db is not None for found in lines.values())
    assert len(feeds) >= 6
    rows = gain_rows(ask)
    assert {row["line"] for row in rows} <= set(lines)
    assert all(row["advised"] for row in rows)
    assert len({(row["box"], row["hole"]) for row in rows}) == len(rows)


def test_a_feed_at_alignment_leaves_at_the_shows_level() -> None:
    """EBU R 68 (second-hand): -18 dBFS is 0 dBu where full scale is +18 dBu, permitted peaks +9 dBu."""
    found = dict(feed_ledgers(Ask(Draft.example().read().model)))["FD1"]
    assert (found.steps[1].nominal_db, found.steps[1].peak_db, found.steps[1].clip_db) == (0.0, 9.0, 18.0)
