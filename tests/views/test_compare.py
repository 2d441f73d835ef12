"""Two plans compared: a rename is a rename, a moved row is nothing, and what changed is said once, in the trade's words."""

from __future__ import annotations

import random
import re

import pytest

from support.draft import Draft
from tailboard.model.reading import read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.compare.differences import DifferenceView
from tailboard.views.compare.document import CompareView, Side, compare_view


def side(name: str, draft: Draft) -> Side:
    reading = read(Texts(draft.files))
    return Side(name, reading, prove(reading.model, reading.findings))


def compared(old: Draft, new: Draft) -> CompareView:
    return compare_view(side("old", old), side("new", new))


def told(view: CompareView) -> list[tuple[str, str, str]]:
    return [(one["what"], one["section"], one["id"]) for one in view["differences"]]


def renamed(draft: Draft, old: str, new: str) -> Draft:
    pattern = re.compile(rf"(?<![\w-]){re.escape(old)}(?![\w-])")
    return Draft({name: pattern.sub(new, text) for name, text in draft.files.items()})


@pytest.fixture(scope="module", params=["small", "medium"])
def show(request: pytest.FixtureRequest) -> Draft:
    return Draft.example(request.param)


def test_a_plan_differs_in_nothing_from_itself(show: Draft) -> None:
    view = compared(show, show.copy())
    assert (view["differences"], view["broken"], view["mended"], view["concerned"]) == ([], [], [], [])
    assert view["before"]["verdict"] == view["after"]["verdict"] == "ready"


def test_the_order_of_rows_is_no_change(show: Draft) -> None:
    rows = show.rows("lines")
    mixed = show.copy()
    mixed.write("lines", [rows[0], *reversed(rows[1:])])
    assert compared(show, mixed)["differences"] == []


def test_a_renamed_device_is_one_rename_and_nothing_else(show: Draft) -> None:
    devices = [name for name in side("", show).reading.model.devices if re.fullmatch(r"(SB|CON|SW|REC)-\w+", name)]
    assert devices
    for device in devices:
        view = compared(show, renamed(show, device, "ZZ-9"))
        assert told(view) == [("renamed", "devices", "ZZ-9")], device
        assert view["differences"][0]["was"] == device


@pytest.mark.parametrize("show", ["small"], indirect=True)
def test_a_renumbered_line_is_a_rename(show: Draft) -> None:
    for line in ("6", "16"):
        new = show.copy().cell("lines", line, "line", "99")
        known = [one for one in compared(show, new)["differences"] if one["section"] == "lines"]
        assert [(one["what"], one["was"], one["id"]) for one in known if one["what"] == "renamed"] == [
            ("renamed", line, "99")
        ]


def one(old: Draft, new: Draft) -> DifferenceView:
    found = compared(old, new)["differences"]
    assert len(found) == 1, found
    return found[0]


CHANGES = [
    ("lines", "6", "hole", "SB-1/12", "re-patched", "hole", "from SB-1/6 to SB-1/12"),
    ("lines", "6", "place", "foyer", "moved", "place", "from stage to foyer"),
    ("lines", "6", "label", "PRESENT", "relabelled", "label", "label PRESENT, was PRES RF"),
    ("lines", "6", "48V", "on", "changed", "48V", "48 V on, was off"),
    ("feeds", "FD4", "mix", "PGM", "changed", "mix", "mix PGM, was PA"),
]


@pytest.mark.parametrize(("table", "row", "column", "value", "what", "field", "words"), CHANGES)
def test_a_change_is_said_as_the_trade_says_it(
    table: str, row: str, column: str, value: str, what: str, field: str, words: str
) -> None:
    show = Draft.example()
    found = one(show, show.copy().cell(table, row, column, value))
    assert (found["what"], found["id"]) == (what, row)
    assert [entry["name"] for entry in found["fields"]] == [field]
    assert found["words"] == words
    assert found["place"]["file"] == f"{table}.csv"


def test_back_again_is_the_same_change_with_the_sides_turned() -> None:
    show = Draft.example()
    rng = random.Random(5)
    for _ in range(20):
        new = show.copy()
        for line in rng.sample([row[0] for row in show.rows("lines")[1:]], 3):
            new = new.cell("lines", line, "label", f"L{rng.randrange(1000)}")
        there, back = compared(show, new), compared(new, show)
        turned = [[(entry["after"], entry["before"]) for entry in one["fields"]] for one in back["differences"]]
        assert [
            [(entry["before"], entry["after"]) for entry in one["fields"]] for one in there["differences"]
        ] == turned


def lines(view: CompareView) -> list[tuple[str, str]]:
    return [(one["what"], one["id"]) for one in view["differences"] if one["section"] == "lines"]


def test_a_row_taken_out_and_a_row_put_in_are_said_as_such() -> None:
    show = Draft.example()
    rows = show.rows("lines")
    less = show.copy()
    less.write("lines", [row for row in rows if row[0] != "14"])
    assert lines(compared(show, less)) == [("removed", "14")]
    assert lines(compared(less, show)) == [("added", "14")]


def test_what_breaks_and_what_is_mended_are_root_causes() -> None:
    show = Draft.example()
    broken = show.copy().cell("lines", "6", "hole", "SB-1/1")
    view = compared(show, broken)
    assert view["after"]["verdict"] == "not ready"
    assert any("SB-1/1" in found["message"] for found in view["broken"])
    assert compared(broken, show)["mended"] == view["broken"]


def test_whose_paper_changes_is_named() -> None:
    show = Draft.example()
    view = compared(show, show.copy().cell("lines", "6", "hole", "SB-1/12"))
    assert {(one["sort"], one["name"]) for one in view["concerned"]} >= {
        ("place", "stage"),
        ("box", "SB-1"),
        ("box", "CON-1"),
    }


def test_a_name_left_behind_after_a_renumbering_is_said() -> None:
    show = Draft.example()
    new = show.copy().cell("lines", "6", "line", "99")
    words = " ".join(one["words"] for one in compared(show, new)["differences"])
    assert "still says" in words
    assert "is called otherwise now" in words
