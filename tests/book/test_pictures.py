"""Drawings in the book: cut into pages through no text, in the type of the book, and what a place's signal flow says."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree as ET

import pytest

from book.paper import overlaps, pages_of
from book.sheets import IMPRINT
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.book.binding import PART_PX
from tailboard.book.pages import book_pdf
from tailboard.book.pictures import DRAWINGS, Leaf, TooLongError, cuts, drawing, parts_of
from tailboard.model.reading import read
from tailboard.text.folder import Texts
from tailboard.views.flow import flow_view
from tailboard.views.overlays import SORTS
from tailboard.views.sheets.records import Picture, Sheet

ROOM_PX = 703.0  # the body of an A4 page
SHOWS = ("small", "medium")


@cache
def asked(show: str) -> Ask:
    return Ask(read(Texts(Draft.example(show).files)).model)


def pictures(show: str) -> list[Picture]:
    model = asked(show).model
    line, feed = list(model.lines)[3], next(iter(model.feeds))
    found = [Picture("map", sort, "") for sort in ("", *(sort for sort in SORTS if sort != "fails"))]
    found += [Picture("flow", name, "") for name in model.places]
    return [
        *found,
        Picture("chain", line, ""),
        Picture("chain", feed, ""),
        Picture("level", line, ""),
        Picture("arrival", "", ""),
    ]


@pytest.mark.parametrize("show", SHOWS)
def test_every_drawing_of_an_example_is_on_paper_whole(show: str) -> None:
    ask = asked(show)
    for picture in pictures(show):
        svg = drawing(ask, picture)
        if not svg:
            continue
        sheet = Sheet("x", "x", "Drawing", pictures=(picture,))
        data, _ = book_pdf([sheet], IMPRINT, lambda _, room, svg=svg: parts_of(svg, room / 0.75, PART_PX["a4"]), {})  # type: ignore[misc]
        pages = pages_of(data)
        text = squeezed("".join(page.text for page in pages))
        for page in pages:
            assert not [one for one in page.letters if one.size_pt < 7], picture
            assert not overlaps(page), (picture, overlaps(page)[:2])
            assert all(one.left > 33 and one.right < page.width - 33 for one in page.letters), picture
        for words in re.findall(r"<text[^>]*>(?:<title>.*?</title>)?([^<]*)</text>", svg):
            assert squeezed(plain(words)) in text, (picture, words)


def plain(text: str) -> str:
    return text.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")


def squeezed(text: str) -> str:
    return "".join(text.replace("\ufffe", "").split())


def test_no_part_is_higher_than_asked_and_all_of_them_make_the_whole() -> None:
    svg = drawing(asked("medium"), Picture("flow", "BP3", ""))
    parts = parts_of(svg, ROOM_PX, 400)
    assert len(parts) > 1
    assert all(part["height"] <= 400 * 0.75 + 0.01 for part in parts)
    whole = parts_of(svg, ROOM_PX, 100_000)[0]
    assert sum(part["height"] for part in parts) == pytest.approx(whole["height"])


def test_a_cut_goes_through_no_text() -> None:
    texts = [Leaf(y, y + 12, ET.Element("{http://www.w3.org/2000/svg}text")) for y in range(0, 900, 15)]
    for y in cuts(texts, 900.0, 100.0)[1:-1]:
        assert not any(leaf.low < y < leaf.high for leaf in texts)


def test_a_drawing_of_too_many_pages_is_not_made_but_said() -> None:
    svg = drawing(asked("medium"), Picture("flow", "BP3", ""))
    with pytest.raises(TooLongError):
        parts_of(svg, ROOM_PX, 30)
    sheet = Sheet("x", "x", "Drawing", pictures=(Picture("flow", "BP3", "Flow"),))
    data, _ = book_pdf([sheet], IMPRINT, lambda _, room: parts_of(svg, room, 30), {})
    assert "would fill" in pages_of(data)[0].text


def test_what_cannot_be_drawn_is_left_out() -> None:
    ask = asked("small")
    assert drawing(ask, Picture("nothing", "x", "")) == ""
    for name in DRAWINGS:
        if name != "map":
            assert drawing(ask, Picture(name, "no such thing", "")) == "", name


def test_the_flow_of_a_place_holds_its_lines_and_where_they_go() -> None:
    """Read off the example's own tables: who is at the place, which holes and strips, which buses name the lines."""
    ask = asked("small")
    place = next(line.place for line in ask.model.lines.values() if line.place)
    view = flow_view(ask, place)
    lines = {name: line for name, line in ask.model.lines.items() if line.place == place}
    assert {row["line"] for row in view["rows"]} == set(lines)
    for row in view["rows"]:
        line = lines[row["line"]]
        assert f"{row['box']}/{row['hole']}" == (line.hole or "/")
        assert row["source"] == line.source
        assert not line.strips or f"{row['desk']}/" in line.strips[0]
        assert row["mark"] == ""
    for bus in view["buses"]:
        direct = set(ask.model.buses[bus["name"]].members) & set(lines)
        assert direct - set(ask.model.buses[bus["name"]].minus) <= set(bus["lines"])


def test_a_broken_chain_is_marked_with_its_reason() -> None:
    draft = Draft.example()
    name, line = next((name, line) for name, line in asked("small").model.lines.items() if line.strips and line.hole)
    draft.cell("lines", name, "hole", "SB-9/1")
    view = flow_view(Ask(read(Texts(draft.files)).model), line.place or "")
    row = next(row for row in view["rows"] if row["line"] == name)
    assert row["mark"] == "broken"
    assert row["stop"]


def test_a_feed_says_which_lines_of_the_place_it_is_without() -> None:
    ask = asked("medium")
    view = flow_view(ask, "BP3")
    found = [feed for feed in view["feeds"] if feed["without"]]
    assert found
    for feed in found:
        assert not set(feed["without"]) & set(feed["lines"])
