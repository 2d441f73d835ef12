"""The speed of sound and what a distance costs, against ISO 9613-1 (read in an open implementation) and a textbook rule."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.physics import air
from tailboard.physics.air import KELVIN_AT_0_C, SPEED_AT_20_C, air_delay_s, air_speed_ratio


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(air).failed == 0


@pytest.mark.parametrize(("temperature_c", "speed"), [(20, 343.2), (0, 331.29), (30, 349.00)])
def test_the_speed_of_sound(temperature_c: int, speed: float) -> None:
    """ISO 9613-1:1993, by an open implementation of it."""
    assert SPEED_AT_20_C * air_speed_ratio(KELVIN_AT_0_C + temperature_c) == pytest.approx(speed, abs=0.05)


@pytest.mark.parametrize("temperature_c", [0, 10, 20, 30])
def test_the_linear_rule_of_the_textbooks_is_near(temperature_c: int) -> None:
    """331.3 + 0.606 t, a textbook's rule: 0.2 m/s above ISO at 20 degrees."""
    speed = SPEED_AT_20_C * air_speed_ratio(KELVIN_AT_0_C + temperature_c)
    assert speed == pytest.approx(331.3 + 0.606 * temperature_c, abs=0.5)


@pytest.mark.parametrize(("distance_m", "delay_ms"), [(1, 2.914), (3.43, 9.994), (34.32, 100.0)])
def test_the_delay_of_a_distance(distance_m: float, delay_ms: float) -> None:
    """Arithmetic at 343.2 m/s, worked by hand."""
    assert 1e3 * air_delay_s(distance_m) == pytest.approx(delay_ms, abs=0.0005)


def test_34_cm_are_a_millisecond() -> None:
    """Common practice, no source: 1 ms is 34 cm."""
    assert air_delay_s(0.34) == pytest.approx(1e-3, rel=0.01)


@given(st.floats(0, 1e4), st.floats(200, 320), st.floats(0.1, 50))
def test_warmer_air_is_never_slower_and_distances_add(distance_m: float, temperature_k: float, more_k: float) -> None:
    assert air_delay_s(distance_m, temperature_k + more_k) <= air_delay_s(distance_m, temperature_k)
    both = air_delay_s(distance_m, temperature_k) + air_delay_s(3.0, temperature_k)
    assert air_delay_s(distance_m + 3.0, temperature_k) == pytest.approx(both)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="below zero"):
        air_delay_s(-1.0)
    with pytest.raises(ValueError, match="absolute zero"):
        air_delay_s(1.0, 0.0)
