"""Did you mean: the known name that is closest to a misspelt one."""

import re
from collections.abc import Iterable

_IGNORED = str.maketrans("", "", " \t-_./")
_DIGITS = re.compile("[0-9]+")


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the known name closest to `word`, or '' when none is close.

    Case, blanks, hyphens and leading zeros do not count; after that at most two slips of the finger (one in a name of
    up to five letters). Numbers must agree: hole 25 is no misspelling of hole 24. Ties go to the first in the alphabet.
    """
    plain = _plain(word)
    digits = _DIGITS.findall(plain)
    limit = 0 if len(plain) < 3 else 1 if len(plain) < 6 else 2
    best: tuple[int, str] | None = None
    for name in known:
        other = _plain(name)
        if other == plain:
            distance = 0
        elif abs(len(other) - len(plain)) > limit or limit == 0 or _DIGITS.findall(other) != digits:
            continue
        else:
            distance = slips(plain, other, limit)
        if distance <= limit and (best is None or (distance, name) < best):
            best = (distance, name)
    return "" if best is None else best[1]


def _plain(word: str) -> str:
    """Return a word as it counts: lower case, without blanks, hyphens and leading zeros."""
    return re.sub("(?<![0-9])0+(?=[0-9])", "", word.casefold().translate(_IGNORED))


def slips(one: str, other: str, limit: int) -> int:
    """Return how many letters must be typed, left out, changed or swapped with the next; `limit` + 1 if more."""
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
