"""Quantities as people write them, and numbers as people read them. Standard library only."""

from tailboard.units.quantity import FAMILIES, Family, QuantityError, parse_quantity
from tailboard.units.wording import worded

__all__ = ["FAMILIES", "Family", "QuantityError", "parse_quantity", "worded"]
