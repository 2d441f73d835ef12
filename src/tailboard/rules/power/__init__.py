"""The rules of the power and earth family, in the order they are run."""

from tailboard.rules.power import breaker_overloaded, copper_joins_earths, supply_unknown

MODULES = (copper_joins_earths, supply_unknown, breaker_overloaded)
