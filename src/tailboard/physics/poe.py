"""Power over Ethernet: what a class may draw, at the source and at the device."""

from __future__ import annotations

# IEEE 802.3af, at, bt, read in two engineering notes that restate the table (second-hand); one misprints class 8 as 99 W.
SOURCE_POWER_W = {0: 15.4, 1: 4.0, 2: 7.0, 3: 15.4, 4: 30.0, 5: 45.0, 6: 60.0, 7: 75.0, 8: 90.0}
DEVICE_POWER_W = {0: 12.95, 1: 3.84, 2: 6.49, 3: 12.95, 4: 25.5, 5: 40.0, 6: 51.0, 7: 62.0, 8: 71.3}


def source_power_w(poe_class: int) -> float:
    """Return what a source sets aside for a device of a class. [W]

    Raises KeyError for a class that IEEE 802.3 does not have.
    >>> source_power_w(3)
    15.4
    """
    return SOURCE_POWER_W[poe_class]


def device_power_w(poe_class: int) -> float:
    """Return the most a device of a class may draw at its end of the cable. [W]

    >>> device_power_w(4)
    25.5
    """
    return DEVICE_POWER_W[poe_class]


def cable_loss_w(current_a: float, resistance_ohm: float) -> float:
    """Return the power lost in a cable. [W]

        I^2 R

    Source: Joule's law. Check (published, IEEE 802.3at table, second-hand): 0.6 A in 12.5 ohm -> 4.5 W, so 30 W at the
        source leave 25.5 W.
    >>> cable_loss_w(0.6, 12.5)
    4.5
    """
    return current_a**2 * resistance_ohm
