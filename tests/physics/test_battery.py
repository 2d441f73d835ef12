"""How long a battery lasts."""

from __future__ import annotations

import math

import pytest

from tailboard.physics.battery import lasting_min


@pytest.mark.parametrize(("energy_wh", "load_w", "minutes"), [(1000, 1000, 60), (216, 108, 120), (50, 600, 5)])
def test_watt_hours_are_watts_times_hours(energy_wh: float, load_w: float, minutes: float) -> None:
    """The definition of the watt-hour: 3600 J (SI brochure, units used with the SI)."""
    assert lasting_min(energy_wh, load_w) == pytest.approx(minutes)
    assert lasting_min(energy_wh, load_w) * 60 * load_w == pytest.approx(energy_wh * 3600)


def test_no_load_empties_nothing() -> None:
    assert math.isinf(lasting_min(10, 0))
