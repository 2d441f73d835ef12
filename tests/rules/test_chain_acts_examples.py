"""The documented example of changeover-short: more to re-plug than there are minutes."""

from __future__ import annotations

import random

from model.test_acts import acted
from support.draft import Draft
from tailboard.findings import Status


def moved(rng: random.Random, count: int, minutes: str) -> Draft:
    """Some lines of the example in free holes of its box before the second half."""
    lines = rng.sample([str(number) for number in range(1, 8)], count)
    rows = "".join(f"{line},SB-1/{17 + place}\n" for place, line in enumerate(lines))
    return acted(
        f"line,hole\n{rows}", f"act,change-over\nfirst,\nsecond half,{minutes}\nthird{rng.randrange(9999)},60 min\n"
    )


def test_the_example_of_a_short_change_over() -> None:
    """9 holes at 40 s take 6 min; here 7 take 4.7, and there are 4."""
    (finding,) = moved(random.Random(1), 7, "4 min").findings("changeover-short")
    assert "7 holes" in finding.message
    assert "4.7 min at 40 s each; there are 4 min" in finding.message
    assert not moved(random.Random(1), 7, "5 min").findings("changeover-short")
    (claim,) = moved(random.Random(1), 7, "").claims("changeover-short", Status.OPEN)
    assert "is not written" in (claim.finding.message if claim.finding else "")
