"""Read a quantity with its unit: '150 m', '0.375 ms', '+4 dBu', '1 G'. Values come out in the family's base unit."""

import math
import re
from dataclasses import dataclass


class QuantityError(ValueError):
    """A text is not a quantity of the family; the message is a sentence fit for a finding."""


@dataclass(frozen=True, slots=True)
class Family:
    """One kind of quantity.

    name    what it measures, in words ('length').
    base    unit of the number that comes out ('m').
    suffix  how attribute names of this quantity end ('_m').
    units   written unit to (factor, offset): base = value x factor + offset.
    bare    unit taken where none is written; empty: a unit must be written.
    """

    name: str
    base: str
    suffix: str
    units: dict[str, tuple[float, float]]
    bare: str = ""

    @property
    def example(self) -> str:
        """The units a user may write, for messages."""
        return ", ".join(self.units)

    @property
    def one(self) -> str:
        """The name with its article: 'a length', 'an analogue level'."""
        return f"{'an' if self.name[0] in 'aeio' else 'a'} {self.name}"


def scaled(**factors: float) -> dict[str, tuple[float, float]]:
    """Return a unit table without offsets."""
    return {unit: (factor, 0.0) for unit, factor in factors.items()}


DBV_IN_DBU = 20 * math.log10(1 / math.sqrt(0.6))  # 0 dBu is sqrt(0.6) V (1 mW in 600 ohm), 0 dBV is 1 V: +2.2185 dB

FAMILIES: dict[str, Family] = {
    family.name: family
    for family in (
        Family("length", "m", "_m", scaled(m=1, km=1e3, cm=1e-2, mm=1e-3)),
        Family("time", "s", "_s", {**scaled(s=1, ms=1e-3, us=1e-6, ns=1e-9, min=60, h=3600), "µs": (1e-6, 0.0)}),
        Family("minutes", "min", "_min", scaled(min=1, h=60), bare="min"),
        Family(
            "rate",
            "bit/s",
            "_bit_per_s",
            {
                "Mb/s": (1e6, 0),
                "Gb/s": (1e9, 0),
                "kb/s": (1e3, 0),
                "b/s": (1, 0),
                "M": (1e6, 0),
                "G": (1e9, 0),
                "Mbit/s": (1e6, 0),
                "Gbit/s": (1e9, 0),
            },
        ),
        Family("frequency", "Hz", "_hz", scaled(Hz=1, kHz=1e3, MHz=1e6)),
        Family("gain", "dB", "_db", scaled(dB=1), bare="dB"),
        Family("analogue level", "dBu", "_dbu", {"dBu": (1, 0), "dBV": (1, DBV_IN_DBU)}),
        Family("sound pressure level", "dB SPL", "_db_spl", scaled(**{"dB SPL": 1, "dB": 1})),
        Family("sensitivity", "mV/Pa", "_mv_per_pa", scaled(**{"mV/Pa": 1, "V/Pa": 1e3})),
        Family("digital level", "dBFS", "_dbfs", scaled(dBFS=1)),
        Family("optical power", "dBm", "_dbm", scaled(dBm=1)),
        Family("voltage", "V", "_v", scaled(V=1, mV=1e-3)),
        Family("power", "W", "_w", scaled(W=1, kW=1e3, mW=1e-3)),
        Family("energy", "Wh", "_wh", scaled(Wh=1, kWh=1e3)),
        Family("wavelength", "nm", "_nm", scaled(nm=1), bare="nm"),
        Family("fibre loss", "dB/km", "_db_per_km", {"dB/km": (1, 0)}),
        Family("frame size", "bytes", "_bytes", scaled(bytes=1, B=1), bare="bytes"),
    )
}

SHAPE = re.compile(r"([+\-−]?)\s*(\d+(?:[.,]\d+)?|[.,]\d+)\s*([^\d\s].*)?$")


def parse_quantity(text: str, family: Family) -> float:
    """Return the number in the family's base unit.

    A decimal comma is read as a decimal point; '1,000' is refused, for it may mean one or a thousand.
    Raises QuantityError with a sentence that says what was expected.
    """
    match = SHAPE.match(text.strip())
    if match is None:
        raise QuantityError(f"'{text}' is not {family.one}; write a number and one of {family.example}")
    sign, digits, unit = match.group(1), match.group(2), (match.group(3) or "").strip()
    whole, comma, decimals = digits.partition(",")
    if comma and len(decimals) == 3 and whole.lstrip("0"):
        raise QuantityError(f"'{text}' may mean {whole}.{decimals} or {whole}{decimals}; write it without a comma")
    unit = unit or family.bare
    if unit not in family.units:
        raise QuantityError(unit_message(text, unit, family))
    factor, offset = family.units[unit]
    number = float(digits.replace(",", ".")) * (-1 if sign in {"-", "−"} else 1)
    return number * factor + offset


def unit_message(text: str, unit: str, family: Family) -> str:
    """Return the sentence for a missing, unknown or foreign unit."""
    if not unit:
        return f"'{text}' has no unit; {family.one} needs one of {family.example}"
    folded = {known.lower(): known for known in family.units}
    if unit.lower() in folded:
        return f"'{text}': write the unit as '{folded[unit.lower()]}'"
    others = [other.name for other in FAMILIES.values() if unit in other.units]
    if others:
        return f"'{text}' is {FAMILIES[others[0]].one}; {family.one} is expected here, in {family.example}"
    return f"'{text}': '{unit}' is not a unit of {family.name}; write one of {family.example}"
