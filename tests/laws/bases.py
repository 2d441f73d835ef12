"""The shows that the laws are tried on, clean and broken, and how two proofs are compared."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable

from seeds.seeded import SEEDS
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.findings import Claim
from tailboard.rules.run import Proof

Signature = Counter[tuple[str, tuple[str, ...], str]]
ABOUT_LABELS = {"labels-alike"}  # rules whose subject is a label, which may look like a name
ABOUT_NUMBERS = {"vlan-id-twice"}  # rules whose subject holds a number, which may look like a line
# Rules whose subject is one of many that could stand for the whole, the first in the alphabet.
ONE_FOR_MANY = {"network-loop"}
FAULTS_PER_SHOW = 25  # cells damaged in a broken synthetic show


def small() -> Draft:
    """Return the clean example."""
    return Draft.example()


def mistaken() -> Draft:
    """Return the example with all its seeded mistakes."""
    draft = Draft.example()
    for seed in SEEDS:
        seed.edit(draft)
    return draft


def broken_synthetic(seed: int, lines: int) -> Draft:
    """Return a generated show in which cells of the tables have changed places."""
    rng = random.Random(seed)
    draft = synthetic(rng, lines)
    for _ in range(FAULTS_PER_SHOW):
        table = rng.choice(["lines", "feeds", "buses"])
        header, *rows = draft.rows(table)
        column = rng.randrange(1, len(header))
        one, other = rng.choice(rows), rng.choice(rows)
        one[column], other[column] = other[column], one[column]
        draft.write(table, [header, *rows])
    return draft


BASES: dict[str, Callable[[], Draft]] = {
    "small": small,
    "small with mistakes": mistaken,
    "medium": lambda: Draft.example("medium"),
    **{f"synthetic {lines}": lambda lines=lines: synthetic(random.Random(lines), lines) for lines in (10, 25, 60)},  # type: ignore[misc]
    **{f"broken synthetic {lines}": lambda lines=lines: broken_synthetic(lines, lines) for lines in (12, 40)},  # type: ignore[misc]
}


def signature(proof: Proof, rename: Callable[[str], str] = str) -> Signature:
    """Return the claims as (rule, subject, status); a subject's names are sorted, for some rules put them in order."""
    return Counter((claim.rule, renamed(claim, rename), claim.status.value) for claim in proof.claims)


def renamed(claim: Claim, rename: Callable[[str], str]) -> tuple[str, ...]:
    """Return a claim's subject with its names changed."""
    if claim.rule in ONE_FOR_MANY:
        return ()
    numbers = claim.rule in ABOUT_NUMBERS
    kept = {name for name in claim.subject if claim.rule in ABOUT_LABELS or (numbers and name.isdigit())}
    return tuple(sorted(name if name in kept else rename(name) for name in claim.subject))


def difference(one: Signature, other: Signature) -> list[str]:
    """Return what stands on one side only, for a message."""
    lost, won = one - other, other - one
    return [f"- {item}" for item in sorted(lost)][:10] + [f"+ {item}" for item in sorted(won)][:10]
