"""Smear of light on a strand against published values."""

from __future__ import annotations

import pytest

from tailboard.physics.light import smear_s


@pytest.mark.parametrize(("wave_nm", "smear_ps"), [(1550.0, 17.46), (1490.0, 13.79), (1310.0, 0.0)])
def test_dispersion_of_the_standard_fibre(wave_nm: float, smear_ps: float) -> None:
    """OPT-15: 17.46, 13.79 and 0.00 ps/(nm km), derived from ITU-T G.652 data; OPT-14: about 17 at 1550 nm (second-hand)."""
    assert smear_s(wave_nm, 1000.0, 1.0) * 1e12 == pytest.approx(smear_ps, abs=0.01)


def test_smear_grows_with_length_and_width() -> None:
    """Arithmetic: 10 km and 0.1 nm smear as 1 km and 1 nm."""
    assert smear_s(1550.0, 10e3, 0.1) == pytest.approx(smear_s(1550.0, 1e3, 1.0))
