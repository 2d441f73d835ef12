"""The sheets of the book agree with the model row by row; nothing is lost, nothing inner leaves, hostile text passes."""

from __future__ import annotations

import re

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.model.reading import read
from tailboard.model.show import device_of
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.sheets.book import book_sheets
from tailboard.views.sheets.records import Row, Sheet

HOSTILE = '#*_`$[<b>] "q" \\ @x 🎤 \u05e9\u05dc\u05d5\u05dd ' + "x" * 150


def sheets_of(draft: Draft) -> tuple[Ask, tuple[Sheet, ...]]:
    reading = read(Texts(draft.files))
    ask = Ask(reading.model)
    return ask, book_sheets(ask, reading, prove(reading.model, reading.findings))


@pytest.fixture(scope="module", params=["small", "medium"])
def made(request: pytest.FixtureRequest) -> tuple[Ask, tuple[Sheet, ...]]:
    return sheets_of(Draft.example(request.param))


def rows(sheets: tuple[Sheet, ...], key: str) -> list[Row]:
    return [row for sheet in sheets for table in sheet.tables if table.key == key for row in table.rows]


def about(sheets: tuple[Sheet, ...], key: str) -> list[str]:
    return [row.about for row in rows(sheets, key)]


def test_every_sheet_has_a_name_of_its_own_and_every_row_fits_its_columns(made: tuple[Ask, tuple[Sheet, ...]]) -> None:
    _, sheets = made
    assert len({sheet.key for sheet in sheets}) == len(sheets)
    for sheet in sheets:
        for table in sheet.tables:
            assert len({column.key for column in table.columns}) == len(table.columns), sheet.key
            assert all(len(row.cells) == len(table.columns) for row in table.rows), sheet.key


def test_every_thing_of_the_plan_is_on_its_list_once(made: tuple[Ask, tuple[Sheet, ...]]) -> None:
    ask, sheets = made
    model = ask.model
    for key, names in (
        ("input list", [f"line {name}" for name in model.lines]),
        ("line check", [f"line {name}" for name in model.lines]),
        ("feeds list", [f"feed {name}" for name in model.feeds]),
        ("comms", [f"station {name}" for name in model.stations]),
        ("vlans", [f"vlan {name}" for name in model.vlans]),
        ("cables", [f"cable {name}" for name in model.cables]),
        ("supplies", [f"supply {name}" for name in model.supplies]),
    ):
        assert sorted(about(sheets, key)) == sorted(names), key
    assert len(about(sheets, "strike list")) == len(set(about(sheets, "strike list")))


def test_every_line_has_its_hole_on_the_sheet_of_its_box(made: tuple[Ask, tuple[Sheet, ...]]) -> None:
    ask, sheets = made
    on_paper = {row.about: row.cells for row in rows(sheets, "holes")}
    boxes = {sheet.subject for sheet in sheets if sheet.kind == "patch"}
    for name, line in ask.model.lines.items():
        if line.hole and device_of(line.hole) in boxes:
            cells = on_paper[f"hole {line.hole}"]
            assert name in cells[2].split(", ")
            assert line.label in cells[3]
            assert cells[5] == ("48 V" if line.phantom else cells[5])


def test_spares_are_rows_like_any_other(made: tuple[Ask, tuple[Sheet, ...]]) -> None:
    ask, sheets = made
    spares = [
        f"line {name}"
        for name, line in ask.model.lines.items()
        if line.source.lower().startswith("spare") or line.spare
    ]
    assert spares
    listed = {row.about: row.spare for row in rows(sheets, "input list")}
    assert all(listed[name] for name in spares)


def test_places_come_in_walking_order_before_departments(made: tuple[Ask, tuple[Sheet, ...]]) -> None:
    ask, sheets = made
    order = [sheet.place for sheet in sheets if sheet.kind == "place"]
    visits = [ask.model.places[name].visit for name in order if ask.model.places[name].visit is not None]
    assert visits == sorted(visit for visit in visits if visit is not None)
    last_place = max(number for number, sheet in enumerate(sheets) if sheet.place)
    assert all(sheet.place == "" for sheet in sheets[last_place + 1 :])
    assert [sheets[0].kind, sheets[1].kind] == ["cover", "card"]


