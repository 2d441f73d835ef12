"""Who hears whom: the small example's table by hand, people and places, planned against working, and scale."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import time

import pytest

from rules.examples import show
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, ears_of, hearing
from tailboard.answers.signal import signal
from tailboard.answers.signal_ways import short
from tailboard.text.ranges import expand

# Worked out by hand from the example's buses, feeds and comms: what each ear gets always, and on key.
SMALL = {
    "FD1": ("1..5, 10, 11, 16", "S-DIR, S-PRO"),
    "FD2": ("1, 2, 5, 10, 11, 16", ""),
    "FD4": ("6, 7, 10, 11, 14", ""),
    "FD6": ("1..14, 16", "15"),
    "FD7": ("1..14, 16", "S-SM"),
    "FD8": ("OSC", ""),
    "FD9": ("1..14, 16", "15"),
    "FD10": ("1..14, 16", ""),
    "FD11": ("", "15"),
    "FD14": ("6, 7, 14", ""),
    "S-DIR": ("S-PRO, S-A1, S-SM, S-A2, S-SP", "15"),
    "S-PRO": ("S-DIR, S-A1, S-SM, S-A2, S-SP", "15"),
    "S-SM": ("S-DIR, S-PRO, S-A1, S-A2, S-SP", ""),
}


def heard(draft: Draft) -> Hearing:
    return Ask(draft.read().model)(hearing)


@pytest.mark.parametrize("ear", SMALL)
def test_every_ear_of_the_small_example_gets_what_was_worked_out_by_hand(ear: str) -> None:
    found = heard(Draft.example())
    at = found.at(f"ear {ear}")
    always, on_key = SMALL[ear]
    assert set(found.names(at.always)) == set(expand(always)[0])
    assert set(found.names(at.on_key)) == set(expand(on_key)[0])
    assert at.possible == at.always | at.on_key
    assert at.excluded == 0


def test_a_listener_hears_by_all_his_feeds_and_stations() -> None:
    model = Draft.example().read().model
    assert ears_of(model, "stage manager").by == ("FD6", "S-SM")
    assert ears_of(model, "director").by == ("S-DIR",)
    assert ears_of(model, "producer").by == ("S-PRO",)
    assert ears_of(model, "performers").by == ("FD2", "FD3")
    assert ears_of(model, "recorder").by == ("FD9", "FD12", "FD13", "FD14", "FD15")
    assert ears_of(model, "stage").by == ("FD1", "FD2", "FD3")
    assert ears_of(model, "nobody").points == ()


def test_the_way_of_a_source_is_told_step_by_step() -> None:
    found = heard(Draft.example())
    way = found.way(found.mixing.index["station S-DIR"], "ear FD1")
    assert way is not None
    assert way.keyed
    assert short(found.graph, way) == "S-DIR - CW-1 - ICM-1 - FD1 - EPT-1"
    assert [edge.words for edge in way.steps][:4] == [
        "S-DIR talks to CW-1 on key", "CW-1 leaves by ICM-1/4W1out", "cable L-04", "CW-1 interrupts FD1",
    ]  # fmt: skip


def test_the_strongest_way_needs_no_key_if_there_is_one() -> None:
    draft = show("# comms.csv\nstation,talk,keys,listen\nS-1,PL-A,S-2,\nS-2,,,PL-A\n")
    found = heard(draft)
    way = found.way(found.mixing.index["station S-1"], "ear S-2")
    assert way is not None
    assert not way.keyed
    assert [edge.step for edge in way.steps] == ["talk", "listen"]


def test_what_a_dead_trunk_carried_is_planned_and_does_not_work() -> None:
    draft = Draft.example().sub(
        "show.yaml", "F-01: {from: SW-T/S1, to: SW-B/S1, mated pairs: 4,",
        "F-01: {from: SW-T/S1, to: SW-B/S1, state: laid, mated pairs: 4,",
    )  # fmt: skip
    found = heard(draft)
    at = found.at("ear FD1")
    assert at.always == at.on_key == 0
    assert set(found.names(at.possible)) == {*expand("1..5, 10, 11, 16")[0], "S-DIR", "S-PRO"}
    stage_manager = found.at("ear S-SM")
    assert stage_manager.always == 0  # his panel stands behind the trunk
    assert found.names(found.at("ear S-DIR").always) == ("S-PRO", "S-A1")


def test_what_an_outside_desk_leaves_out_is_kept_apart() -> None:
    draft = (
        Draft.example().cell("feeds", "FD4", "mix", "PGM").cell("buses", "PGM", "members", "MUS, SPK, AMB, 8..9, 15")
    )
    found = heard(draft)
    assert found.at("ear FD10").excluded == 0  # what comes back is in the programme anyway
    only_house = heard(Draft.example().cell("feeds", "FD16", "mix", "8, 9"))
    at = only_house.at("ear FD16")
    assert only_house.names(at.possible) == ("8", "9")
    assert set(only_house.names(at.excluded)) == set(expand("6, 7, 10, 11, 14")[0])


def test_a_line_heard_twice_is_one_source_and_two_labels() -> None:
    draft = Draft.example().cell("lines", "14", "gear", "RXR-2").cell("feeds", "FD1", "minus", "6..9, 12, 13")
    found = heard(draft)
    at = found.at("ear FD1")
    assert "6" in found.names(at.possible)  # taken out as line 6, back as line 14
    way = found.way(found.mixing.index["line 6"], "ear FD1")
    assert way is not None
    assert short(found.graph, way) == "6 - RXR-2 - 14 - SPK - PGM - FD1 - EPT-1"


def best_of(runs: int, draft: Draft) -> float:
    """Return the least time of the four spreads over one show. [s]"""
    model, best = draft.read().model, 1e9
    for _ in range(runs):
        graph = Ask(model)(signal)
        begun = time.perf_counter()
        found = Hearing(graph)
        for name in (*model.feeds, *model.stations):
            found.at(f"ear {name}")
        best = min(best, time.perf_counter() - begun)
    return best


def test_a_thousand_lines_and_five_hundred_feeds_take_less_than_a_tenth_of_a_second() -> None:
    """Measured: 0.01 s. The bound is the project's own."""
    draft = synthetic(random.Random(5), 1000)
    assert len(draft.read().model.feeds) > 450
    assert best_of(3, draft) < 0.1


GROWTH = """
import random, resource
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
model = synthetic(random.Random(5), 10_000).read().model
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
found = Ask(model)(hearing)
heard = [found.at(f"ear {name}").always for name in model.feeds]
print(len(heard), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
"""


def test_ten_thousand_lines_fit_into_memory() -> None:
    """Graph and spreads of 10,000 lines and 5,000 feeds, in a process of their own. The bound is the project's own."""
    pytest.importorskip("resource", reason="the peak of memory can only be read on POSIX systems")
    path = os.pathsep.join(sys.path)
    ran = subprocess.run(
        [sys.executable, "-c", GROWTH], capture_output=True, text=True, check=True, env={"PYTHONPATH": path}
    )
    feeds, growth = map(int, ran.stdout.split())
    assert feeds > 4500
    assert growth * (1 if sys.platform == "darwin" else 1024) < 300e6  # kilobytes on Linux, bytes on macOS
