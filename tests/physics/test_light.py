"""Light on a strand against published values and worked budgets."""

from __future__ import annotations

import doctest
import random

import pytest

from tailboard.physics import light
from tailboard.physics.light import Losses, least, most, received_dbm, usual


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    result = doctest.testmod(light)
    assert result.attempted
    assert not result.failed


def test_the_worked_loss_budget() -> None:
    """OPT-22, derived: 3 km at 0.40 dB/km, four pairs at 0.75 dB, two splices at 0.3 dB: 4.80 dB.

    Against the 11.0 dB budget of 1000BASE-BX10 (OPT-07, a table headed IEEE 802.3ah, second-hand) and its dispersion
    penalty of 3.3 dB, 2.9 dB are left.
    """
    loss_db = Losses(0.40, 0.75, 0.3).loss_db(3000.0, 4, 2)
    assert loss_db == pytest.approx(4.80, abs=0.005)
    assert 11.0 - 3.3 - loss_db == pytest.approx(2.9, abs=0.05)


def test_a_mated_pair_at_its_limit_loses_what_the_cabling_standard_allows() -> None:
    """OPT-19: 0.75 dB, ANSI/TIA-568, read in several public loss-budget pages (second-hand)."""
    assert most(1310.0, "single-mode").pair_db == 0.75


def test_the_least_and_the_usual_loss_are_planning_values() -> None:
    """OPT-13: G.652.D planning values 0.35 dB/km at 1310 nm and 0.22..0.25 at 1550 nm (second-hand).
    OPT-21: 0.2 dB/km at 1550 nm, 0.15 dB a splice, a trade association's calculator (second-hand).
    """
    assert least(1310.0, "single-mode") == Losses(0.35, 0.0, 0.0)
    assert least(1550.0, "single-mode").per_km_db == 0.20
    assert usual(1310.0, "single-mode").per_km_db == 0.35
    assert usual(1550.0, "single-mode").per_km_db == 0.22
    assert usual(1310.0, "single-mode").splice_db == 0.15


@pytest.mark.parametrize("wave_nm", [1270.0, 1310.0, 1490.0, 1550.0])
def test_the_worst_case_covers_the_cabled_maxima_of_the_fibre(wave_nm: float) -> None:
    """OPT-12: G.652.D cabled attenuation at most 0.40 dB/km at 1310 nm, 0.30 at 1550 nm (second-hand)."""
    assert most(wave_nm, "single-mode").per_km_db >= (0.40 if wave_nm < 1500.0 else 0.30)


def test_the_link_budget_of_1000base_lx() -> None:
    """OPT-03, OPT-04: -11.0 dBm launched, -19.0 dBm needed, 8.0 dB printed (second-hand): at 8.0 dB nothing is left."""
    assert received_dbm(-11.0, 8.0) == pytest.approx(-19.0)


def test_the_budget_of_10gbase_lr() -> None:
    """OPT-01, OPT-23: -8.2 dBm launched, -14.4 dBm needed: 6.2 dB in average power (second-hand, arithmetic)."""
    assert received_dbm(-8.2, 6.2) == pytest.approx(-14.4)


def test_overload_of_10_gbit_modules() -> None:
    """OPT-24, derived: an LR module on no fibre is at its limit +0.5 dBm; an ER module at +4.0 dBm needs 5.0 dB."""
    assert received_dbm(0.5, 0.0) <= 0.5
    assert received_dbm(4.0, 5.0) <= -1.0 < received_dbm(4.0, 4.9)


def test_the_strand_of_the_small_show() -> None:
    """By hand: 150 m, four pairs; TX -11..-6 dBm. Best -6 - 0.0525, worst -11 - 0.075 - 3.0."""
    assert received_dbm(-6.0, least(1310.0, "single-mode").loss_db(150.0, 0, 0)) == pytest.approx(-6.0525)
    assert received_dbm(-11.0, most(1310.0, "single-mode").loss_db(150.0, 4, 0)) == pytest.approx(-14.075)


def test_more_loss_never_raises_the_power_that_arrives() -> None:
    """Law, over random strands: more metres, pairs or splices, or a worse case, never bring more light."""
    rng = random.Random(1)
    for _ in range(500):
        wave_nm, mode = rng.choice([850.0, 1310.0, 1490.0, 1550.0]), rng.choice(["single-mode", "multimode"])
        length_m, pairs, splices = rng.uniform(0, 5e4), rng.randrange(9), rng.randrange(4)
        cases = [losses(wave_nm, mode) for losses in (least, usual, most)]
        sums = [losses.loss_db(length_m, pairs, splices) for losses in cases]
        assert sums == sorted(sums)
        for losses, total_db in zip(cases, sums, strict=True):
            more = losses.loss_db(length_m + rng.uniform(0, 1e3), pairs + rng.randrange(2), splices + rng.randrange(2))
            assert received_dbm(-6.0, more) <= received_dbm(-6.0, total_db) <= -6.0


def test_absurd_figures_are_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        Losses(0.4, 0.75, 0.3).loss_db(-1.0, 0, 0)
    with pytest.raises(ValueError, match="amplify"):
        received_dbm(-6.0, -1.0)
