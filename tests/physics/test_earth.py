"""Copper between earths: grades, and the hum by arithmetic."""

from __future__ import annotations

import doctest

import pytest

from tailboard.findings import Severity
from tailboard.physics import earth
from tailboard.physics.earth import GRADES, Way, hum_dbu, way_of


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    result = doctest.testmod(earth)
    assert result.attempted
    assert not result.failed


def test_one_volt_with_60_db_of_rejection_is_one_millivolt() -> None:
    """By hand: 1 mV is -57.8 dBu (0 dBu = 0.7746 V, AUD-01); 62 dB under a line at +4 dBu."""
    assert hum_dbu(1.0, 60.0) == pytest.approx(-57.8, abs=0.05)
    assert 4.0 - hum_dbu(1.0, 60.0) == pytest.approx(61.8, abs=0.05)
    with pytest.raises(ValueError, match="above zero"):
        hum_dbu(0.0, 60.0)


@pytest.mark.parametrize(
    ("medium", "screened", "isolated", "lifted", "way"),
    [
        ("fibre", False, True, False, Way.NONE),
        ("analogue", True, True, False, Way.NONE),
        ("copper data", False, False, False, Way.DATA),
        ("copper data", True, False, False, Way.SCREEN),
        ("copper data", True, False, True, Way.LIFTED),
        ("analogue", True, False, False, Way.SCREEN),
        ("analogue", False, False, False, Way.ANALOGUE),
        ("analogue", False, False, True, Way.ANALOGUE),
        ("loudspeaker", False, False, False, Way.ANALOGUE),
        ("video", True, False, False, Way.SCREEN),
        ("digital audio", False, False, False, Way.DATA),
    ],
)
def test_how_a_cable_ties_two_earths(medium: str, screened: bool, isolated: bool, lifted: bool, way: Way) -> None:
    """Common practice, no source: a screen or an analogue return joins; transformers in data ports part."""
    assert way_of(medium, screened=screened, isolated=isolated, lifted=lifted) is way


def test_the_grades() -> None:
    """Common practice, no source: screened or analogue is an error, unscreened data and a lifted screen a warning."""
    assert {way: grade for way, grade in GRADES.items() if grade is Severity.ERROR}.keys() == {Way.SCREEN, Way.ANALOGUE}
    assert {way for way, grade in GRADES.items() if grade is Severity.WARNING} == {Way.DATA, Way.LIFTED}
    assert Way.NONE not in GRADES
