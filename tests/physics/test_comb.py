"""Comb filtering against arithmetic worked by hand, and against a rendered impulse response and its FFT."""

from __future__ import annotations

import doctest
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.physics import comb
from tailboard.physics.comb import notch_hz, peak_hz, ripple_db

RATE_HZ = 48_000
# 20 log10(1 +- g), worked by hand: how far below, peak, notch. [dB]
RIPPLE_DB = [
    (1, 5.53, -19.27), (3, 4.65, -10.69), (6, 3.53, -6.04), (10, 2.39, -3.30), (12, 1.95, -2.51), (20, 0.83, -0.92),
]  # fmt: skip


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(comb).failed == 0


@pytest.mark.parametrize(("delay_ms", "first_hz"), [(0.5, 1000), (1, 500), (2, 250), (5, 100), (10, 50)])
def test_the_first_notch(delay_ms: float, first_hz: float) -> None:
    """1 / (2 dt), worked by hand."""
    assert notch_hz(delay_ms / 1e3) == pytest.approx(first_hz)


def test_notches_and_peaks_of_a_millisecond() -> None:
    """Worked by hand: notches at 500, 1500, 2500 Hz, peaks at 1000, 2000 Hz."""
    assert [notch_hz(1e-3, number) for number in (1, 2, 3)] == pytest.approx([500, 1500, 2500])
    assert [peak_hz(1e-3, number) for number in (1, 2)] == pytest.approx([1000, 2000])


@pytest.mark.parametrize(("below", "peak", "notch"), RIPPLE_DB)
def test_the_ripple(below: float, peak: float, notch: float) -> None:
    assert ripple_db(below) == pytest.approx((peak, notch), abs=0.005)


def test_equal_copies_cancel() -> None:
    peak, notch = ripple_db(0.0)
    assert peak == pytest.approx(6.02, abs=0.005)
    assert notch == -math.inf


def test_the_three_to_one_rule() -> None:
    """Three times the distance is 9.54 dB below: +2.50 / -3.52 dB, 6.02 dB from peak to notch; worked by hand."""
    peak, notch = ripple_db(20 * math.log10(3))
    assert (peak, notch) == pytest.approx((2.50, -3.52), abs=0.005)
    assert peak - notch == pytest.approx(6.02, abs=0.005)


def rendered_db(delay_samples: int, below: float) -> tuple[np.ndarray, np.ndarray]:
    """Return (frequencies, response in dB) of an impulse and its later copy, by FFT."""
    length = 8 * RATE_HZ  # bins of 1/8 Hz
    response = np.zeros(length)
    response[0] = 1.0
    response[delay_samples] += 10 ** (-below / 20)
    spectrum = np.abs(np.fft.rfft(response))
    return np.fft.rfftfreq(length, 1 / RATE_HZ), 20 * np.log10(np.maximum(spectrum, 1e-12))


@pytest.mark.parametrize("delay_samples", [18, 48, 96, 131, 480])
@pytest.mark.parametrize("below", [0.5, 3, 6, 9.542, 20])
def test_a_rendered_impulse_response_has_these_notches(delay_samples: int, below: float) -> None:
    delay_s = delay_samples / RATE_HZ
    frequency_hz, level = rendered_db(delay_samples, below)
    peak, notch = ripple_db(below)
    assert (level.max(), level.min()) == pytest.approx((peak, notch), abs=1e-3)
    lowest = frequency_hz[frequency_hz < 1 / delay_s]
    assert lowest[level[: len(lowest)].argmin()] == pytest.approx(notch_hz(delay_s), abs=1 / 8)
    for number in (2, 3):
        near = np.argmin(np.abs(frequency_hz - notch_hz(delay_s, number)))
        assert level[near] == pytest.approx(notch, abs=0.01)
    near = np.argmin(np.abs(frequency_hz - peak_hz(delay_s, 2)))
    assert level[near] == pytest.approx(peak, abs=0.01)


@given(st.floats(0.01, 60), st.floats(0.01, 60))
def test_the_nearer_in_level_the_deeper(below: float, more: float) -> None:
    near, far = ripple_db(below), ripple_db(below + more)
    assert far[0] <= near[0]
    assert far[1] >= near[1]


@pytest.mark.parametrize(
    "call", [lambda: notch_hz(0.0), lambda: peak_hz(-1.0), lambda: notch_hz(1.0, 0), lambda: ripple_db(-1)]
)
def test_what_cannot_be_is_refused(call) -> None:  # type: ignore[no-untyped-def]  # noqa: ANN001
    with pytest.raises(ValueError, match=r"."):
        call()
