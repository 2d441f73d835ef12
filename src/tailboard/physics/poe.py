"""Power over Ethernet: what a class may draw, at the source and at the device."""

from __future__ import annotations

import math

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


def source_v(poe_class: int) -> float:
    """Return the least voltage of a source for a class. [V]

    IEEE 802.3: 44 V for Type 1 (classes 0..3), 50 V for Type 2 (class 4), second-hand; 50 V for 5 and 6, 52 V for 7 and
    8, from memory. With these and `run_ohm` each row of DEVICE_POWER_W follows from SOURCE_POWER_W to 0.1 W.
    """
    return 44.0 if poe_class <= 3 else 50.0 if poe_class <= 6 else 52.0


def run_ohm(poe_class: int) -> float:
    """Return the resistance there and back of the longest run, 100 m, that a class is made for. [ohm]

    IEEE 802.3: 20 ohm for Type 1 (classes 0..3), 12.5 ohm for Type 2 (class 4), second-hand; classes 5 to 8 use all four
    pairs, so half of that.
    """
    return 20.0 if poe_class <= 3 else 12.5 if poe_class == 4 else 6.25


def needed_w(device_w: float, supply_v: float, resistance_ohm: float) -> float:
    """Return what a source gives so that a device gets its power over a cable; infinite where it cannot. [W]

        V I - R I^2 = P, solved for the smaller I; the source gives V I

    Source: Ohm's law. Check (published, second-hand): 12.95 W over 20 ohm at 44 V -> 15.4 W; 25.5 W over 12.5 ohm at
        50 V -> 30 W.
    >>> round(needed_w(12.95, 44.0, 20.0), 6), round(needed_w(25.5, 50.0, 12.5), 6)
    (15.4, 30.0)
    """
    if resistance_ohm == 0:
        return device_w
    under_root = supply_v**2 - 4 * resistance_ohm * device_w
    if under_root < 0:
        return math.inf
    return supply_v * (supply_v - math.sqrt(under_root)) / (2 * resistance_ohm)


def cable_loss_w(current_a: float, resistance_ohm: float) -> float:
    """Return the power lost in a cable. [W]

        I^2 R

    Source: Joule's law. Check (published, IEEE 802.3at table, second-hand): 0.6 A in 12.5 ohm -> 4.5 W, so 30 W at the
        source leave 25.5 W.
    >>> cable_loss_w(0.6, 12.5)
    4.5
    """
    return current_a**2 * resistance_ohm
