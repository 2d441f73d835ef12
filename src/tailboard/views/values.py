"""The value of a field as a reader sees it: units as people write them, ranges short."""

from __future__ import annotations

from typing import Any

from tailboard.text.fields import Column
from tailboard.text.ranges import compress
from tailboard.units.wording import worded


def value_words(value: Any, column: Column) -> str:
    """Return a value in words; an empty text where there is none."""
    base = column.shape.base if column.shape is not None else ""
    return in_words(value, base or ("m" if column.attribute.endswith("_m") else ""))


def in_words(value: Any, base: str = "") -> str:
    """Return a value in words; `base` is the base unit of a quantity, empty for everything else."""
    if value is None or value in ("", (), {}):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return worded(value, base) if base else f"{value:g}"
    if isinstance(value, dict):
        return ", ".join(f"{name}: {in_words(item, base)}" for name, item in value.items())
    if isinstance(value, tuple):
        return sequence_words(value, base)
    return str(value)


def sequence_words(value: tuple[Any, ...], base: str) -> str:
    """Return a list in words: names as ranges, lengths joined, spans with dots."""
    if all(isinstance(item, float) for item in value):
        joint = " + " if base == "m" else " to "
        return joint.join(in_words(item, base) for item in value)
    return compress(str(item) for item in value)
