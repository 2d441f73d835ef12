"""Every row of the plan that belongs on a sheet is on it once, whatever the show; the sheets of one page stay one page."""

from __future__ import annotations

import random
import re
from functools import cache

import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.light import light
from tailboard.answers.network import network
from tailboard.answers.streams import streams
from tailboard.model.reading import Reading, read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.sheets.book import book_sheets
from tailboard.views.sheets.card import DIES_MAX, PLACES_MAX, RESERVES_MAX
from tailboard.views.sheets.matrix import CELLS_MAX
from tailboard.views.sheets.records import Row, Sheet

Made = tuple[Ask, tuple[Sheet, ...]]
SHOWS = ("small", "medium", "7", "11", "23")
UNSEEN = re.compile(r"(?<![\d.])(\d{1,3}(?:\.\d{1,3}){3})(?![\d.]*/)(?!\d)")


def whole(draft: Draft) -> Made:
    """Return the sheets of a show, its questions among them."""
    reading: Reading = read(Texts(draft.files))
    ask, proof = Ask(reading.model), prove(reading.model, reading.findings)
    return ask, book_sheets(ask, reading, proof)


@cache
def show(name: str) -> Made:
    """Return the sheets of an example, or of a generated show by its seed."""
    return whole(synthetic(random.Random(int(name)), 60) if name.isdigit() else Draft.example(name))


@pytest.fixture(params=SHOWS)
def made(request: pytest.FixtureRequest) -> Made:
    found: Made = show(request.param)
    return found


def rows(sheets: tuple[Sheet, ...], key: str) -> list[Row]:
    """Return the rows of all tables of one kind."""
    return [row for sheet in sheets for table in sheet.tables if table.key == key for row in table.rows]


def abouts(sheets: tuple[Sheet, ...], key: str) -> list[str]:
    """Return what the rows of one kind are about, in order."""
    return sorted(row.about for row in rows(sheets, key))


def texts(sheet: Sheet) -> list[str]:
    """Return every text of a sheet."""
    said = [point for words in sheet.words for point in (words.title, *words.points)]
    said += [cell for table in sheet.tables for row in table.rows for cell in row.cells]
    return [sheet.title, sheet.subject, *said, *(table.note for table in sheet.tables), *sheet.cautions]


def test_every_row_of_the_plan_is_on_its_sheet_once(made: Made) -> None:
    ask, sheets = made
    model = ask.model
    own = [name for name, device in model.devices.items() if not device.owner]
    drums = {cable.drum for cable in model.cables.values() if cable.drum}
    loose = [name for name, cable in model.cables.items() if not cable.drum]
    wanted = {
        "input list": [f"line {name}" for name in model.lines],
        "line check": [f"line {name}" for name in model.lines],
        "feeds list": [f"feed {name}" for name in model.feeds],
        "comms": [f"station {name}" for name in model.stations],
        "streams": [f"stream {name}" for name in ask(streams).plans],
        "cables": [f"cable {name}" for name in model.cables],
        "strike list": [f"device {name}" for name in own] + [f"cable {name}" for name in model.cables],
        "pack list": [f"device {name}" for name in own] + [f"cable {name}" for name in loose] + [f"drum {name}" for name in drums],
        "place devices": [f"device {name}" for name, device in model.devices.items() if device.place],
        "place lines": [f"line {name}" for name, line in model.lines.items() if line.place],
        "place feeds": [f"feed {name}" for name, feed in model.feeds.items() if feed.place],
        "ports": [f"port {switch}/{port}" for switch in model.switches for port in model.kind_of(switch).ports or {}],
    }  # fmt: skip
    for key, names in wanted.items():
        assert abouts(sheets, key) == sorted(names), key


def test_every_strand_is_on_the_fibre_sheet_one_row_each_way(made: Made) -> None:
    ask, sheets = made
    model, found = ask.model, ask(light)
    strands = [name for name in model.cables if (kind := model.cable_kind(name)) and kind.medium == "fibre"]
    counts = {name: max(1, len(found[name].beams)) if name in found else 1 for name in strands}
    on_paper = [row.about.removeprefix("beam ").partition("/")[0] for row in rows(sheets, "fibre")]
    assert {name: on_paper.count(name) for name in strands} == counts
    assert len(on_paper) == sum(counts.values())


