"""Published values of optics (section 4).

OPT-01, OPT-03, OPT-04, OPT-07, OPT-12, OPT-13, OPT-19, OPT-21 (all but the connector) to OPT-24 stand in test_light.py, the
three at L0 = 1310 nm of OPT-15 in test_light_measured.py, OPT-25 to OPT-30 in wire/test_optic_readings.py.

Not computed by any code of this project, and why:

| id | why |
|---|---|
| OPT-05, OPT-09, OPT-10, OPT-11 | from memory, not found in a text: no limit may rest on them |
| OPT-08 | from memory, and sources disagree: the power of a module is what its user enters; -19.5 dBm is an example value |
| OPT-14, the spread by polarisation | nothing here adds it up; it is under a picosecond on a strand of 10 km |
| OPT-01, OPT-02, OPT-03: wavelengths and reach | figures of modules, which a user enters; the rules compare them |
"""

from __future__ import annotations

import pytest

from tailboard.kinds.library import built_in
from tailboard.physics import light
from tailboard.physics.ethernet import PROPAGATION_S_PER_M
from tailboard.physics.light import Losses, colour_delay_s, glass_delay_s, least, most, received_dbm, smear_s, usual
from tailboard.wire.ptp import Exchange, Moment


def test_overload_and_budget_of_10gbase_er() -> None:
    """OPT-02: receives -15.8..-1.0 dBm over 40 km, launches up to +4.0 dBm (second-hand) and -4.7 at least (from memory).

    40 km at the least loss of 1550 nm bring the strongest module under its overload; 10 km do not (OPT-24: 5.0 dB needed).
    40 km of usual loss leave the weakest above its sensitivity.
    """
    assert received_dbm(4.0, least(1550.0, "single-mode").loss_db(40e3, 0, 0)) <= -1.0
    assert received_dbm(4.0, least(1550.0, "single-mode").loss_db(10e3, 0, 0)) > -1.0
    assert received_dbm(-4.7, usual(1550.0, "single-mode").loss_db(40e3, 2, 0)) >= -15.8


def test_the_wavelengths_of_the_shipped_modules_are_those_of_bx10() -> None:
    """OPT-06: 1000BASE-BX10 sends 1260..1360 nm one way and 1480..1500 nm the other (a maker's table of IEEE 802.3-2005)."""
    optics = built_in().optics
    up, down = optics["O1S-U"], optics["O1S-D"]
    assert up.tx_nm is not None
    assert down.tx_nm is not None
    assert 1260 <= up.tx_nm <= 1360
    assert 1480 <= down.tx_nm <= 1500
    assert (up.rx_nm, down.rx_nm) == (down.tx_nm, up.tx_nm)


@pytest.mark.parametrize(("zero_nm", "smear_ps"), [(1300.0, 18.01), (1310.0, 17.46), (1324.0, 16.67)])
def test_dispersion_over_the_range_the_standard_allows(zero_nm: float, smear_ps: float) -> None:
    """OPT-15: at 1550 nm, for the ends of 1300..1324 nm (derived; formula from memory, ITU-T G.652)."""
    assert smear_s(1550.0, 1000.0, 1.0, zero_nm) * 1e12 == pytest.approx(smear_ps, abs=0.01)


@pytest.mark.parametrize(("zero_nm", "apart_ns"), [(1310.0, 1.316), (1300.0, 1.45), (1324.0, 1.12)])
def test_1490_nm_comes_later_than_1310_nm(zero_nm: float, apart_ns: float) -> None:
    """OPT-16: 1.316 ns/km, 1.12..1.45 over the range of L0 (derived; ITU-T G.650.1, formula from memory)."""
    apart_s = colour_delay_s(1490.0, 1000.0, zero_nm) - colour_delay_s(1310.0, 1000.0, zero_nm)
    assert apart_s * 1e9 == pytest.approx(apart_ns, abs=0.0005 if apart_ns == 1.316 else 0.005)


def test_what_one_strand_for_both_ways_brings_into_the_clock() -> None:
    """OPT-16: 0.66 ns/km, half of the difference (IEEE 1588-2008 7.4.2); here over 1000 km, in whole nanoseconds."""
    there_s, back_s = (glass_delay_s(1e6) + colour_delay_s(wave_nm, 1e6) for wave_nm in (1490.0, 1310.0))
    there_ns, back_ns = round(there_s * 1e9), round(back_s * 1e9)
    exchange = Exchange(Moment(0, 0), Moment(0, there_ns), Moment(0, 0), Moment(0, back_ns))
    assert exchange.offset_s / 1000 * 1e9 == pytest.approx(0.66, abs=0.005)


def test_the_delay_is_the_integral_of_the_smear() -> None:
    """Law: the delay between two wavelengths is the smear between them, added up in small steps."""
    step_nm = 0.5
    summed_s = sum(smear_s(1310.0 + step_nm * (number + 0.5), 1000.0, step_nm) for number in range(480))
    assert summed_s == pytest.approx(colour_delay_s(1550.0, 1000.0) - colour_delay_s(1310.0, 1000.0), rel=1e-5)


@pytest.mark.parametrize(("index_ratio", "delay_us"), [(1.4677, 4.8957), (1.4682, 4.8974)])
def test_delay_of_a_kilometre_of_fibre(index_ratio: float, delay_us: float) -> None:
    """OPT-17: group index over the speed of light (arithmetic); a public article prints 4.895 and 4.897 us/km."""
    assert glass_delay_s(1000.0, index_ratio) * 1e6 == pytest.approx(delay_us, abs=0.0001)


def test_the_figure_the_delay_of_a_packet_goes_by_is_on_the_safe_side() -> None:
    """OPT-17, OPT-18: not below any of the fibre's own, and 200 km within the 1 ms that RFC 6366 section 3.6 prints."""
    assert PROPAGATION_S_PER_M >= glass_delay_s(1.0, 1.4682) >= glass_delay_s(1.0) >= glass_delay_s(1.0, 1.4677)
    delay_s = 200e3 * PROPAGATION_S_PER_M
    assert delay_s == pytest.approx(1e-3, rel=0.025)


def test_a_pair_in_use_is_taken_for_no_worse_than_the_planners_figure() -> None:
    """OPT-21: 0.5 dB a connector, a trade association's calculator (second-hand); the usual loss here is below, the most above."""
    assert usual(1310.0, "single-mode").pair_db <= 0.5 <= most(1310.0, "single-mode").pair_db


def test_margin_of_the_worked_budget() -> None:
    """OPT-22 with OPT-07: -9 dBm at least sent, 4.80 dB lost, a penalty of 3.3 dB; 11.0 dB of budget leave 2.9 dB (derived)."""
    loss_db = Losses(0.40, 0.75, 0.3).loss_db(3000.0, 4, 2)
    assert received_dbm(-9.0, loss_db + 3.3) - (-9.0 - 11.0) == pytest.approx(2.9, abs=0.05)


def test_light_does_not_run_faster_than_light() -> None:
    """The speed of light is exact by definition (SI Brochure, 9th edition)."""
    assert glass_delay_s(light.LIGHT_M_PER_S, 1.0) == 1.0
