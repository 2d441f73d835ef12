"""Random variants of changeover-short, and change-overs with time enough."""

from __future__ import annotations

import random

from rules.test_chain_acts_examples import moved
from support.draft import Draft
from tailboard.rules.chain import changeover_short
from variants.chainstage import prove_fault, prove_harmless


def test_variants_of_a_short_change_over() -> None:
    def short(rng: random.Random) -> tuple[Draft, str]:
        count = rng.randint(2, 7)
        return moved(rng, count, f"{count * 40 / 60 - rng.uniform(0.1, 1):.2f} min"), "changeover-short:second half"

    def enough(rng: random.Random) -> Draft:
        count = rng.randint(1, 7)
        return moved(rng, count, f"{count * 40 / 60 + rng.uniform(0.01, 5):.2f} min")

    prove_fault(changeover_short, short)
    prove_harmless(changeover_short, enough)
