"""Level references as people write them, read and written out again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.text.shapes import ALIGNMENT, FieldError
from tailboard.units import Alignment, QuantityError, parse_alignment

EBU = Alignment(-18.0, 0.0)  # EBU R 68-2000: -18 dBFS is 0 dBu, second-hand
SMPTE = Alignment(-20.0, 4.0)  # SMPTE RP 155: -20 dBFS is +4 dBu, second-hand


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("-18 dBFS = 0 dBu", EBU),
        ("0 dBu = -18 dBFS", EBU),
        ("  -18dBFS=0dBu ", EBU),
        ("−18 dBFS == 0 dBu", EBU),  # a typographic minus
        ("-20 dBFS equals +4 dBu", SMPTE),
        ("+4 dBu = -20 dBFS", SMPTE),
        ("0 dBu", EBU),  # an analogue level alone is that of -18 dBFS
        ("+6 dBu", Alignment(-18.0, 6.0)),
        ("0 dBFS = +24 dBu", Alignment(0.0, 24.0)),
        ("-18,5 dBFS = 0 dBu", Alignment(-18.5, 0.0)),
    ],
)
def test_a_reference_is_read_as_it_is_written(text: str, meant: Alignment) -> None:
    assert parse_alignment(text) == meant


def test_a_level_in_volts_of_the_other_scale_is_converted() -> None:
    """-10 dBV is -7.78 dBu: 20 log10(1 V / sqrt(0.6 V^2)) = 2.2185 dB, by hand."""
    assert parse_alignment("-20 dBFS = -10 dBV").level_dbu == pytest.approx(-7.7815, abs=5e-5)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no level reference"),
        ("-18 dBFS", "no level reference"),
        ("-18 dBFS = -20 dBFS", "no level reference"),
        ("0 dBu = +4 dBu", "no level reference"),
        ("-18 dBFS = 0 dBu = +4 dBu", "no level reference"),
        ("-18 dBFS = loud", "is not an analogue level"),
        ("+3 dBFS = 0 dBu", "between -60 and 0 dBFS"),
        ("-61 dBFS = 0 dBu", "between -60 and 0 dBFS"),
        ("-18 dBFS = 0", "has no unit"),
        ("18", "has no unit"),
    ],
)
def test_what_is_no_reference_is_refused_in_words(text: str, says: str) -> None:
    with pytest.raises(QuantityError) as refused:
        parse_alignment(text)
    assert says in str(refused.value)


@pytest.mark.parametrize("text", ["-18 dBFS = +31 dBu", "-18 dBFS = -21 dBu", "40 dBu"])
def test_a_cell_takes_no_absurd_analogue_level(text: str) -> None:
    with pytest.raises(FieldError, match=r"outside -20\.\.30 dBu"):
        ALIGNMENT.parse(text)


@given(
    st.integers(-6000, 0).map(lambda hundredths: hundredths / 100),
    st.integers(-2000, 3000).map(lambda hundredths: hundredths / 100),
)
def test_a_reference_written_out_reads_back(level_dbfs: float, level_dbu: float) -> None:
    found = parse_alignment(str(Alignment(level_dbfs, level_dbu)))
    assert (found.level_dbfs, found.level_dbu) == pytest.approx((level_dbfs, level_dbu), abs=1e-9)


@given(st.text(max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        found = parse_alignment(text)
    except QuantityError:
        return
    assert -60 <= found.level_dbfs <= 0


def test_it_is_worded_as_people_write_it() -> None:
    assert (str(EBU), str(SMPTE)) == ("-18 dBFS = 0 dBu", "-20 dBFS = +4 dBu")
