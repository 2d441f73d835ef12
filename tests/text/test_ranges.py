"""Ranges as people write them, and that a short list is read back as it was written."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.text.ranges import RANGE_MAX, compress, expand

# Expected lists are written by hand from the example show's own writing (`M-01..04`, `SB-1/1-4`, `o4-5`).
WRITTEN = [
    ("1..13", [str(n) for n in range(1, 14)]),
    ("6-9", ["6", "7", "8", "9"]),
    ("6 - 9", ["6", "7", "8", "9"]),
    ("6–9", ["6", "7", "8", "9"]),  # a word processor makes an en dash of a hyphen
    ("6…9", ["6", "7", "8", "9"]),  # and an ellipsis of dots
    ("1...3", ["1", "2", "3"]),
    ("M-01..04", ["M-01", "M-02", "M-03", "M-04"]),
    ("M-01..M-04", ["M-01", "M-02", "M-03", "M-04"]),
    ("08..11", ["08", "09", "10", "11"]),
    ("098..101", ["098", "099", "100", "101"]),
    ("98..101", ["98", "99", "100", "101"]),
    ("SB-1/1..4", ["SB-1/1", "SB-1/2", "SB-1/3", "SB-1/4"]),
    ("SB-1/1-4", ["SB-1/1", "SB-1/2", "SB-1/3", "SB-1/4"]),
    ("SB-1/o4-5", ["SB-1/o4", "SB-1/o5"]),
    ("SB-1/o4..o5", ["SB-1/o4", "SB-1/o5"]),
    ("SW-T/S3-S4", ["SW-T/S3", "SW-T/S4"]),
    ("o1..8", [f"o{n}" for n in range(1, 9)]),
    ("a1-3", ["a1", "a2", "a3"]),
    ("FD4-5", ["FD4", "FD5"]),
    ("ICM-1/4W1..2", ["ICM-1/4W1", "ICM-1/4W2"]),
    ("1-8, 11", [*"12345678", "11"]),
    ("1,2 ,3", ["1", "2", "3"]),
    ("1..3, 2..4", ["1", "2", "3", "4"]),
    ("PGM, 15", ["PGM", "15"]),
    ("director, producer", ["director", "producer"]),
    ("stage manager", ["stage manager"]),
    ("1\n2", ["1", "2"]),
    ("7..7", ["7"]),
    ("1,,2,", ["1", "2"]),
    ("", []),
]


@pytest.mark.parametrize(("text", "names"), WRITTEN)
def test_what_people_write(text: str, names: list[str]) -> None:
    assert expand(text) == (names, [])


@pytest.mark.parametrize(
    "text",
    ["SB-1", "F-01", "CON-1", "M-01", "CAM-1-3", "M-01-04", "10.41.20.2", "2026-09-06", "PL-A", "a1-b3", "-", "1-"],
)
def test_names_that_are_no_range(text: str) -> None:
    assert expand(text) == ([text], [])


def test_known_names_are_never_split() -> None:
    assert expand("6-9", {"6-9"}) == (["6-9"], [])
    assert expand("6-9, 11-12", {"6-9"}) == (["6-9", "11", "12"], [])
    assert expand("left, right", {"left, right"}) == (["left, right"], [])
    assert expand("6-7", {"6", "7"}) == (["6", "7"], [])


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("9..6", "6..9"),
        ("SB-1/4..1", "SB-1/1..4"),
        ("9-6", "6..9"),
        ("1..5000", "5,000"),
        ("1-99999999999", "too long"),
        ("a..b", "number"),
        ("..", "number"),
        ("1..", "number"),
        ("SB-1/1..SB-2/4", "differ"),
        ("1..012", "zeros"),
    ],
)
def test_a_range_that_cannot_be_meant_gives_words_and_no_names(text: str, word: str) -> None:
    names, problems = expand(text)
    assert names == []
    assert len(problems) == 1
    assert word in problems[0]
    assert text in problems[0]


def test_the_rest_of_a_list_is_kept_beside_a_problem() -> None:
    names, problems = expand("1..3, 9..6, 12")
    assert names == ["1", "2", "3", "12"]
    assert len(problems) == 1


def test_the_longest_range() -> None:
    assert len(expand(f"1..{RANGE_MAX}")[0]) == RANGE_MAX
    assert expand(f"0..{RANGE_MAX}")[0] == []


def test_short_lists() -> None:
    assert compress(["1", "2", "3", "4", "5", "7"]) == "1..5, 7"
    assert compress(["1", "2"]) == "1, 2"
    assert compress(["M-08", "M-09", "M-10"]) == "M-08..10"
    assert compress(["9", "10", "11"]) == "9..11"
    assert compress(["3", "2", "1"]) == "3, 2, 1"
    assert compress(["a", "a", "b"]) == "a, b"
    assert compress([]) == ""


PREFIX = st.sampled_from(["", "M-", "SB-1/", "SB-1/o", "o", "line ", "4W", "ü", "10.41.20."])
NUMBERED = st.builds(
    lambda prefix, number, width: f"{prefix}{number:0{width}}", PREFIX, st.integers(0, 130), st.integers(1, 3)
)
WORD = st.text("abcPQ -/é", min_size=1, max_size=8).map(str.strip).filter(bool)


@settings(max_examples=300, derandomize=True, deadline=None)
@given(st.lists(NUMBERED | WORD, max_size=30))
def test_a_short_list_is_read_back(names: list[str]) -> None:
    assert expand(compress(names), set(names)) == (list(dict.fromkeys(names)), [])


@settings(max_examples=100, derandomize=True, deadline=None)
@given(PREFIX, st.integers(0, 500), st.integers(0, 300), st.sampled_from([1, 2, 4]))
def test_a_run_is_read_back_without_knowing_its_names(prefix: str, first: int, more: int, width: int) -> None:
    names = [f"{prefix}{number:0{width}}" for number in range(first, first + more + 1)]
    text = compress(names)
    assert expand(text) == (names, [])
    assert more < 2 or len(text) < len(", ".join(names))


@settings(max_examples=300, derandomize=True, deadline=None)
@given(st.text("0123456789.-/, oM…–\n", max_size=20))
def test_any_text_gives_names_or_problems(text: str) -> None:
    names, problems = expand(text)
    assert len(names) == len(set(names))
    assert all(names)
    assert all(problems)
    assert bool(text.strip(" ,\n")) == bool(names or problems)
