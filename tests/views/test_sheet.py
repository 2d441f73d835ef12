"""The sheet of a box: every hole a row, what is plugged in, cautions where they belong; on paper and as text."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from cli.shell import SMALL, one_sentence, run, write
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.book.lid_page import BODY_HEIGHT_MM, ROW_HEIGHT_MM_MIN, blocks, head_mm, lid_page, paged
from tailboard.views.cautions import EARTH, LASER, PHANTOM, ROUTE, TONE
from tailboard.views.sheet import SheetView, sheet_view


def sheet(subject: str, draft: Draft | None = None) -> SheetView:
    """Return a sheet of the example, or of a show written in a test."""
    return sheet_view(Ask((draft or Draft.example()).read().model), subject, "")


def test_every_hole_of_the_box_is_a_row() -> None:
    rows = sheet("SB-1")["boxes"][0]["holes"]
    numbers = [*(str(number) for number in range(1, 25)), *(f"o{number}" for number in range(1, 13))]
    assert [row["hole"] for row in rows] == numbers
    unused = [*(str(number) for number in range(17, 25)), "o9", "o10", "o11", "o12"]
    assert [row["hole"] for row in rows if row["use"] == "unused"] == unused
    assert [row["hole"] for row in rows if row["use"] == "spare"] == ["14", "16", "o8"]


def test_a_row_says_what_goes_where() -> None:
    """Hole 5 of SB-1 in the small scenario: the singer's receiver RXR-1 on cable M-05, no 48 V, ST-1, strip 5."""
    rows = {row["hole"]: row for row in sheet("SB-1")["boxes"][0]["holes"]}
    assert rows["5"] == {
        "hole": "5", "way": "in", "item": "5", "label": "VOC RF", "plugged": "singer, RXR-1", "phantom": "off",
        "cable": "M-05", "state": "plugged", "channel": "ST-1/5", "strip": "CON-1/5", "use": "used",
    }  # fmt: skip
    assert rows["10"]["plugged"] == "playback L, DI-1"  # the box by the hole, not the computer behind it
    assert rows["o1"]["plugged"] == "presenter, EPT-1"
    assert rows["o8"]["state"] == "laid"
    assert rows["1"]["phantom"] == "48V"


def test_a_switch_shows_its_ports_and_what_they_carry() -> None:
    rows = {row["port"]: row for row in sheet("SW-B")["boxes"][0]["ports"]}
    assert rows["1"] == {
        "port": "1", "carries": "AUDIO", "far": "SB-1/audio", "cable": "C-01", "extra": "", "use": "used",
    }  # fmt: skip
    assert rows["8"]["use"] == "shut"
    assert rows["S1"]["carries"] == "tagged AUDIO, COMMS, INET, IPCAM, MGMT; untagged PARK"
    assert rows["S2"]["cable"] == "F-02 capped"


def test_a_place_has_its_boxes_sources_listeners_and_cables() -> None:
    view = sheet("wing")
    assert [box["device"] for box in view["boxes"]] == ["SW-B", "SB-1"]
    assert [row["line"] for row in view["lines"]] == ["10", "11", "14"]
    assert [row["feed"] for row in view["feeds"]] == ["FD6", "FD8"]
    assert {"F-01", "C-01", "M-05", "O-08"} <= {row["cable"] for row in view["cables"]}
    assert "R-01" not in {row["cable"] for row in view["cables"]}


def test_cautions_stand_where_the_work_is_done() -> None:
    assert sheet("SB-1")["cautions"] == [PHANTOM, TONE]
    assert sheet("SW-B")["cautions"] == [LASER]
    assert sheet("wing")["cautions"] == [PHANTOM, TONE, LASER, ROUTE]
    assert sheet("LAP-E")["cautions"] == []


def test_copper_between_two_earths_is_cautioned() -> None:
    joined = Draft.example().sub(
        "show.yaml", "LAP-S: {kind: computer, place: stage", "LAP-S: {kind: computer, place: booth"
    )
    assert EARTH in sheet("SW-B", joined)["cautions"]
    assert EARTH not in sheet("SW-B")["cautions"]


def test_no_caution_calls_anything_safe() -> None:
    for text in (EARTH, LASER, PHANTOM, ROUTE, TONE):
        assert not re.search(r"\bsafe", text)


def test_the_check_sum_changes_with_the_content_alone() -> None:
    content = sheet("SB-1")["title"]["content"]
    later = Draft.example().sub("show.yaml", "date: 2027-11-20", "date: 2027-11-21")
    other = Draft.example().cell("lines", "3", "label", "VIOLIN")
    assert sheet("SB-1", later)["title"]["content"] == content
    assert sheet("SB-1", other)["title"]["content"] != content


