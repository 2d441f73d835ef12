"""How quick all elections of a show are: every device and cable that a clock stands on lost alone, each island joined again."""

from __future__ import annotations

import statistics
import time
from itertools import combinations

from bench.measured import Figure

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.clock import after_join, after_loss, clock

RUNS = 9
ELECTIONS_MS_MAX = 50  # issue: figures


def elections() -> list[Figure]:
    """Return the time of every loss and every join of islands in the medium example."""
    model = Draft.example("medium").read().model
    taken_ms = []
    count = 0
    for _ in range(RUNS):
        ask = Ask(model)
        clocks = ask(clock)
        before_s = time.perf_counter()
        after = [after_loss(ask, name) for name in sorted(clocks.rests_on)]
        joins = [after_join(one, other) for one, other in combinations(clocks.islands, 2)]
        joins += [after_join(one, other) for found in after for one, other in combinations(found.islands, 2)]
        taken_ms.append(1e3 * (time.perf_counter() - before_s))
        count = len(after) + len(joins)
    return [
        Figure("joins and parts of the clocks of examples/medium", count, "elections"),
        Figure("all of them, median", statistics.median(taken_ms), "ms", ELECTIONS_MS_MAX),
    ]
