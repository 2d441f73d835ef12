"""Levels against published values and against arithmetic done by hand."""

import math

import pytest

from tailboard.physics.level import (
    CONSUMER_DBV,
    PHANTOM_LEG_OHM,
    PHANTOM_V,
    PROFESSIONAL_DBU,
    VOLT_OF_0_DBU,
    converter_dbfs,
    dbu_from_dbv,
    dbu_from_v,
    full_scale_dbu,
    phantom_short_current_a,
    v_from_dbu,
)
from tailboard.units import FAMILIES, parse_quantity


def test_0_dbu_is_the_voltage_of_1_mw_in_600_ohm() -> None:
    """AUD-01: 0.774597 V rms, derived from 1 mW in 600 ohm (IEC 60268 practice); pages print 0.775 V."""
    assert pytest.approx(0.774597, abs=1e-6) == VOLT_OF_0_DBU
    assert pytest.approx(0.001, rel=1e-12) == VOLT_OF_0_DBU**2 / 600.0
    assert round(v_from_dbu(0.0), 3) == 0.775


def test_plus_4_dbu_is_1_228_v() -> None:
    """AUD-02: an encyclopedia's "Alignment level" prints "4 dBu, 1.228 volts" (second-hand); arithmetic 1.2277."""
    assert round(v_from_dbu(PROFESSIONAL_DBU), 3) == 1.228
    assert v_from_dbu(4.0) == pytest.approx(1.2277, abs=5e-5)


def test_minus_10_dbv_is_0_316_v_and_minus_7_78_dbu() -> None:
    """AUD-03, by arithmetic: 10^(-10/20) V = 0.316228 V = -7.7815 dBu."""
    level_dbu = dbu_from_dbv(CONSUMER_DBV)
    assert v_from_dbu(level_dbu) == pytest.approx(0.316228, abs=1e-6)
    assert level_dbu == pytest.approx(-7.7815, abs=5e-5)


def test_0_dbv_is_plus_2_2185_dbu() -> None:
    """AUD-04, by arithmetic: 20 log10(1 / 0.774597)."""
    assert dbu_from_dbv(0.0) == pytest.approx(2.2185, abs=5e-5)


def test_reading_and_physics_agree_on_dbv() -> None:
    """The reader of quantities converts dBV by its own constant; it must be the same 2.2185 dB (AUD-04)."""
    assert parse_quantity("0 dBV", FAMILIES["analogue level"]) == pytest.approx(dbu_from_dbv(0.0), abs=1e-12)


def test_the_two_line_levels_are_11_8_db_apart() -> None:
    """+4 dBu against -10 dBV: 11.8 dB in trade writing; from AUD-02 and AUD-03, 4 + 7.7815 = 11.7815."""
    assert PROFESSIONAL_DBU - dbu_from_dbv(CONSUMER_DBV) == pytest.approx(11.7815, abs=5e-5)


def test_ebu_alignment() -> None:
    """AUD-05: EBU R 68, -18 dBFS is 0 dBu, so 0 dBFS is +18 dBu (second-hand: R 68-2000 as quoted in an appendix)."""
    assert full_scale_dbu(0.0, -18.0) == 18.0


def test_smpte_alignment() -> None:
    """AUD-06: SMPTE RP 155, -20 dBFS is +4 dBu, so 0 dBFS is +24 dBu (second-hand: an equipment manual's appendix)."""
    assert full_scale_dbu(4.0, -20.0) == 24.0


@pytest.mark.parametrize(("level_dbu", "voltage_v"), [(18.0, 6.153), (22.0, 9.752), (24.0, 12.277)])
def test_full_scale_voltages(level_dbu: float, voltage_v: float) -> None:
    """AUD-07, by arithmetic: 0.774597 V x 10^(x / 20)."""
    assert v_from_dbu(level_dbu) == pytest.approx(voltage_v, abs=5e-4)


def test_one_signal_under_two_alignments() -> None:
    """AUD-08, by arithmetic: +4 dBu reads -14 dBFS and -20 dBFS, 6 dB apart."""
    assert converter_dbfs(4.0, 0.0, 18.0) == -14.0
    assert converter_dbfs(4.0, 0.0, 24.0) == -20.0


def test_a_chain_of_gains_from_microphone_to_converter() -> None:
    """AUD-13: 20 mV/Pa, 104 dB SPL, +40 dB: -21.76 dBu, then +0.24 dBFS at +18 and -5.76 dBFS at +24 dBu.

    Derived in the table with 94 dB taken as 1 Pa; 10 dB over it is 20 mV x 10^(10/20).
    """
    at_microphone_dbu = dbu_from_v(0.020 * math.sqrt(10.0))
    assert at_microphone_dbu == pytest.approx(-21.76, abs=5e-3)
    assert converter_dbfs(at_microphone_dbu, 40.0, 18.0) == pytest.approx(0.24, abs=5e-3)
    assert converter_dbfs(at_microphone_dbu, 40.0, 24.0) == pytest.approx(-5.76, abs=5e-3)


def test_phantom_power_supply() -> None:
    """AUD-18: IEC 61938:2018, 48 V, 6.8 kohm a leg, about 170 mW at most (second-hand: a trade glossary, "Phantom Power").

    Both legs in parallel are 3400 ohm; matched, V^2 / (4 R) = 169.4 mW.
    """
    assert pytest.approx(0.1694, abs=5e-5) == PHANTOM_V**2 / (4.0 * PHANTOM_LEG_OHM / 2.0)
    assert phantom_short_current_a() == pytest.approx(PHANTOM_V / (PHANTOM_LEG_OHM / 2.0))


@pytest.mark.parametrize("voltage_v", [0.0, -1.0])
def test_no_level_without_a_voltage(voltage_v: float) -> None:
    with pytest.raises(ValueError, match="not above zero"):
        dbu_from_v(voltage_v)


@pytest.mark.parametrize("level_dbu", [-120.0, -7.78, 0.0, 4.0, 24.0])
def test_volts_and_dbu_are_each_others_way_back(level_dbu: float) -> None:
    assert dbu_from_v(v_from_dbu(level_dbu)) == pytest.approx(level_dbu, abs=1e-9)
