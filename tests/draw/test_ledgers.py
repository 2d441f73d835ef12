"""The delay ledger, the chain and the level: bars as long as their figures, which are those of the answers; signs, colours."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import product

import pytest

from cli.shell import ROOT, SMALL
from draw.picture import SVG, Picture, figures
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.delay import arrivals
from tailboard.answers.level_ledger import line_ledgers
from tailboard.answers.level_ways import way_ledger
from tailboard.answers.levels import levels
from tailboard.answers.paths import chains
from tailboard.draw import svg as paper
from tailboard.draw.arrival import arrival_svg
from tailboard.draw.chain import chain_svg, level_svg
from tailboard.draw.measure import MORE, fitted, text_width, wrapped
from tailboard.draw.svg import SIZES, Canvas
from tailboard.views.arrival import ArrivalView, arrival_view, chosen_arrival
from tailboard.views.chain_picture import chain_steps, chain_view, level_view

SHOWS = {name: Ask(Draft.example(name).read().model) for name in ("small", "medium")}


@pytest.mark.parametrize(("show", "size"), list(product(SHOWS, SIZES)))
def test_the_steps_of_every_arrival_are_its_sum(show: str, size: str) -> None:
    ask = SHOWS[show]
    assert ask(arrivals)
    for arrival in ask(arrivals):
        view = arrival_view(ask, arrival)
        found = Picture(arrival_svg(view, size))
        assert not found.overlaps()
        if arrival.needed_s is None:
            assert (view["mark"], view["steps"]) == ("open", [])
            assert view["missing"]
            continue
        assert sum(step["worst_s"] for step in view["steps"]) == pytest.approx(arrival.needed_s, abs=1e-12)
        assert len(found.things("step")) == len(view["steps"]) == len(arrival.hops) + 3 + bool(arrival.clock_error_s)
        bars = [rect for group in found.root.iter(f"{SVG}g") for rect in group.iter(f"{SVG}rect")]
        lengths = [float(bar.get("width", "0")) for bar in bars]
        scale = max(lengths) / max(step["worst_s"] for step in view["steps"])
        for length, step in zip(lengths, view["steps"], strict=True):
            assert length == pytest.approx(max(step["worst_s"] * scale, 0.8), abs=0.11)


def test_of_several_streams_the_one_with_the_least_reserve_is_drawn() -> None:
    ask = SHOWS["small"]
    chosen = chosen_arrival(ask, ("CON-1",))
    assert chosen is not None
    assert chosen.reserve_s == min(
        a.reserve_s for a in ask(arrivals) if a.receiver == "CON-1" and a.reserve_s is not None
    )
    named = chosen_arrival(ask, ("ST-2", "CON-1"))
    assert named is not None
    assert named.subject == ("ST-2", "CON-1")
    assert chosen_arrival(ask, ("NO-1",)) is None


def test_too_short_a_link_offset_is_broken_and_a_missing_one_is_open() -> None:
    short = Draft.example().sub("rig.yaml", "link offset: 3 ms", "link offset: 0.125 ms")
    view = first(short)
    assert (view["mark"], view["verdict"].partition(":")[0]) == ("broken", "broken")
    svg = arrival_svg(view)
    assert "stroke-dasharray" in svg
    assert view["verdict"] in Picture(svg).words()
    none = Draft.example().sub("rig.yaml", "    link offset: 3 ms\n", "")
    view = first(none)
    assert view["mark"] == "open"
    assert "missing: the link offset of REC-1" in Picture(arrival_svg(view)).words()


def first(draft: Draft) -> ArrivalView:
    ask = Ask(draft.read().model)
    arrival = chosen_arrival(ask, ("REC-1",))
    assert arrival is not None
    return arrival_view(ask, arrival)


@pytest.mark.parametrize(("show", "size"), list(product(SHOWS, SIZES)))
def test_every_chain_is_drawn_station_by_station(show: str, size: str) -> None:
    ask = SHOWS[show]
    plan = ask(chains)
    for name in [*list(plan.of_line)[::5], *list(plan.of_feed)[::5]]:
        found = chain_steps(ask, (name,))
        assert found is not None
        if not found[0]:
            continue
        view = chain_view(ask, (name,), *found)
        drawn = Picture(chain_svg(view, size))
        assert len(drawn.things("station")) == len(view["stations"])
        assert len(view["stations"]) - len(found[0]) == (
            2 if found[1] and view["stations"][-1]["by"] == found[1] else 1
        )
        assert not drawn.overlaps(), name
        assert all(box.right <= drawn.width for box in drawn.texts())
        if view["stations"][-1]["time"]:
            assert view["about"][0] == f"time in all: {view['stations'][-1]['time']}"


def test_a_chain_that_stops_ends_in_a_broken_line_with_the_reason() -> None:
    old, new = "    S1: {optic: O1S-D}\n", "    S1: {optic: O1S-D, tagged: [MGMT]}\n"
    ask = Ask(Draft.example().sub("rig.yaml", old, new).read().model)
    found = chain_steps(ask, ("5",))
    assert found is not None
    view = chain_view(ask, ("5",), *found)
    assert [station["mark"] for station in view["stations"]][-1] == "broken"
    assert "broken" in view["signs"]
    words = Picture(chain_svg(view)).words()
    assert "no further" in words
    assert any(text.startswith("it gets no further: stream ST-1") for text in words)


def test_a_time_that_is_not_known_is_said_to_be_more() -> None:
    ask = SHOWS["small"]
    found = chain_steps(ask, ("FD1",))
    assert found is not None
    view = chain_view(ask, ("FD1",), *found)
    assert (view["stations"][-1]["mark"], view["stations"][-1]["time"]) == ("open", "0.875 ms and more")


def test_a_chain_between_two_things_and_none() -> None:
    ask = SHOWS["small"]
    found = chain_steps(ask, ("5", "FD1"))
    assert found is not None
    assert (found[0][0].start, found[0][-1].end, found[1]) == ("line 5", "ear FD1", "")
    assert not Picture(chain_svg(chain_view(ask, ("5", "FD1"), *found), "phone")).overlaps()
    assert chain_steps(ask, ("no line",)) is None


@pytest.mark.parametrize(("show", "size"), list(product(SHOWS, SIZES)))
def test_levels_are_those_of_the_answer(show: str, size: str) -> None:
    ask = SHOWS[show]
    for name, level in ask(levels).items():
        view = level_view(ask, name, level)
        drawn = Picture(level_svg(view, size))
        assert not drawn.overlaps(), name
        if level.peak_dbfs is None:
            assert view["mark"] == "open"
            assert view["missing"]
            continue
        peaks = [step for step in view["steps"] if step["sort"] == "peak"]
        assert peaks[-1]["level_dbfs"] == pytest.approx(level.peak_dbfs)
        assert figures(peaks[0]["words"].partition("peak ")[2])[0] == pytest.approx(level.peak_dbu, abs=0.051)
        if level.peak_dbfs != 0:
            assert figures(view["verdict"].partition(": ")[2])[0] == pytest.approx(abs(level.peak_dbfs), abs=0.0051)
        assert peaks[-1]["level_dbfs"] - peaks[0]["level_dbfs"] == pytest.approx(level.gain_db)


@pytest.mark.parametrize(("show", "size"), list(product(SHOWS, SIZES)))
def test_levels_on_the_way_to_an_ear_are_drawn_in_columns_of_their_own(show: str, size: str) -> None:
    """Behind the first converter no gain is written, so the peak stands where it stood against full scale."""
    ask = SHOWS[show]
    feeds = list(ask.model.feeds)[:12]
    drawn = 0
    for name, feed in product(list(ask(line_ledgers))[:8], feeds):
        way = chain_steps(ask, (name, feed))
        if way is None or not way[0]:
            continue
        ledger = way_ledger(ask, way[0])
        view = level_view(ask, name, ask(levels)[name], feed, ledger)
        picture = Picture(level_svg(view, size))
        assert not picture.overlaps(), (name, feed)
        assert ledger is not None
        peaks = [step for step in view["steps"] if step["sort"] == "peak"]
        assert len({step["name"] for step in peaks}) == len(peaks) == len(ledger.steps)
        begin = next(place for place, step in enumerate(ledger.steps) if step.digital)
        assert {round(step["level_dbfs"], 6) for step in peaks[begin:]} == {round(peaks[begin]["level_dbfs"], 6)}
        drawn += 1
    assert drawn


def test_a_level_that_clips_is_broken() -> None:
    ask = Ask(Draft.example().cell("lines", "1", "gain", "60").read().model)
    view = level_view(ask, "1", ask(levels)["1"])
    assert view["mark"] == "broken"
    assert "clips" in view["verdict"]


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour: W3C, WCAG 2.2, 'relative luminance'."""
    parts = [int(colour[index : index + 2], 16) / 255 for index in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, two: str) -> float:
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_formula_gives_the_published_value() -> None:
    """W3C, WCAG 2.2: black on white is 21:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("name", ["INK", "SOFT", "ACCENT"])
def test_every_colour_of_type_has_seven_to_one_by_day_and_in_the_dark(name: str) -> None:
    """W3C, WCAG 2.2, success criterion 1.4.6 asks for 7:1."""
    assert contrast(getattr(paper, name), paper.PAPER) >= 7
    assert contrast(getattr(paper, f"{name}_DARK"), paper.PAPER_DARK) >= 7


def test_the_four_signs_differ_without_colour() -> None:
    looks = set()
    for mark in ("holds", "holds if", "broken", "open"):
        canvas = Canvas(100)
        canvas.line([(0, 0), (9, 0)], mark)
        lines = list(Picture(canvas.svg("t", "a")).root.iter(f"{SVG}polyline"))
        looks.add((len(lines), lines[0].get("stroke-dasharray")))
    assert looks == {(1, None), (1, "1.5 3.5"), (1, "9 5"), (2, None)}


def test_a_text_fits_its_room_or_says_that_it_is_cut() -> None:
    for text in ("stage left wing", "x" * 200, "一" * 30, ""):
        for room in (30.0, 80.0, 300.0):
            shown = fitted(text, room, 11)
            assert text_width(shown, 11) <= room
            assert shown == text or shown.endswith(MORE)
    assert wrapped("one two three", 40, 11) == ["one", "two", "three"]
    assert wrapped("one two three", 60, 11) == ["one two", "three"]
    assert len(wrapped("a b c d e f", 1, 11, 3)) == 3


@pytest.mark.parametrize(
    "arguments", [["map"], ["map", "--overlay", "clock"], ["map", "SB-1", "--overlay", "fails"], ["chain", "5"]]
)
def test_the_same_show_gives_the_same_bytes(arguments: list[str]) -> None:
    def drawn(seed: str) -> bytes:
        env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT / "src")}
        command = [sys.executable, "-m", "tailboard.cli.main", "draw", str(SMALL), *arguments]
        return subprocess.run(command, capture_output=True, check=True, env=env).stdout

    assert drawn("1") == drawn("2") != b""
