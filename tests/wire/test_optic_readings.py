"""Readings of optical modules: a module's ten bytes against worked values, broken twins, round trip."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.wire import optic_readings
from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.optic_readings import OpticReadings, power_dbm

# The raw values of OPT-27, OPT-29, OPT-26 and OPT-25 (sent, received) in the order of SFF-8472, page A2h from byte 96.
WORKED = bytes.fromhex("2f4d" + "80e8" + "2279" + "0ab4" + "0854")


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    result = doctest.testmod(optic_readings)
    assert result.attempted
    assert not result.failed


def test_the_readings_of_a_module() -> None:
    """Worked in the log of commit 1b43e0d20f2d of the Linux kernel (read): temperature, bias and the two powers.

    OPT-25: 0.2740 mW is -5.62 dBm and 0.2132 mW is -6.71 dBm; OPT-26: 17.650 mA; OPT-27: 47.30 degrees.
    OPT-29: 33000 steps of 100 uV are 3.3 V (derived; the unit from public code).
    """
    readings = optic_readings.read(WORKED)
    assert readings.temperature_c == pytest.approx(47.3008, abs=5e-5)
    assert readings.supply_v == pytest.approx(3.3, abs=5e-5)
    assert readings.bias_a == pytest.approx(17.650e-3, abs=5e-7)
    assert readings.sent_dbm == pytest.approx(-5.62, abs=0.005)
    assert readings.received_dbm == pytest.approx(-6.71, abs=0.005)


def test_a_module_below_zero() -> None:
    """OPT-28: 0xFF80 is -0.5 degrees (derived: SFF-8472 section 9 counts in two's complement)."""
    assert optic_readings.read(b"\xff\x80" + WORKED[2:]).temperature_c == -0.5


@pytest.mark.parametrize(
    ("steps", "expected_dbm"), [(10000, 0.0), (1000, -10.0), (316, -15.003), (100, -20.0), (1, -40.0)]
)
def test_powers(steps: int, expected_dbm: float) -> None:
    """OPT-30: 10 log10(steps x 0.0001 mW) (arithmetic)."""
    assert power_dbm(steps) == pytest.approx(expected_dbm, abs=0.0005)


def test_no_light_has_no_level() -> None:
    """OPT-30: nothing counted is no light."""
    assert optic_readings.read(bytes(10)).received_dbm is None


@pytest.mark.parametrize("count", [0, 9])
def test_a_cut_reading_is_refused(count: int) -> None:
    with pytest.raises(BrokenPacketError) as caught:
        optic_readings.read(WORKED[:count])
    assert str(caught.value) == f"the readings of a module have 10 bytes, here are {count}"


def test_a_reading_that_cannot_be_is_not_written() -> None:
    with pytest.raises(ValueError, match="does not fit two bytes"):
        optic_readings.write(OpticReadings(0, 65536, 0, 0, 0))


@given(st.binary(min_size=10, max_size=10))
def test_what_is_read_is_written_again(octets: bytes) -> None:
    assert optic_readings.write(optic_readings.read(octets)) == octets