def test_a_strand_with_an_empty_cage_keeps_its_row() -> None:
    draft = Draft.example().sub("rig.yaml", "    S2: {optic: O1S-D, shut: yes}", "    S2: {shut: yes}")
    _, sheets = whole(draft)
    (row,) = [row for row in rows(sheets, "fibre") if row.cells[0] == "F-02"]
    assert any("no window" in cell for cell in row.cells)


def test_no_sheet_cuts_a_text() -> None:
    long = "a name that somebody wrote out to its very end " * 4
    draft = Draft.example().cell("lines", "6", "source", long).cell("feeds", "FD1", "listener", long)
    _, sheets = whole(draft)
    for kind in ("input list", "feeds list", "place", "line check"):
        found = [text for sheet in sheets if sheet.kind == kind for text in texts(sheet) if "somebody wrote" in text]
        assert found, kind
        assert all(long.strip() in text for text in found), kind


@pytest.mark.parametrize("name", ["small", "medium"])
def test_the_hand_off_tells_no_address_of_a_vlan_that_does_not_cross(name: str) -> None:
    ask, sheets = show(name)
    net, model = ask(network), ask.model
    for sheet in (sheet for sheet in sheets if sheet.kind == "hand-off"):
        (ports,) = [table for table in sheet.tables if table.key == "hand-off VLANs"]
        crossing = {row.cells[0] for row in ports.rows}
        inner = {
            address for device in model.devices.values() for vlan, address in (device.address or {}).items() if vlan not in crossing
        }  # fmt: skip
        queriers = {address for vlan, record in model.vlans.items() if vlan not in crossing for address in (record.querier or {}).values()}  # fmt: skip
        told = {address for text in texts(sheet) for address in UNSEEN.findall(text)}
        assert not told & (inner | queriers)
        assert not crossing - set(net.model.vlans)


def test_a_guest_with_a_computer_gets_no_hand_off_of_our_network() -> None:
    _, sheets = show("small")
    assert not [sheet for sheet in sheets if sheet.kind == "hand-off"]


def test_the_hand_off_says_what_the_switch_port_behind_the_converters_does() -> None:
    ask, sheets = show("medium")
    (sheet,) = [sheet for sheet in sheets if sheet.kind == "hand-off"]
    (port,) = rows(sheets, "hand-off ports")
    assert port.cells[4:6] == ("FAC (70)", "none")
    said = " ".join(texts(sheet))
    for part in ("02:00:00:52:70:50", "239.120.4.1", "239.120.0.11", "venue IT, ext. 24", "01632 960101", "23:30",
                 "No spanning tree leaves by SW-T/20", "GW-1 of ours only follows"):  # fmt: skip
        assert part in said, part
    trunk = (
        Draft.example("medium")
        .sub("rig.yaml", "    20: {use: facility, spanning tree: off, one MAC: yes}", "    20: {native: PARK, tagged: [FAC, AUDIO]}")
    )  # fmt: skip
    _, changed = whole(trunk)
    (port,) = rows(changed, "hand-off ports")
    assert port.cells[5] == "AUDIO (20), FAC (70)"
    assert ask.model.vlans["AUDIO"].number == 20


def test_the_card_stays_one_page(made: Made) -> None:
    _, sheets = made
    (card,) = [sheet for sheet in sheets if sheet.kind == "card"]
    points = {words.title: words.points for words in card.words}
    assert len(points["If this dies, do this"]) <= DIES_MAX
    assert len(points["Reserves"]) <= RESERVES_MAX + 1
    assert len(points["Places"]) <= PLACES_MAX + 1
    assert sum(map(len, points.values())) <= 60


