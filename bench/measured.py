"""One measured figure beside its limit."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[1]


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the bench.

    what   in words; value and unit: what came out.
    limit  the most it may be, None where it is only measured.
    """

    what: str
    value: float
    unit: str
    limit: float | None = None

    @property
    def met(self) -> bool:
        """Whether the figure is within its limit."""
        return self.limit is None or self.value <= self.limit

    @property
    def verdict(self) -> str:
        """The word for a reader."""
        return "measured" if self.limit is None else "met" if self.met else "MISSED"

    def row(self) -> str:
        """Return the figure as a line of the table."""
        limit = "" if self.limit is None else f"{self.limit:g} {self.unit}"
        value = f"{self.value:,.0f}" if self.value >= 1000 else f"{self.value:.3g}"
        return f"{self.what:<58} {value:>9} {self.unit:<8} {limit:>12}  {self.verdict}"