def test_a_lone_table_has_sheets_of_the_boxes_it_names() -> None:
    draft = Draft({"lines.csv": "line,label,hole\n1,A,SB-1/10\n2,B,SB-1/2\n"})
    rows = sheet("SB-1", draft)["boxes"][0]["holes"]
    assert [(row["hole"], row["label"]) for row in rows] == [("2", "B"), ("10", "A")]


def test_a_sheet_of_a_broken_plan_says_so(tmp_path: Path) -> None:
    write(tmp_path, Draft.example().cell("lines", "5", "place", "stge").files)
    assert "THE PLAN IS NOT READY: 1 error" in run("sheet", tmp_path, "SB-1").out
    assert "NOT READY" not in run("sheet", SMALL, "SB-1").out


class Page(HTMLParser):
    """Collects tags, addresses of other files, and the texts of each row."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.addresses: list[str] = []
        self.rows: list[list[str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.addresses += [value or "" for name, value in attrs if name in {"src", "href"}]
        if tag == "tr":
            self.rows.append([])
        if tag in {"td", "th"}:
            self.rows[-1].append("")

    def handle_data(self, data: str) -> None:
        if self.rows and self.rows[-1]:
            self.rows[-1][-1] += data


def page(view: SheetView) -> Page:
    """Return the parsed page of a sheet."""
    parser = Page()
    parser.feed(lid_page(view))
    return parser


def test_the_page_for_the_printer_holds_everything_and_loads_nothing() -> None:
    parser = page(sheet("SB-1"))
    assert not parser.tags & {"script", "link", "img", "iframe", "object"}
    assert parser.addresses == []
    assert {"1", "24", "o12", "audio"} <= {row[0] for row in parser.rows}
    assert "@page { size: A4 portrait" in lid_page(sheet("SB-1"))
    assert "url(" not in lid_page(sheet("SB-1"))


def test_a_box_of_36_holes_fills_one_page() -> None:
    assert lid_page(sheet("SB-1")).count("<section ") == 1


@pytest.mark.parametrize("subject", ["SB-1", "wing", "SW-T", "stage", "booth"])
def test_no_page_holds_more_than_fits_and_no_row_is_lost(subject: str) -> None:
    tables = blocks(sheet(subject))
    pages = paged(tables)
    for one in pages:
        assert sum(head_mm(block) + len(block.rows) * ROW_HEIGHT_MM_MIN for block in one) <= BODY_HEIGHT_MM
    printed = [row for one in pages for block in one for row in block.rows]
    assert printed == [row for block in tables for row in block.rows]


def test_the_digits_to_plug_by_are_readable_at_a_metre() -> None:
    """4.4 mm at a metre are 15 minutes of arc; a digit is about 0.72 of its type size (own measure on a printed page)."""
    assert 0.72 * (ROW_HEIGHT_MM_MIN - 0.3) >= 4.3
    assert "font-size: calc(var(--row) - 0.3mm)" in lid_page(sheet("SB-1"))


def test_the_users_text_is_no_markup() -> None:
    draft = Draft({"lines.csv": 'line,source,label,hole\n1,<script>x</script>,"<b>&""",SB-1/1\n'})
    text = lid_page(sheet("SB-1", draft))
    assert "<script>" not in text
    assert "&lt;script&gt;" in text
    assert "&lt;b&gt;&amp;&quot;" in text


def test_the_page_is_written_once(tmp_path: Path) -> None:
    file = tmp_path / "lid.html"
    assert run("sheet", SMALL, "SB-1", "--html", file).code == 0
    before = file.read_bytes()
    assert "exists already and is left as it is" in one_sentence(run("sheet", SMALL, "SB-1", "--html", file))
    assert file.read_bytes() == before
    assert "cannot be written" in one_sentence(run("sheet", SMALL, "SB-1", "--html", tmp_path / "no" / "x.html"))


def test_the_same_rows_stand_on_paper_and_on_the_terminal() -> None:
    holes = [row["hole"] for row in sheet("SB-1")["boxes"][0]["holes"]]
    printed = [row[0] for row in page(sheet("SB-1")).rows]
    shown = [line.split()[0] for line in run("sheet", SMALL, "SB-1").out.splitlines() if line.strip()]
    assert [name for name in printed if name in holes] == holes
    assert [name for name in shown if name in holes] == holes