def test_the_matrix_agrees_with_the_table_behind_it_cell_by_cell() -> None:
    ask, sheets = show("medium")
    from_paper: dict[tuple[str, str], str] = {}
    for sheet in (sheet for sheet in sheets if sheet.kind == "who hears whom"):
        for table in sheet.tables:
            for row in table.rows:
                for column, sign in zip(table.columns[1:], row.cells[1:], strict=True):
                    from_paper.setdefault((row.cells[0], column.key), sign)
    assert from_paper["presenter 1", "15"] == "x"  # hearing.csv: never; and IFB4 is without 15
    assert from_paper["presenter 1", "16"] == "A"
    assert from_paper["presenter 1", "KP-1"] == "K"
    assert len(from_paper) <= CELLS_MAX
    assert ask.model.hearing["presenter 1"].never


def test_the_line_check_counts_its_minutes() -> None:
    # job.md F10: 16 lines at 40 s take 11 min, 84 take 56; 10 % of faults at 5 min each add 8 and 42.
    for name, wanted in (("small", "11..19 min with one crew"), ("medium", "56..98 min with one crew")):
        _, sheets = show(name)
        (sheet,) = [sheet for sheet in sheets if sheet.kind == "line check"]
        assert wanted in sheet.words[0].points[0]


def test_the_strike_ends_with_the_fibre_and_begins_with_what_sounds() -> None:
    ask, sheets = show("medium")
    (sheet,) = [sheet for sheet in sheets if sheet.kind == "strike list"]
    assert sheet.tables[-1].title.startswith("Fibre last")
    order = [row.about.removeprefix("device ") for row in sheet.tables[0].rows]
    roles = [ask.model.kind_of(name).role for name in order]
    assert roles.index("loudspeaker") < roles.index("console") < roles.index("switch")


def test_the_clock_sheet_says_who_leads_without_the_leader() -> None:
    _, sheets = show("medium")
    lost = {row.about: row.cells for row in rows(sheets, "unplugged")}
    assert lost["without CON-1/AUDIO, domain 10/ICS-1"][3] == "ICS-1 leads"  # rig.yaml: role second, priority1 110
    assert "SB-1" in lost["without CON-1/AUDIO, domain 10/ICS-1"][4]


def test_a_load_that_nobody_wrote_is_named() -> None:
    _, sheets = show("medium")
    by_place = {row.cells[0]: row.cells for row in rows(sheets, "power by place")}
    assert "LAP-F" in by_place["BP3"][4]


def test_a_page_of_questions_for_each_person(made: Made) -> None:
    _, sheets = made
    pages = [sheet for sheet in sheets if sheet.kind == "questions"]
    assert len({page.subject for page in pages}) == len(pages)
    assert all(page.tables[0].rows and page.sign for page in pages)
    assert [sheet for sheet in sheets if sheet.kind == "survey"]


def test_a_lone_table_gives_the_sheets_of_its_boxes_and_places() -> None:
    _, sheets = whole(Draft({"lines.csv": "line,label,hole,place\n5,KICK,SB-1/5,stage\n6,SNARE,SB-1/6,stage\n"}))
    keys = [sheet.key for sheet in sheets]
    assert "patch SB-1" in keys
    assert "place stage" in keys
    assert [row.cells[0] for row in rows(sheets, "holes")] == ["5", "6"]
    assert not [sheet for sheet in sheets if sheet.kind in {"line-up", "network", "clock", "power", "hand-off"}]


def test_a_folder_about_nothing_gives_a_cover_and_blank_pages() -> None:
    _, sheets = whole(Draft({"show.yaml": "format: 1\n"}))
    assert sheets[0].kind == "cover"
    assert sheets[0].words[0].title == "nothing proven"
    assert [sheet.kind for sheet in sheets if sheet.kind == "log"] == ["log", "log"]


def test_the_same_plan_gives_the_same_sheets_and_lists_in_counting_order_whatever_the_order_of_rows() -> None:
    draft = Draft.example()
    again = draft.copy()
    table = again.rows("lines")
    again.write("lines", [table[0], *reversed(table[1:])])
    one, other = whole(draft)[1], whole(again)[1]
    assert whole(draft)[1] == one
    for key in ("input list", "line check", "holes"):
        assert [row.cells for row in rows(one, key)] == [row.cells for row in rows(other, key)], key
