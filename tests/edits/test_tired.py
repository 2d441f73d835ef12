"""The ten slips of the demo: each is one edit of the example's text, each is found, none is found in the clean plan."""

from __future__ import annotations

import pytest

from support.draft import Draft
from tailboard.edits.tired import SLIPS, Slip, slipped
from tailboard.views.demo import check_of
from tailboard.views.verdict import CheckView

CLEAN = {name: text.encode() for name, text in Draft.example().files.items()}


def weighty(view: CheckView) -> list[str]:
    """Return the messages of errors and warnings."""
    return [one["message"] for one in view["findings"] if one["severity"] != "note"]


def test_there_are_ten_and_each_has_its_number() -> None:
    assert [slip.id for slip in SLIPS] == [f"A-M{number:02}" for number in range(1, 11)]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.id)
def test_each_slip_alone_changes_one_file(slip: Slip) -> None:
    changed = slipped(CLEAN, [slip])
    assert [name for name in CLEAN if changed[name] != CLEAN[name]] == [slip.file]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.id)
def test_each_slip_alone_is_found(slip: Slip) -> None:
    assert weighty(check_of(slipped(CLEAN, [slip]))), slip.words


def test_the_clean_plan_has_neither_error_nor_warning() -> None:
    assert weighty(check_of(CLEAN)) == []


def test_all_slips_at_once_have_few_causes() -> None:
    view = check_of(slipped(CLEAN))
    assert view["verdict"] == "not ready"
    assert 5 <= len(weighty(view)) <= 15
