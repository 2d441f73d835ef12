"""A mix with its minus in one cell, as people say it, is what the two columns say."""

from __future__ import annotations

import pytest

from support.draft import Draft

SAID = ["{mix} minus {minus}", "{mix} MINUS {minus}", "{mix}  minus  {minus}", "{mix}\nminus {minus}"]


def verdict(draft: Draft) -> list[tuple[str, str]]:
    return sorted((claim.id, claim.status.value) for claim in draft.prove().claims)


@pytest.mark.parametrize("name", ["small", "medium"])
@pytest.mark.parametrize("said", SAID)
def test_every_minus_of_an_example_may_stand_in_its_mix(name: str, said: str) -> None:
    draft = Draft.example(name)
    before = verdict(draft)
    moved = 0
    for table, column in (("feeds", "mix"), ("buses", "members")):
        rows = draft.rows(table)
        if "minus" not in rows[0]:
            continue
        for row in rows[1:]:
            minus = row[rows[0].index("minus")]
            if minus:
                whole = said.format(mix=row[rows[0].index(column)], minus=minus)
                draft.cell(table, row[0], column, whole).cell(table, row[0], "minus", "")
                moved += 1
    assert moved
    assert verdict(draft) == before


def test_a_minus_in_both_places_counts_from_both() -> None:
    draft = Draft.example().cell("feeds", "FD1", "mix", "PGM minus 6..8").cell("feeds", "FD1", "minus", "8..9")
    feed = draft.read().model.feeds["FD1"]
    assert (feed.mix, feed.minus) == (("PGM",), ("8", "9", "6", "7"))


def test_what_is_said_of_a_minus_points_to_where_it_stands() -> None:
    draft = Draft.example().cell("feeds", "FD1", "mix", "PGM minus 6, 77").cell("feeds", "FD1", "minus", "")
    feed = draft.read().model.feeds["FD1"]
    assert feed.at.spot("minus") == feed.at.spot("mix")
    (found,) = draft.findings("name-unknown")
    assert found.spot == feed.at.spot("mix")
    assert "77" in found.message


@pytest.mark.parametrize(("said", "words"), [("PGM minus", "ends in minus"), ("PGM minus 9..6", "9..6")])
def test_a_minus_of_nothing_is_told_with_its_cell(said: str, words: str) -> None:
    draft = Draft.example().cell("feeds", "FD1", "mix", said)
    (found,) = draft.findings("value-unfit")
    assert words in found.message
    assert (found.spot.file, found.spot.line) == ("feeds.csv", 2)


def test_a_minus_without_a_mix_is_no_mix() -> None:
    draft = Draft.example().cell("feeds", "FD1", "mix", "minus 6")
    assert any("FD1 has no mix" in finding.message for finding in draft.findings("value-missing"))


def test_a_name_that_only_begins_so_is_a_name() -> None:
    draft = Draft.example().cell("feeds", "FD1", "mix", "PGM, minuscule")
    assert draft.read().model.feeds["FD1"].mix == ("PGM", "minuscule")
