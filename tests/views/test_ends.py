"""Where a source ends up, and what a listener hears, are one answer asked from both sides."""

from __future__ import annotations

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.mixing import plain
from tailboard.views.ends import EndView, ends_view, source_label
from tailboard.views.hears import HeardView, hears_view


def heard(groups: list[HeardView]) -> set[str]:
    return {one["name"] for group in groups for one in group["sources"]}


def ears(ends: list[EndView]) -> set[str]:
    return {end["ear"] for end in ends}


@pytest.mark.parametrize("show", ["small", "medium"])
def test_each_ear_hears_what_ends_up_there(show: str) -> None:
    model = Draft.example(show).read().model
    ask = Ask(model)
    by_ear = {ear: hears_view(ask, ear, {}) for ear in (*model.feeds, *model.stations)}
    pairs = 0
    for label in ask(hearing).mixing.labels:
        name = plain(label)
        view = ends_view(ask, name, {})
        assert ears(view["always"]) == {ear for ear, hears in by_ear.items() if name in heard(hears["always"])}
        assert ears(view["on_key"]) == {ear for ear, hears in by_ear.items() if name in heard(hears["on_key"])}
        assert ears(view["planned"]) == {ear for ear, hears in by_ear.items() if name in heard(hears["planned"])}
        pairs += len(view["always"]) + len(view["on_key"])
    assert pairs > 100


def test_the_buses_of_a_line_are_those_whose_text_leads_to_it() -> None:
    view = ends_view(Ask(Draft.example("medium").read().model), "15", {})
    assert [(mix["bus"], mix["by"], mix["on_air"]) for mix in view["mixes"]] == [
        ("PRE", "15", False), ("PGM", "PRE", True), ("DRY", "PRE", False), ("CLQ", "15", False), ("HFA", "15", False),
        ("LSN", "15", False),
    ]  # fmt: skip


def test_a_fact_that_keeps_a_voice_out_is_named() -> None:
    view = ends_view(Ask(Draft.example("medium").read().model), "KP-1", {})
    assert "IFB9" in view["kept_out"]
    assert view["rests"] == ["HYB-1 excludes", "CDC-1 excludes", "FAC excludes"]
    assert not set(view["kept_out"]) & ears(view["on_key"])


@pytest.mark.parametrize(
    ("name", "label"), [("15", "line 15"), ("line 15", "line 15"), ("KP-1", "station KP-1"), ("IFB1", "")]
)
def test_a_source_is_named_as_people_write_it(name: str, label: str) -> None:
    assert source_label(Ask(Draft.example("medium").read().model)(hearing).mixing, name) == label
