"""Balanced copper for data: how long a run may be."""

from __future__ import annotations

CHANNEL_M_MAX = 100.0  # ANSI/TIA-568: 90 m of solid cable and 10 m of cords (second-hand)
PERMANENT_LINK_M_MAX = 90.0  # the same
CORDS_M_MAX = 10.0  # the same
CATEGORY_6_10G_M_MAX = 55.0  # TIA TSB-155: 10 Gb/s on category 6 (second-hand)
TEN_GIGABIT_BIT_PER_S = 10e9


def run_m_max(rate_bit_per_s: float | None = None, category: int = 5) -> float:
    """Return the longest run of balanced copper, cords included. [m]

    rate_bit_per_s  of the link; None: not known, up to 1 Gb/s.
    category        5, 6 or 7 (5 stands for 5e, 7 for 6A and better).
    Source: ANSI/TIA-568 for the channel of 100 m, TIA TSB-155 for 10 Gb/s on category 6; both second-hand.
    >>> run_m_max(1e9)
    100.0
    >>> run_m_max(10e9, category=6)
    55.0
    """
    if rate_bit_per_s is not None and rate_bit_per_s >= TEN_GIGABIT_BIT_PER_S and category == 6:
        return CATEGORY_6_10G_M_MAX
    return CHANNEL_M_MAX


def run_m(pieces_m: tuple[float, ...]) -> float:
    """Return the length of a run of joined pieces. [m]

    >>> run_m((85.0, 30.0))
    115.0
    """
    return sum(pieces_m)
