"""The rig by place: everything once, nothing on top of anything, figures as the answers have them, names never trusted."""

from __future__ import annotations

import random
from functools import cache

import pytest

from draw.picture import SVG, Picture, figures
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.answers.faults import faults
from tailboard.answers.light import light
from tailboard.answers.load import loads
from tailboard.draw.rig_map import map_svg
from tailboard.draw.svg import SIZES, Canvas
from tailboard.views.overlays import SORTS
from tailboard.views.rig_map import map_view

LOOKS = [("", ""), ("load", ""), ("vlan", ""), ("vlan", "AUDIO"), ("clock", ""), ("light", ""), ("fails", "cable F-01")]


@cache
def asked(name: str) -> Ask:
    draft = synthetic(random.Random(7), 200) if name == "synthetic" else Draft.example(name)
    return Ask(draft.read().model)


def picture(ask: Ask, sort: str = "", thing: str = "", size: str = "paper") -> Picture:
    return Picture(map_svg(map_view(ask, sort, thing), size))


def sound(found: Picture) -> None:
    """Nothing lies on anything, and nothing leaves the picture."""
    assert not found.overlaps()
    assert not found.crossed_texts()
    assert not found.lying_on_one_another()
    assert all(box.left >= 0 and box.right <= found.width and box.bottom <= found.height for box in found.texts())


def test_every_overlay_is_looked_at() -> None:
    assert {sort for sort, _ in LOOKS if sort} == set(SORTS)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("show", ["small", "medium", "synthetic"])
def test_every_device_and_cable_is_there_once(show: str, size: str) -> None:
    ask = asked(show)
    found = picture(ask, size=size)
    assert sorted(found.things("device")) == sorted(ask.model.devices)
    assert sorted(found.things("cable")) == sorted(ask.model.cables)
    assert found.width == SIZES[size][0]
    sound(found)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("look", LOOKS, ids=" ".join)
@pytest.mark.parametrize("show", ["small", "medium"])
def test_nothing_lies_on_anything(show: str, look: tuple[str, str], size: str) -> None:
    sound(picture(asked(show), *look, size=size))


def test_no_sheet_of_paper_cuts_a_box() -> None:
    sheet = SIZES["paper"][1]
    found = picture(asked("medium"))
    assert found.height % sheet == 0
    for device in found.things("device"):
        (box,) = found.group("device", device).iter(f"{SVG}rect")
        top, height = float(box.get("y", "0")), float(box.get("height", "0"))
        assert top // sheet == (top + height) // sheet or height > sheet - 60, device


def test_a_place_alone_shows_what_leads_away_from_it() -> None:
    ask = asked("small")
    found = Picture(map_svg(map_view(ask, only="stage"), "paper"))
    here = [name for name, device in ask.model.devices.items() if device.place == "stage"]
    assert sorted(found.things("device")) == sorted(here)
    assert sorted(found.things("cable")) == ["C-02", "C-03", "C-07", "O-02", "O-03"]
    sound(found)


@pytest.mark.parametrize("show", ["small", "medium"])
def test_a_load_is_that_of_the_port(show: str) -> None:
    ask = asked(show)
    view = map_view(ask, "load")
    notes = {
        f"{device['device']}/{end['port']}": end["notes"]
        for place in view["places"]
        for device in place["devices"]
        for end in device["ends"]
        if end["notes"]
    }
    known = {port: load for port, load in ask(loads).items() if load.share_percent is not None}
    assert set(notes) == set(ask(loads))
    for port, load in known.items():
        rate, share = figures(notes[port].replace(" Gb/s", "000 Mb/s"))[:2]
        assert share == pytest.approx(load.share_percent, abs=0.051)
        if "Gb/s" not in notes[port]:
            assert rate == pytest.approx(load.rate_bit_per_s / 1e6, abs=0.006)


@pytest.mark.parametrize("show", ["small", "medium"])
def test_light_is_that_of_the_strand(show: str) -> None:
    ask = asked(show)
    view = map_view(ask, "light")
    notes = [(end["cable"], f"{d['device']}/{end['port']}", end["notes"]) for p in view["places"] for d in p["devices"] for end in d["ends"]]  # fmt: skip
    beams = {(name, beam.to_port): beam for name, strand in ask(light).items() for beam in strand.beams}
    told = {(cable, port): note for cable, port, note in notes if note}
    assert beams
    assert set(beams) <= set(told)
    for key, beam in beams.items():
        assert beam.worst_dbm is not None
        assert beam.sensitivity_dbm is not None
        assert figures(told[key])[:2] == [
            pytest.approx(beam.worst_dbm, abs=0.0051),
            pytest.approx(beam.worst_dbm - beam.sensitivity_dbm, abs=0.0051),
        ]


@pytest.mark.parametrize("show", ["small", "medium"])
def test_the_leader_of_each_island_is_named(show: str) -> None:
    ask = asked(show)
    about = map_view(ask, "clock")["about"]
    for number, island in enumerate(ask(clock).islands, 1):
        leader = island.leader.device if island.leader else "nobody"
        assert any(words.startswith(f"island {number} ({island.name}): {leader} leads") for words in about)