def test_the_hand_off_holds_only_what_crosses() -> None:
    ask, sheets = sheets_of(Draft.example("medium"))
    (page,) = [sheet for sheet in sheets if sheet.kind == "hand-off"]
    text = " ".join(
        [
            *(point for words in page.words for point in words.points),
            *(" ".join(row.cells) for table in page.tables for row in table.rows),
        ]
    )
    inner = [
        address
        for device in ask.model.devices.values()
        for vlan, address in (device.address or {}).items()
        if vlan != "FAC"
    ]
    assert inner
    assert not [address for address in inner if re.search(rf"(?<![\d.]){re.escape(address)}(?![\d])", text)]
    assert "172.22.8.50" in text
    assert "02:00:00:52:70:50" in text
    assert "239.120.4.1" in text
    assert "239.120.0.11" in text
    assert not re.search("pass ?word", text, re.IGNORECASE)
    assert page.sign


def test_the_cover_says_not_ready_and_why() -> None:
    _, sheets = sheets_of(Draft.example().cell("lines", "6", "hole", "SB-1/1"))
    words = sheets[0].words
    assert words[0].title == "not ready"
    assert any("SB-1/1" in point for point in words[1].points)


def test_no_power_sheet_speaks_of_safety_as_given(made: tuple[Ask, tuple[Sheet, ...]]) -> None:
    (sheet,) = [sheet for sheet in made[1] if sheet.kind == "power"]
    assert "None of this is a safety statement" in sheet.words[0].points[0]
    assert sheet.cautions
    assert any(column.pencil for table in sheet.tables for column in table.columns)


def test_hostile_text_passes_untouched_but_for_its_blanks() -> None:
    draft = Draft.example()
    for table, row, column in (("lines", "6", "source"), ("lines", "6", "label"), ("feeds", "FD1", "listener")):
        draft = draft.cell(table, row, column, HOSTILE)
    _, sheets = sheets_of(draft)
    found = [cell for row in rows(sheets, "input list") for cell in row.cells if "x" * 150 in cell]
    assert found == [" ".join(HOSTILE.split())] * 2


def test_a_lone_table_gives_the_sheets_that_can_be_given() -> None:
    _, sheets = sheets_of(Draft({"lines.csv": "line,label,hole\n5,KICK,SB-1/5\n"}))
    kinds = {sheet.kind for sheet in sheets}
    assert {"cover", "input list", "line check"} <= kinds
    assert not kinds & {"network", "streams", "clock", "fibre", "power", "cables"}


def test_the_same_plan_gives_the_same_sheets() -> None:
    assert sheets_of(Draft.example())[1] == sheets_of(Draft.example())[1]


def test_the_fibre_sheet_has_the_window_and_a_box_for_the_reading() -> None:
    _, sheets = sheets_of(Draft.example())
    (sheet,) = [sheet for sheet in sheets if sheet.kind == "fibre"]
    keys = [column.key for column in sheet.tables[0].columns]
    assert "expected" in keys
    assert sheet.tables[0].columns[keys.index("measured")].pencil
    assert any("Never look into a fibre" in caution for caution in sheet.cautions)
    assert all("dBm" in row.cells[keys.index("expected")] for row in sheet.tables[0].rows if row.cells[5])


def test_whoever_hears_by_a_feed_alone_has_a_slip_with_what_he_must_not_hear() -> None:
    """The wearers of the example who have no station, place by place; the feed's own row says what stands on it."""
    ask, sheets = sheets_of(Draft.example("medium"))
    slips = {row.cells[0]: row.cells for row in rows(sheets, "ears")}
    by_station = {one.feed for one in ask.model.stations.values()}
    feeds = ask.model.feeds.items()
    assert set(slips) == {name for name, feed in feeds if feed.by == "ear" and name not in by_station}
    assert slips["IFB1"][1:5] == ("commentator 1", "CU-1/ear1", "PGM minus 33..36", "producer and director")
    places = {sheet.place for sheet in sheets if sheet.kind == "ears"}
    assert places == {ask.model.feeds[name].place for name in slips}
