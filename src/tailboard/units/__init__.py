"""Quantities as people write them, and numbers as people read them. Standard library only."""

from tailboard.units.alignment import EBU_DBFS, Alignment, parse_alignment
from tailboard.units.quantity import FAMILIES, Family, QuantityError, parse_quantity
from tailboard.units.wording import worded

__all__ = [
    "EBU_DBFS",
    "FAMILIES",
    "Alignment",
    "Family",
    "QuantityError",
    "parse_alignment",
    "parse_quantity",
    "worded",
]
