"""Words and wrapping: values worded once, lines that fit, signs that are always the same width."""

from __future__ import annotations

import pytest

from tailboard.model.records import Cable, Device, Line, Supply
from tailboard.term.page import Page, Style, wrapped
from tailboard.term.signs import PLAIN_SIGNS, SIGN_WIDTH, SIGNS, clean, cut, width_of
from tailboard.term.spots import window
from tailboard.text.fields import Record, columns_of
from tailboard.views.rulebook import FAMILIES, rules_by_name, sentence_of
from tailboard.views.values import in_words, value_words


@pytest.mark.parametrize(
    ("value", "base", "words"),
    [
        (0.000375, "s", "0.375 ms"),
        (48000.0, "Hz", "48 kHz"),
        (True, "", "yes"),
        (("1", "2", "3", "7"), "", "1..3, 7"),
        ((85.0, 30.0), "m", "85 m + 30 m"),
        ((-11.0, -6.0), "dBm", "-11 dBm to -6 dBm"),
        ({"AUDIO": "10.0.0.1"}, "", "AUDIO: 10.0.0.1"),
        (None, "", ""),
        ((), "", ""),
    ],
)
def test_values_are_worded_as_people_write_them(value: object, base: str, words: str) -> None:
    assert in_words(value, base) == words


def test_lengths_keep_their_unit() -> None:
    (pieces,) = [column for column in columns_of(Cable) if column.attribute == "pieces_m"]
    assert value_words((150.0,), pieces) == "150 m"


@pytest.mark.parametrize("kind", [Cable, Device, Line, Supply])
def test_no_quantity_is_worded_without_a_unit(kind: type[Record]) -> None:
    for column in columns_of(kind):
        if column.attribute.endswith(("_m", "_s", "_db", "_hz", "_w", "_dbu", "_min")):
            assert not value_words(7.0, column).replace(".", "").isdigit(), column.name


def test_wrapped_lines_fit_and_lose_nothing() -> None:
    text = "a finding about F-01~COMMS:SW-T/S1:SW-B/S1:a-name-that-is-much-too-long-for-one-line and its end"
    for width in range(12, 60):
        lines = wrapped(text, width, 2, 4)
        assert all(width_of(line) <= width for line in lines)
        assert "".join(line.strip() for line in lines).replace(" ", "") == text.replace(" ", "")


def test_wide_and_combining_signs_are_counted_as_the_terminal_shows_them() -> None:
    """East Asian Width, Unicode Standard Annex 11: wide signs take two columns, combining ones none."""
    assert width_of("録音") == 4
    assert width_of("e\u0301") == 1
    assert cut("録音録音", 7) == "録音..."


def test_signs_share_one_width_and_have_a_plain_twin() -> None:
    assert set(SIGNS) == set(PLAIN_SIGNS)
    assert "".join(PLAIN_SIGNS.values()).isascii()
    for name in ("holds", "holds if", "broken", "open"):
        assert width_of(Style().sign(name)) == width_of(Style(plain=True).sign(name)) == SIGN_WIDTH
    assert len({SIGNS[name] for name in ("holds", "holds if", "broken", "open")}) == 4


def test_signs_that_act_on_a_terminal_become_blanks() -> None:
    assert clean("a\x1b[31mb\tc\u202ed\x9be") == "a [31mb c d e"
    assert clean("Žofie 録音") == "Žofie 録音"


def test_a_long_line_is_shown_round_its_stretch() -> None:
    text = "x" * 100 + "HERE" + "y" * 100
    shown, begin, end = window(text, 100, 104, 60)
    assert shown[begin:end] == "HERE"
    assert width_of(shown) <= 60


def test_a_lead_stands_alone_in_its_column() -> None:
    page = Page(Style(width=20))
    page.tell("mend: ", "write the label anew", 2)
    assert page.text() == "  mend: write the\n        label anew\n"


def test_every_rule_has_a_family_with_words_and_one_sentence() -> None:
    for name, rule in rules_by_name().items():
        assert rule.family in FAMILIES, name
        assert sentence_of(rule).endswith("."), name
