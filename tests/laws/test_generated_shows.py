"""Generated shows are clean, differ from one another, and have the size that was asked for."""

from __future__ import annotations

import random

import pytest

from support.synthetic import synthetic
from tailboard.findings import Severity
from tailboard.rules.run import prove

TRIES = 4


@pytest.mark.parametrize("lines", [10, 11, 13, 17, 25, 40, 64, 80, 81, 100, 150])
def test_a_generated_show_has_no_error_and_no_warning(lines: int) -> None:
    for seed in range(TRIES):
        found = synthetic(random.Random(1000 * lines + seed), lines).prove().findings
        assert [(item.id, item.message) for item in found if item.severity > Severity.NOTE] == []


def test_a_large_generated_show_is_clean_too() -> None:
    found = synthetic(random.Random(7), 1000).prove().findings
    assert [(item.id, item.message) for item in found if item.severity > Severity.NOTE] == []


@pytest.mark.parametrize("lines", [10, 40, 200])
def test_a_generated_show_has_the_size_asked_for(lines: int) -> None:
    reading = synthetic(random.Random(lines), lines).read()
    model = reading.model
    assert abs(len(model.lines) - lines) <= 3
    assert abs(len(model.feeds) - lines / 2) <= 4
    assert len(model.vlans) == 7
    assert prove(model, reading.findings).claims


def test_generated_shows_share_no_names() -> None:
    one, other = (synthetic(random.Random(seed), 40).read().model for seed in (1, 2))
    assert not set(one.devices) & set(other.devices)
    assert not set(one.feeds) & set(other.feeds)


def test_the_same_number_gives_the_same_show() -> None:
    assert synthetic(random.Random(5), 40).files == synthetic(random.Random(5), 40).files
