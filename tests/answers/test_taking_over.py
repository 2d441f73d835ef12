"""A proof that takes over what has not changed says what a proof from nothing says, edit after edit."""

from __future__ import annotations

import random
from functools import cache

import pytest

import edits_auto.on_cables
import edits_auto.on_comms
import edits_auto.on_devices
import edits_auto.on_feeds
import edits_auto.on_kinds
import edits_auto.on_lines
import edits_auto.on_load
import edits_auto.on_network
import edits_auto.on_site  # noqa: F401  each module registers its kinds of edits
from edits_auto.edit import MAKERS, Case
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.network import network
from tailboard.answers.signal import carried, signal
from tailboard.model.kept import Kept
from tailboard.model.reading import Reading, read
from tailboard.rules.run import Proof, prove
from tailboard.text.folder import Texts

KINDS = {"small": 400, "medium": 40}  # of how many kinds of edits one is tried; a proof of the medium show takes longer
ACTS = {
    "acts.csv": "act,from,to,change-over\nfirst,,,\nsecond,,,\n",
    "acts/second/feeds.csv": "feed,minus\nFD1,\n",
}


class Line:
    """Proofs in a row, each of which takes over from the one before."""

    def __init__(self) -> None:
        self.kept = Kept()
        self.ask: Ask | None = None

    def next(self, files: dict[str, str]) -> tuple[Proof, Reading]:
        reading = read(Texts(files), self.kept)
        self.ask = Ask(reading.model, self.ask)
        proof = prove(reading.model, reading.findings, self.ask)
        self.ask.let_go()
        return proof, reading


def same(found: tuple[Proof, Reading], files: dict[str, str]) -> bool:
    """Return whether a proof says what one from nothing says."""
    proof, reading = found
    fresh = read(Texts(files))
    other = prove(fresh.model, fresh.findings)
    assert reading.findings == fresh.findings
    assert reading.sources == fresh.sources
    assert proof.claims == other.claims
    assert proof.findings == other.findings
    assert (proof.parent, proof.damage, proof.lapsed) == (other.parent, other.damage, other.lapsed)
    assert proof.accepted.keys() == other.accepted.keys()
    return True


@cache
def case_of(show: str) -> Case:
    return Case.example(show)


@pytest.mark.parametrize("show", KINDS)
def test_every_kind_of_edit_is_proved_as_from_nothing(show: str) -> None:
    case, rng, line = case_of(show), random.Random(show), Line()
    kinds = list(MAKERS) if len(MAKERS) <= KINDS[show] else rng.sample(list(MAKERS), KINDS[show])
    tried = 0
    for kind in kinds:
        edits = list(MAKERS[kind][1](case))
        if edits:
            files = case.text(*rng.choice(edits).changes).files
            assert same(line.next(files), files), kind
            tried += 1
    assert tried > KINDS[show] // 4


@pytest.mark.parametrize("seed", range(12))
def test_a_row_of_random_cells_in_one_show(seed: int) -> None:
    """Cells are swapped within a column, so that most of them are valid, and some rows are dropped."""
    rng = random.Random(seed)
    draft, line = synthetic(rng, 24), Line()
    for _ in range(8):
        table = rng.choice(["lines", "feeds", "buses"])
        head, *rows = draft.rows(table)
        if len(rows) > 2 and head:
            column = rng.randrange(1, len(head))
            one, two = rng.sample(rows, 2)
            draft.cell(table, one[0], head[column], two[column])
        assert same(line.next(dict(draft.files)), draft.files)


def test_the_same_text_makes_no_answer_anew() -> None:
    line, files = Line(), Draft.example("medium").files
    first, _ = line.next(files)
    second, _ = line.next(files)
    assert line.ask is not None
    assert line.ask.store.new == set()
    assert first == second


def test_a_source_out_of_a_mix_leaves_cables_and_network_as_they_were() -> None:
    line, draft = Line(), Draft.example("medium")
    line.next(draft.files)
    assert line.ask is not None
    before = [line.ask(answer) for answer in (network, carried)]
    heard = line.ask(hearing).at("ear IFB4")
    draft.cell("buses", "DRY", "members", "PRE, COM, INTV, RPL, 25..27, 81")
    line.next(draft.files)
    assert [line.ask(answer) for answer in (network, carried)] == before
    assert line.ask(signal).mixing.mixes["bus DRY"].mask != 0
    assert line.ask(hearing).at("ear IFB4") != heard


def test_an_answer_worked_out_anew_to_the_same_is_no_change_for_others() -> None:
    asked: list[str] = []

    def places(ask: Ask) -> tuple[str, ...]:
        asked.append("places")
        return tuple(line.place or "" for line in ask.model.lines.values())

    def count(ask: Ask) -> int:
        asked.append("count")
        return len(ask(places))

    draft, line = Draft.example("small"), Line()
    line.next(draft.files)
    assert line.ask is not None
    known = line.ask(count)
    draft.cell("lines", draft.rows("lines")[1][0], "label", "OTHER")
    ask = Ask(read(Texts(draft.files), line.kept).model, line.ask)
    assert ask(count) == known
    assert asked == ["count", "places", "places"]


def test_what_is_lent_for_a_supposition_comes_back() -> None:
    reading = Draft.example("medium").read()
    ask = Ask(reading.model)
    before, steps = prove(reading.model, (), ask), ask(carried)
    feeds = dict(reading.model.feeds)
    feeds.pop("IFB4")
    with ask.supposing(reading.model.changed(feeds=feeds)) as then:
        assert "ear IFB4" not in then(carried).into
        assert then(network) is ask(network)
    assert ask(carried) is steps
    assert prove(reading.model, (), ask) == before
    assert ask(hearing).at("ear IFB4") == Ask(reading.model)(hearing).at("ear IFB4")


def test_acts_are_proved_as_from_nothing() -> None:
    draft = Draft.example("medium")
    files = draft.files | ACTS | {"acts/second/feeds.csv": "feed,minus\nIFB4,-\n"}
    line = Line()
    assert same(line.next(files), files)
    draft.cell("buses", "DRY", "members", "PRE, COM, INTV, RPL, 25..27, 81")
    files = draft.files | ACTS | {"acts/second/feeds.csv": "feed,minus\nIFB4,-\n"}
    assert same(line.next(files), files)
    proof, _ = line.next(files)
    assert any(claim.id.endswith("@second") for claim in proof.claims)
