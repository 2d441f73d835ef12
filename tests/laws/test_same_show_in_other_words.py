"""The same show in other words has the same verdict: other names, another order, other files, other units."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

import pytest

from laws.bases import BASES, difference, signature
from support.draft import Draft
from support.edits_book import in_workbook
from support.edits_names import Renamer
from support.edits_order import shuffled
from support.edits_written import Writer
from tailboard.kinds.library import built_in
from tailboard.model.reading import Reading, read
from tailboard.rules.run import Proof, prove
from tailboard.text.folder import Texts

TRIES = 3
UNUSED_ROLES = {"console", "matrix", "intercom base"}  # a second one would change what an unnamed one means


@dataclass(repr=False)
class Base:
    """One show with its proof."""

    draft: Draft
    reading: Reading = field(init=False)
    proof: Proof = field(init=False)

    def __post_init__(self) -> None:
        self.reading = self.draft.read()
        self.proof = prove(self.reading.model, self.reading.findings)


@pytest.fixture(scope="module", params=list(BASES))
def base(request: pytest.FixtureRequest) -> Base:
    return Base(BASES[request.param]())


def assert_same(base: Base, other: Draft) -> None:
    assert difference(signature(base.proof), signature(other.prove())) == []


def test_a_show_written_out_by_hand_is_the_same(base: Base) -> None:
    """Ranges, templates and the rig under the show are a way of writing and nothing more."""
    assert_same(base, Writer(base.reading.model).draft())


@pytest.mark.parametrize("seed", range(TRIES))
def test_split_between_show_and_rig_in_any_way_is_the_same(base: Base, seed: int) -> None:
    assert_same(base, Writer(base.reading.model, rng=Fixed(seed), split=True).draft())


@pytest.mark.parametrize("seed", range(TRIES))
def test_other_units_are_the_same(base: Base, seed: int) -> None:
    assert_same(base, Writer(base.reading.model, rng=random.Random(seed)).draft())


@pytest.mark.parametrize("seed", range(TRIES))
def test_another_order_is_the_same(base: Base, seed: int) -> None:
    assert_same(base, shuffled(base.draft, random.Random(seed)))


@pytest.mark.parametrize("seed", range(TRIES))
def test_other_names_are_the_same(base: Base, seed: int) -> None:
    renamer = Renamer.of(base.reading.model, random.Random(seed))
    other = Writer(base.reading.model, renamer).draft().prove()
    assert difference(signature(base.proof, lambda name: renamer("claim", name)), signature(other)) == []


def test_tables_in_a_workbook_are_the_same(base: Base) -> None:
    reading = read(Texts(in_workbook(base.draft)))
    assert difference(signature(base.proof), signature(prove(reading.model, reading.findings))) == []
    assert len(reading.findings) == len(base.reading.findings)


@pytest.mark.parametrize("seed", range(TRIES))
def test_an_unused_device_changes_no_other_claim(base: Base, seed: int) -> None:
    kinds = [name for name, kind in built_in().kinds.items() if kind.role not in UNUSED_ROLES]
    kind = random.Random(seed).choice(kinds)
    other = base.draft.copy()
    other.sub("rig.yaml", "\ndevices:\n", f"\ndevices:\n  UNUSED: {{kind: {kind}}}\n")
    kept = [claim for claim in other.prove().claims if not any("UNUSED" in name for name in claim.subject)]
    before = {(claim.id, claim.status) for claim in base.proof.claims}
    assert {(claim.id, claim.status) for claim in kept} ^ before == set()


class Fixed(random.Random):
    """Chance that always takes the first unit, so that a try is about files alone."""

    def choice(self, seq):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN201  the base class has no simple type
        return seq[0]


def test_the_laws_are_tried_on_shows_with_claims(base: Base) -> None:
    """A comparison of nothing with nothing would always hold."""
    assert len(base.proof.claims) >= len(base.reading.model.lines)


def test_a_changed_fact_is_seen_by_the_comparison() -> None:
    """The comparison itself can fail: one address given twice changes a claim."""
    draft = Draft.example()
    before = signature(draft.prove())
    draft.sub("rig.yaml", "address: {AUDIO: 10.41.20.21}", "address: {AUDIO: 10.41.20.10}")
    assert difference(before, signature(draft.prove())) != []
