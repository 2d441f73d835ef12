"""Did you mean: near names are found, far ones and other numbers are not."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.text.nearmiss import nearest, slips


@pytest.mark.parametrize(
    ("word", "known", "meant"),
    [
        ("lenght", ["length", "light", "level"], "length"),
        ("querrier", ["querier", "carrier"], "querier"),
        ("plcae", ["place", "plane"], "place"),
        ("Gain Owner", ["gain owner"], "gain owner"),
        ("gain_owner", ["gain owner"], "gain owner"),
        ("CON1", ["CON-1", "CON-2"], "CON-1"),
        ("CNO-1", ["CON-2", "CON-1"], "CON-1"),
        ("sb-1/5", ["SB-1/15", "SB-1/5"], "SB-1/5"),
        ("M-1", ["M-01", "M-11"], "M-01"),
        ("SB-1/25", ["SB-1/24", "SB-1/2", "SB-12/5"], ""),
        ("SB-3/999", ["SB-39/99"], ""),
        ("6-9", ["69", "6"], ""),
        ("ab", ["ac"], ""),
        ("abc", ["xyz"], ""),
        ("orchestra", ["chest"], ""),
        ("", ["a", "b"], ""),
        ("x", [], ""),
        ("lined", ["lines", "liner"], "liner"),  # equally near: the first in the alphabet
    ],
)
def test_nearest(word: str, known: list[str], meant: str) -> None:
    assert nearest(word, known) == meant
    assert nearest(word, reversed(known)) == meant


# Distances worked out by hand; kitten/sitting is the textbook example of Levenshtein distance (3).
@pytest.mark.parametrize(
    ("one", "other", "count"),
    [
        ("kitten", "sitting", 3),
        ("ab", "ba", 1),
        ("", "ab", 2),
        ("same", "same", 0),
        ("ca", "abc", 3),
        ("abcd", "acbd", 1),
    ],
)
def test_slips(one: str, other: str, count: int) -> None:
    assert slips(one, other, 9) == count
    assert slips(one, other, count) == count
    if count:
        assert slips(one, other, count - 1) > count - 1


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.text("abc", max_size=7), st.text("abc", max_size=7), st.integers(0, 3))
def test_the_limit_only_cuts_off(one: str, other: str, limit: int) -> None:
    free = slips(one, other, 99)
    assert slips(one, other, limit) == free or (free > limit and slips(one, other, limit) > limit)
    assert free == slips(other, one, 99)
    assert abs(len(one) - len(other)) <= free <= max(len(one), len(other))
