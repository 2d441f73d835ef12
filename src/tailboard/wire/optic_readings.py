"""What an optical module measures of itself (SFF-8472): its ten bytes to a record and back.

The second page of a module's memory (address A2h) holds them from byte 96 on, as the open driver of Linux (sfp.h) has it.
They are true as they stand where the module is calibrated by its maker ('internally calibrated').
"""

from __future__ import annotations

import math
import struct
from dataclasses import astuple, dataclass

from tailboard.wire.broken import BrokenPacketError

FIRST_BYTE = 0x60  # on page A2h, Linux include/linux/sfp.h (read)
BYTES = struct.Struct(">hHHHH")
# Units of one step: SFF-8472 section 9, as a log entry of Linux works them out and public code has them.
TEMPERATURE_C = 1 / 256
SUPPLY_V = 100e-6
BIAS_A = 2e-6
POWER_MW = 1e-4


@dataclass(frozen=True, slots=True)
class OpticReadings:
    """What a module measures, in the steps in which it counts."""

    temperature: int
    supply: int
    bias: int
    sent: int
    received: int

    @property
    def temperature_c(self) -> float:
        """Temperature of the module. [degree Celsius]"""
        return self.temperature * TEMPERATURE_C

    @property
    def supply_v(self) -> float:
        """Its supply. [V]"""
        return self.supply * SUPPLY_V

    @property
    def bias_a(self) -> float:
        """Current through its laser. [A]"""
        return self.bias * BIAS_A

    @property
    def sent_dbm(self) -> float | None:
        """Power it sends; None: no light. [dBm]"""
        return power_dbm(self.sent)

    @property
    def received_dbm(self) -> float | None:
        """Power it receives; None: no light. [dBm]"""
        return power_dbm(self.received)


def power_dbm(step_count: int) -> float | None:
    """Return a power counted in steps of 0.1 uW; None where nothing is counted: there is no light, or less than one. [dBm]

    >>> power_dbm(1000)
    -10.0
    """
    return 10 * math.log10(step_count * POWER_MW) if step_count else None


def read(octets: bytes) -> OpticReadings:
    """Return the readings from the ten bytes at 96 of page A2h; more may follow. Raises BrokenPacketError."""
    if len(octets) < BYTES.size:
        raise BrokenPacketError(f"the readings of a module have {BYTES.size} bytes, here are {len(octets)}")
    return OpticReadings(*BYTES.unpack_from(octets))


def write(readings: OpticReadings) -> bytes:
    """Return the ten bytes of readings. Raises ValueError where one does not fit its two bytes."""
    try:
        return BYTES.pack(*astuple(readings))
    except struct.error as error:
        raise ValueError(f"a reading does not fit two bytes: {error}") from error
