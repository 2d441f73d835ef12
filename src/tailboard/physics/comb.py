"""Comb filtering: one source that arrives twice, the second time later, and what the sum does to its spectrum."""

import math

SILENT_DB = (
    20.0  # a copy this far below does not matter: ripple +0.83 / -0.92 dB, arithmetic; the limit is our own choice
)


def notch_hz(difference_s: float, number: int = 1) -> float:
    """Return the frequency of a notch of two equal copies, the first being number 1. [Hz]

        f = (2 n - 1) / (2 dt)

    difference_s  how much later the second copy comes, above zero. [s]

    Source: arithmetic: the copies cancel where they are half a period apart.
    Check (hand): 1 ms -> 500, 1500, 2500 Hz; 0.5, 2, 5 and 10 ms -> 1000, 250, 100 and 50 Hz.
    >>> [round(notch_hz(1e-3, n)) for n in (1, 2, 3)]
    [500, 1500, 2500]
    """
    if difference_s <= 0 or number < 1:
        raise ValueError(f"no notch: {difference_s} s, number {number}")
    return (2 * number - 1) / (2.0 * difference_s)


def peak_hz(difference_s: float, number: int = 1) -> float:
    """Return the frequency of a peak of two copies, the first above 0 Hz being number 1. [Hz]

        f = n / dt

    Check (hand): 1 ms -> 1000, 2000 Hz.
    >>> [round(peak_hz(1e-3, n)) for n in (1, 2)]
    [1000, 2000]
    """
    if difference_s <= 0 or number < 1:
        raise ValueError(f"no peak: {difference_s} s, number {number}")
    return number / difference_s


def ripple_db(below_db: float) -> tuple[float, float]:
    """Return (peak, notch) of two copies over the louder one alone. [dB]

        peak = 20 log10(1 + g), notch = 20 log10(1 - g), g = 10^(-d / 20)

    below_db  how far the softer copy is below the louder, not below zero. [dB]

    With equal copies the notch is without bottom: minus infinity.
    Source: arithmetic.
    Check (hand): 6 dB below -> +3.53 / -6.04 dB; 20 dB below -> +0.83 / -0.92 dB.
    >>> [round(level, 2) for level in ripple_db(6.0)]
    [3.53, -6.04]
    """
    if below_db < 0:
        raise ValueError(f"the softer copy cannot be above the louder: {below_db} dB")
    gain_ratio = math.pow(10.0, -below_db / 20.0)
    notch_db = 20.0 * math.log10(1.0 - gain_ratio) if gain_ratio < 1.0 else -math.inf
    return 20.0 * math.log10(1.0 + gain_ratio), notch_db
