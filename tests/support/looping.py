"""A show whose buses name one another at random, so that there are many loops."""

from __future__ import annotations

import random

from support.draft import Draft

BUSES, MEMBERS = 1000, 10  # 10,000 edges, as the issue counts them


def looping(rng: random.Random) -> Draft:
    """Return the show."""
    members = [", ".join(f"B{number}" for number in rng.sample(range(BUSES), MEMBERS)) for _ in range(BUSES)]
    rows = [f'B{number},"{names}"' for number, names in enumerate(members)]
    return Draft({"lines.csv": "line,source\n1,violin\n", "buses.csv": "\n".join(["bus,members", *rows, ""])})
