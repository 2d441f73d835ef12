"""What a powered device costs at the port, against the published table of classes."""

from __future__ import annotations

import math
import random

import pytest

from tailboard.physics.poe import DEVICE_POWER_W, SOURCE_POWER_W, cable_loss_w, needed_w, run_ohm, source_v


@pytest.mark.parametrize("poe_class", range(9))
def test_the_table_of_classes_closes_over_the_longest_run(poe_class: int) -> None:
    """CUP-03, CUP-04: IEEE 802.3af, at, bt, second-hand: both columns of the table follow from each other by Ohm's law."""
    source_w = needed_w(DEVICE_POWER_W[poe_class], source_v(poe_class), run_ohm(poe_class))
    assert source_w == pytest.approx(SOURCE_POWER_W[poe_class], abs=0.1)


@pytest.mark.parametrize(("current_a", "resistance_ohm", "lost_w"), [(0.35, 20.0, 2.45), (0.6, 12.5, 4.5)])
def test_what_a_run_loses(current_a: float, resistance_ohm: float, lost_w: float) -> None:
    """CUP-06, CUP-07: 2.45 W and 4.5 W, derived, close the table."""
    assert cable_loss_w(current_a, resistance_ohm) == pytest.approx(lost_w)


def test_power_is_not_lost_otherwise_than_in_the_cable() -> None:
    """Law, over random runs: source = device + I^2 R with I = source / V; a longer cable never needs less."""
    rng = random.Random(5)
    for _ in range(500):
        volts, ohms = rng.uniform(37, 57), rng.uniform(0.01, 20)
        device_w = rng.uniform(0.1, volts**2 / (4 * ohms) * 0.99)
        source_w = needed_w(device_w, volts, ohms)
        assert source_w == pytest.approx(device_w + cable_loss_w(source_w / volts, ohms))
        assert source_w >= needed_w(device_w, volts, ohms * rng.uniform(0, 1))
    assert needed_w(10.0, 48.0, 0.0) == 10.0


def test_more_than_a_cable_can_bring_is_infinite() -> None:
    """The most that comes out of R at V is V^2 / 4R: 44 V over 20 ohm bring 24.2 W."""
    assert needed_w(24.1, 44.0, 20.0) < 60.0
    assert needed_w(24.3, 44.0, 20.0) == math.inf
