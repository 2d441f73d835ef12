"""The rules of the power family, in the order they are run."""

from tailboard.rules.power import (
    breaker_overloaded,
    copper_joins_earths,
    found_earth_voltage,
    phase_overloaded,
    poe_lost_in_cable,
    poe_port_too_weak,
    supplies_join_earths,
    supply_unknown,
    ups_minutes_short,
)

MODULES = (
    copper_joins_earths,
    found_earth_voltage,
    supplies_join_earths,
    supply_unknown,
    breaker_overloaded,
    phase_overloaded,
    ups_minutes_short,
    poe_lost_in_cable,
    poe_port_too_weak,
)
