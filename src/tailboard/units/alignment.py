"""A level reference: which analogue level stands for which digital one, as two houses agree on it."""

import re
from dataclasses import dataclass

from tailboard.units.quantity import FAMILIES, QuantityError, parse_quantity
from tailboard.units.wording import worded

EBU_DBFS = -18.0  # EBU R 68-2000: alignment level at -18 dBFS, second-hand
EXAMPLE = "-18 dBFS = 0 dBu"
PARTED = re.compile(r"\s*=+\s*|\s+equals\s+")


@dataclass(frozen=True, slots=True)
class Alignment:
    """One level said in both worlds: `-18 dBFS = 0 dBu`.

    level_dbfs  the digital level; 0 where only the full scale is said. [dBFS]
    level_dbu   the analogue level at that point. [dBu]
    """

    level_dbfs: float
    level_dbu: float

    def __str__(self) -> str:
        """Return it as people write it."""
        return f"{worded(self.level_dbfs, 'dBFS')} = {worded(self.level_dbu, 'dBu')}"


def parse_alignment(text: str) -> Alignment:
    """Return the reference of `-18 dBFS = 0 dBu` or `+4 dBu = -20 dBFS`; an analogue level alone is that of -18 dBFS.

    Raises QuantityError with a sentence that says what was expected.
    """
    sides = [side for side in PARTED.split(text.strip()) if side]
    if len(sides) == 1 and "dBFS" not in text:
        return Alignment(EBU_DBFS, parse_quantity(sides[0], FAMILIES["analogue level"]))
    digital = [side for side in sides if side.endswith("dBFS")]
    analogue = [side for side in sides if not side.endswith("dBFS")]
    if len(digital) != 1 or len(analogue) != 1:
        raise QuantityError(f"'{text}' is no level reference; write it as {EXAMPLE}")
    level_dbfs = parse_quantity(digital[0], FAMILIES["digital level"])
    if not -60 <= level_dbfs <= 0:
        raise QuantityError(f"'{text}': a digital level lies between -60 and 0 dBFS")
    return Alignment(level_dbfs, parse_quantity(analogue[0], FAMILIES["analogue level"]))