@pytest.mark.parametrize("thing", ["cable F-01", "device SB-1", "place wing", "drum D-1", "port SW-B/1"])
def test_what_a_failure_takes_is_broken_and_says_so(thing: str) -> None:
    ask = asked("small")
    view = map_view(ask, "fails", thing)
    dead = {key.partition(" ")[2] for key in ask(faults).things.takes[thing] if key.startswith("device ")}
    devices = {device["device"]: device for place in view["places"] for device in place["devices"]}
    assert {name for name, device in devices.items() if device["mark"] == "broken"} == dead
    assert all(devices[name]["notes"] for name in dead)
    lost = ask(faults).needs.names(ask(faults).lost(thing), "line")
    assert not lost or f"{len(lost)} line" in " ".join(view["about"])
    broken = {cable["cable"] for cable in view["cables"] if cable["mark"] == "broken"}
    ends = [end for device in devices.values() for end in device["ends"]]
    assert {end["cable"] for end in ends if end["notes"] == "dead"} == broken


def test_a_vlan_that_ends_half_way_is_broken() -> None:
    draft = Draft.example().sub(
        "rig.yaml", "    S1: {optic: O1S-D}\n", "    S1: {optic: O1S-D, tagged: [MGMT, AUDIO]}\n"
    )
    view = map_view(Ask(draft.read().model), "vlan", "COMMS")
    marks = {cable["cable"]: cable["mark"] for cable in view["cables"]}
    assert marks["F-01"] == "broken"
    assert marks["C-06"] == "holds"
    assert {cable["mark"] for cable in map_view(asked("small"), "vlan")["cables"]} == {"", "holds"}


def test_too_much_on_a_line_is_marked_and_said() -> None:
    draft = Draft.example().sub("show.yaml", "edition: 1", "edition: 1\ntrunk limit: 5")
    view = map_view(Ask(draft.read().model), "load")
    (trunk,) = [cable for cable in view["cables"] if cable["cable"] == "F-01"]
    assert trunk["mark"] == "broken"
    assert any(end["notes"].endswith("OVER") for p in view["places"] for d in p["devices"] for end in d["ends"])


NAMES = [
    "<script>alert(1)</script>",
    "a&b<c>",
    "'single' \"double\"",
    "שלום עולם",
    "\u202eright to left",
    "x" * 200,
    "一" * 60,
    "]]>",
    "😀",
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("size", SIZES)
def test_any_name_is_shown_as_text(name: str, size: str) -> None:
    ask = asked("small")
    view = map_view(ask)
    view["title"] = view["show"] = name
    place = view["places"][0]
    place["place"] = place["words"] = name
    device = place["devices"][0]
    device["device"] = device["kind"] = device["notes"] = name
    device["ends"][0]["port"] = device["ends"][0]["far"] = device["ends"][0]["notes"] = name
    svg = map_svg(view, size)
    found = Picture(svg)
    assert "<script" not in svg
    assert {node.tag.removeprefix(SVG) for node in found.root.iter()} <= {
        "svg", "title", "desc", "style", "rect", "g", "text", "polyline", "circle",
    }  # fmt: skip
    shown = name.replace("\u202e", "\ufffd")
    assert shown in found.things("device")
    assert not found.overlaps()
    wholes = [node.findtext(f"{SVG}title") or node.text for node in found.root.iter(f"{SVG}text")]
    assert shown in wholes or all(word in " ".join(filter(None, wholes)) for word in shown.split())
    assert all(box.right <= found.width for box in found.texts())


def test_a_show_of_nothing_is_a_picture_too() -> None:
    found = picture(Ask(Draft({"lines.csv": "line,source\n1,voice\n"}).read().model))
    assert found.things("device") == []
    assert any(words.startswith("0 devices and 0 cables;") for words in found.words())


def test_a_cable_that_no_device_has_is_drawn() -> None:
    draft = Draft(
        {"lines.csv": "line,source\n1,voice\n", "show.yaml": "format: 1\ncables:\n  M-1: {kind: mic, from: line 1}\n"}
    )
    found = picture(Ask(draft.read().model))
    assert found.things("cable") == ["M-1"]
    assert "at no device" in found.words()


def test_the_search_sees_what_it_looks_for() -> None:
    canvas = Canvas(200)
    canvas.text((10, 20), "one", 100)
    canvas.text((20, 24), "two", 100)
    for name, y in (("A", 60.0), ("B", 60.0)):
        canvas.begin("cable", name)
        canvas.line([(0, y), (50, y), (50, 90), (15, 90), (15, 0)])
        canvas.finish()
    found = Picture(canvas.svg("t", "a"))
    assert found.overlaps()
    assert ("A", "B") in found.lying_on_one_another()
    assert ("A", "one") in found.crossed_texts()
