"""Two level references at one hand-off, against published values."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.physics.alignment import clip_difference_db, level_at_dbu, tone_difference_db
from tailboard.physics.level import converter_dbfs, full_scale_dbu, v_from_dbu
from tailboard.units import Alignment

EBU = Alignment(-18.0, 0.0)
SMPTE = Alignment(-20.0, 4.0)
references = st.builds(Alignment, st.floats(-40, -1), st.floats(-20, 30))


def test_full_scale_of_ebu_r_68_is_plus_18_dbu() -> None:
    """AUD-05. EBU R 68-2000, second-hand (text of the recommendation's page): -18 dBFS is 0 dBu, so 0 dBFS is +18 dBu."""
    assert full_scale_dbu(EBU.level_dbu, EBU.level_dbfs) == 18.0


def test_full_scale_of_smpte_rp_155_is_plus_24_dbu() -> None:
    """AUD-06. SMPTE RP 155, second-hand (appendix of an equipment manual): -20 dBFS is +4 dBu, so 0 dBFS is +24 dBu."""
    assert full_scale_dbu(SMPTE.level_dbu, SMPTE.level_dbfs) == 24.0


@pytest.mark.parametrize(("full_dbu", "volts"), [(18.0, 6.153), (22.0, 9.752), (24.0, 12.277)])
def test_full_scale_in_volts(full_dbu: float, volts: float) -> None:
    """AUD-07. Arithmetic: sqrt(0.6) V x 10^(L / 20), for three full scales in use."""
    assert v_from_dbu(full_dbu) == pytest.approx(volts, abs=5e-4)


def test_one_signal_reads_6_db_apart_under_two_alignments() -> None:
    """AUD-08. Arithmetic: +4 dBu reads -14 dBFS in a +18 dBu system and -20 dBFS in a +24 dBu system."""
    readings = [converter_dbfs(4.0, 0.0, full_scale_dbu(one.level_dbu, one.level_dbfs)) for one in (EBU, SMPTE)]
    assert readings == [-14.0, -20.0]
    assert clip_difference_db(EBU, SMPTE) == readings[1] - readings[0]


def test_tone_against_tone() -> None:
    """By hand: 0 dBu meets a system lined up at +4 dBu, 4 dB too soft; as samples, -18 meets -20 dBFS, 2 dB too loud."""
    assert tone_difference_db(EBU, SMPTE, digital=False) == -4.0
    assert tone_difference_db(EBU, SMPTE, digital=True) == 2.0


def test_a_reference_by_its_full_scale_is_compared_by_full_scale() -> None:
    """By hand: full scale +24 dBu against +18 dBu is 6 dB; samples are the same whatever the full scale."""
    full = Alignment(0.0, 24.0)
    assert level_at_dbu(full, EBU) == 6.0
    assert tone_difference_db(EBU, full, digital=False) == -6.0
    assert tone_difference_db(full, EBU, digital=False) == 6.0
    assert tone_difference_db(EBU, full, digital=True) == 0.0
    assert tone_difference_db(EBU, Alignment(0.0, 18.0), digital=False) == 0.0


@given(references, references, st.booleans())
def test_what_is_too_loud_one_way_is_too_soft_the_other(one: Alignment, other: Alignment, digital: bool) -> None:
    there, back = tone_difference_db(one, other, digital=digital), tone_difference_db(other, one, digital=digital)
    assert there == pytest.approx(-back, abs=1e-9)
    assert tone_difference_db(one, one, digital=digital) == 0.0


@given(references, references)
def test_what_the_two_sides_of_a_voltage_read_is_the_sum_of_both_differences(one: Alignment, other: Alignment) -> None:
    """A law: the tone of one side reads, on the other, its own alignment plus the analogue difference."""
    reading_dbfs = converter_dbfs(one.level_dbu, 0.0, full_scale_dbu(other.level_dbu, other.level_dbfs))
    assert reading_dbfs - other.level_dbfs == pytest.approx(tone_difference_db(one, other, digital=False), abs=1e-9)
