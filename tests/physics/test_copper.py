"""Limits of data copper against published values, all read second-hand."""

from __future__ import annotations

import doctest

from tailboard.physics import copper


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(copper).failed == 0


def test_a_channel_is_90_m_of_link_and_10_m_of_cords() -> None:
    """ANSI/TIA-568, several cabling pages (second-hand)."""
    assert copper.run_m_max() == 100 == copper.PERMANENT_LINK_M_MAX + copper.CORDS_M_MAX


def test_ten_gigabit_reaches_55_m_on_category_6() -> None:
    """TIA TSB-155, a cabling article (second-hand)."""
    assert copper.run_m_max(10e9, category=6) == 55
    assert copper.run_m_max(1e9, category=6) == 100
    assert copper.run_m_max(10e9, category=7) == 100


def test_joined_pieces_add_up() -> None:
    assert copper.run_m((85, 30)) == 115
