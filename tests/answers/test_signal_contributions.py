"""Contributions of a source to a listener, against the sets of who hears whom, all ways walked, and a comb filter."""

from __future__ import annotations

import random
import time
from functools import cache

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.signal_contributions import Contribution, Contributions, contributions
from tailboard.answers.signal_edges import Edge, Figure
from tailboard.answers.signal_reach import Terms
from tailboard.answers.signal_ways import Way, ways
from tailboard.model.reading import read
from tailboard.model.show import empty_heading
from tailboard.text.folder import Texts

SHOWS = ("small", "medium", "generated 1", "generated 2")
PAIRS = 250


@cache
def heard(name: str) -> Hearing:
    draft = synthetic(random.Random(int(name[-1])), 30) if name.startswith("generated") else Draft.example(name)
    return Ask(read(Texts(draft.files)).model)(hearing)


def pairs(found: Hearing) -> list[tuple[str, str]]:
    model = found.graph.model
    ears = [f"ear {name}" for name in (*model.feeds, *model.stations)]
    every = [(label, ear) for label in found.mixing.labels for ear in ears]
    return random.Random(5).sample(every, min(PAIRS, len(every)))


@pytest.mark.parametrize("name", SHOWS)
def test_there_is_a_way_exactly_where_the_source_is_heard(name: str) -> None:
    found = heard(name)
    cases = (
        (Terms(), found.planned),
        (Terms(keyed=False), found.steady),
        (Terms(planned=False), found.working),
        (Terms(keyed=False, planned=False), found.working_steady),
    )
    several = 0
    for source, ear in pairs(found):
        for terms, reach in cases:
            parts = contributions(found.graph, source, ear, terms)
            assert bool(parts.count) == bool(reach.at.get(ear, 0) & found.mixing.set_of(source)), (source, ear, terms)
            assert len(parts.listed) == min(parts.count, 6)
            several += parts.count > 1
    assert several, "no source comes twice: the listing is not tried"


@pytest.mark.parametrize("name", SHOWS)
def test_as_many_ways_as_are_found_by_walking_all(name: str) -> None:
    found = heard(name)
    for source, ear in pairs(found):
        parts, walked = contributions(found.graph, source, ear, Terms()), ways(found.graph, source, ear, 1000)
        assert parts.exact
        if walked.more:
            assert parts.count > walked.count
            continue
        assert parts.count == walked.count, (source, ear)
        listed = {tuple((edge.start, edge.end) for edge in way.steps) for way in walked.listed}
        assert {tuple((edge.start, edge.end) for edge in part.way.steps) for part in parts.listed} <= listed


def test_the_listed_ways_hang_together() -> None:
    found = heard("medium")
    for source, ear in pairs(found):
        for part in contributions(found.graph, source, ear).listed:
            points = [source, *(edge.end for edge in part.way.steps)]
            assert [edge.start for edge in part.way.steps] == points[:-1]
            assert points[-1] == ear
            assert part.way.stop is None
            assert part.gain_db == sum(edge.gain_db or 0.0 for edge in part.way.steps)


def later(delay_s: float, gain_db: float = 0.0) -> Contribution:
    edge = Edge("line 1", "ear FD1", "cable", "cable C-1", empty_heading(), "title", delay=Figure(delay_s, delay_s))
    return Contribution(Way((edge,)), gain_db)


def test_two_ways_of_equal_level_cancel_half_a_period_apart() -> None:
    """A comb filter of two equal parts has its first notch at 1 / (2 tau) and twice the gain at 1 / tau.

    Source: J. O. Smith, "Physical Audio Signal Processing", feedforward comb filters; from memory.
    """
    parts = Contributions(2, exact=True, listed=(later(0.001), later(0.0035)))
    assert abs(parts.sum_at(1 / (2 * 0.0025), (0.001, 0.0035))) == pytest.approx(0.0, abs=1e-9)
    assert abs(parts.sum_at(1 / 0.0025, (0.001, 0.0035))) == pytest.approx(2.0)
    assert abs(parts.sum_at(0.0, (0.001, 0.0035))) == pytest.approx(2.0)


def test_a_weaker_way_leaves_a_ripple() -> None:
    """1 +- a with a = 10 ** (-6 / 20): +3.53 dB and -6.04 dB. Worked by hand."""
    parts = Contributions(2, exact=True, listed=(later(0.0), later(0.002, -6.0)))
    assert abs(parts.sum_at(500.0, (0.0, 0.002))) == pytest.approx(1.501187, abs=1e-6)
    assert abs(parts.sum_at(250.0, (0.0, 0.002))) == pytest.approx(0.498813, abs=1e-6)


def test_all_ways_of_all_sources_to_one_ear_are_cheap() -> None:
    found = heard("medium")
    before = time.process_time()
    for source in found.mixing.labels:
        contributions(found.graph, source, "ear IFB4" if "IFB4" in found.graph.model.feeds else "ear FMR1")
    assert time.process_time() - before < 2
