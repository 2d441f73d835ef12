"""Did you mean: the known name that is closest to a misspelt one."""

import re
from collections.abc import Iterable
from functools import lru_cache

_DIGITS = re.compile("[0-9]+")
_LOOSE_SIGN = re.compile("(?<![0-9])-+|-+(?![0-9])|(?<![0-9.])0+(?=[0-9])")
_HYPHENS = str.maketrans(dict.fromkeys(" \t_‐‑–—−", "-"))


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known name closest to `word`, or '' when none is close.

    Case, blanks, hyphens and leading zeros do not count; after that one slip of the finger is allowed in a name of three
    to five letters, two in a longer one. Numbers must agree: hole 25 is no misspelling of hole 24. Of equally close names
    the first in the alphabet is returned.

    >>> nearest("querrier", ["querier", "carrier"])
    'querier'
    """
    plain, digits = _plain(word)
    limit = 0 if len(plain) < 3 else 1 if len(plain) < 6 else 2
    best: tuple[int, str] | None = None
    for name in known:
        other, other_digits = _plain(name)
        if other == plain:
            distance = 0
        elif limit == 0 or other_digits != digits or abs(len(other) - len(plain)) > limit:
            continue
        else:
            distance = slips(plain, other, limit)
        if distance <= limit and (best is None or (distance, name) < best):
            best = (distance, name)
    return "" if best is None else best[1]


@lru_cache(maxsize=65_536)
def _plain(word: str) -> tuple[str, tuple[str, ...]]:
    """Return a word as it counts (lower case; blanks, hyphens and leading zeros only between digits), and its numbers."""
    plain = _LOOSE_SIGN.sub("", word.casefold().translate(_HYPHENS))
    return plain, tuple(_DIGITS.findall(plain))


def slips(one: str, other: str, limit: int) -> int:
    """Return how many letters must be typed, left out, changed or swapped with the next one; `limit` + 1 if more.

    Optimal string alignment; needs len(one) * len(other) steps at most.
    """
    oldest: list[int] = []
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        oldest, before, row = before, row, [i]
        for j, letter_other in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != letter_other))
            if i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == letter_other:
                cost = min(cost, oldest[j - 2] + 1)
            row.append(cost)
        if min(row) > limit:
            return limit + 1
    return row[-1]
