"""The classes of Power over Ethernet against published values, read second-hand."""

from __future__ import annotations

import doctest

import pytest

from tailboard.physics import poe

# IEEE 802.3af/at/bt as an engineering note restates them (second-hand): class, at the source, at the device.
PUBLISHED_W = [
    (0, 15.4, 12.95), (1, 4, 3.84), (2, 7, 6.49), (3, 15.4, 12.95), (4, 30, 25.5), (5, 45, 40), (6, 60, 51), (7, 75, 62),
    (8, 90, 71.3),
]  # fmt: skip


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(poe).failed == 0


@pytest.mark.parametrize(("poe_class", "source_w", "device_w"), PUBLISHED_W)
def test_powers_of_a_class(poe_class: int, source_w: float, device_w: float) -> None:
    assert poe.source_power_w(poe_class) == source_w
    assert poe.device_power_w(poe_class) == device_w


@pytest.mark.parametrize(("poe_class", "current_a", "resistance_ohm"), [(3, 0.35, 20.0), (4, 0.6, 12.5)])
def test_the_cable_takes_the_difference(poe_class: int, current_a: float, resistance_ohm: float) -> None:
    """IEEE 802.3af: 350 mA in 20 ohm; 802.3at: 600 mA in 12.5 ohm (arithmetic closes the table)."""
    lost_w = poe.source_power_w(poe_class) - poe.device_power_w(poe_class)
    assert poe.cable_loss_w(current_a, resistance_ohm) == pytest.approx(lost_w, abs=1e-9)


def test_a_class_that_does_not_exist_is_refused() -> None:
    with pytest.raises(KeyError):
        poe.source_power_w(9)
