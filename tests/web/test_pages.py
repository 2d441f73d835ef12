"""The middle of every page that shows the plan: complete, every name a link, every text of the user's only text."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.edits.tired import slipped
from tailboard.model.reading import read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.names_found import found_names
from tailboard.views.readiness import ready_view
from tailboard.views.verdict import check_view
from tailboard.web.pages import content
from tailboard.web.pages.frame import document
from tailboard.web.pages.links import linked
from tailboard.web.pages.shown import Part, Shown

HOSTILE = '<script>alert("x")</script> & #*[`'


def shown(draft: Draft) -> Shown:
    reading = read(Texts(draft.files))
    proof = prove(reading.model, reading.findings)
    return Shown(1, reading, proof, Ask(reading.model), check_view(reading, proof))


@pytest.fixture(scope="module", params=["small", "medium"])
def state(request: pytest.FixtureRequest) -> Shown:
    return shown(Draft.example(request.param))


@pytest.fixture(scope="module")
def tired() -> Shown:
    files = {name: text.encode() for name, text in Draft.example().files.items()}
    return shown(Draft({name: data.decode() for name, data in slipped(files).items()}))


class Reader(HTMLParser):
    """Keeps the links and the text of a page, and that its elements are closed in order."""

    void = frozenset({"meta", "link", "input", "br", "option"})

    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.scripts: list[str] = []
        self.text = ""
        self.tags: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.scripts += [value or "" for name, value in attrs if tag == "script" and name == "src"]
        self.links += [value or "" for name, value in attrs if tag == "a" and name == "href"]
        if tag not in self.void:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in self.void:
            assert self.open, tag
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text += data


def page(state: Shown, part: Part) -> Reader:
    reader = Reader()
    reader.feed(document(state, part))
    assert not reader.open
    return reader


def parts(state: Shown) -> dict[str, Part]:
    """Every page of a show, by address."""
    model = state.model
    made = {
        "/": content.ready_part(state),
        "/lines": content.lines_part(state, {}),
        "/feeds": content.feeds_part(state),
    }
    made |= {f"/lines/{name}": content.line_part(state, name, may_edit=True) for name in model.lines}
    made |= {f"/feeds/{name}": content.feed_part(state, name) for name in list(model.feeds)[:6]}
    made |= {f"/things/{name}": content.thing_part(state, name) for name in list(model.devices)[:8]}
    made |= {f"/map?{sort}": content.map_part(state, {"over": sort}) for sort in ("", "load", "light")}
    made |= {f"/claims/{one['id']}": content.claim_part(state, one["id"]) for one in state.check["open"][:8]}
    return made


def test_every_page_is_whole_and_every_link_leads_somewhere(state: Shown) -> None:
    links: set[str] = set()
    for address, part in parts(state).items():
        assert part.code == 200, address
        links |= {link for link in page(state, part).links if re.match(r"/(lines|feeds|things|claims)/", link)}
    assert len(links) > 40
    for link in sorted(links):
        _, kind, name = link.split("/", 2)
        answer = {
            "lines": content.line_part,
            "feeds": content.feed_part,
            "things": content.thing_part,
            "claims": content.claim_part,
        }
        assert answer[kind](state, unquote(name)).code == 200, link


def test_the_first_page_says_the_verdict_the_places_and_the_reasons(tired: Shown) -> None:
    text = page(tired, content.ready_part(tired)).text
    assert "not ready" in text
    view = ready_view(tired.ask, tired.check)
    assert {one["place"] for one in view["places"]} >= set(tired.model.places)
    named = {reason for one in view["places"] for reason in one["reasons"]}
    assert named == {one["id"] for one in tired.check["findings"] if one["severity"] != "note"}, (
        "a reason stands nowhere"
    )
    for one in tired.check["findings"]:
        assert " ".join(one["message"].split()) in " ".join(text.split())


def test_a_place_without_a_fault_is_ready(state: Shown) -> None:
    view = ready_view(state.ask, state.check)
    assert view["mark"] == "holds"
    assert all(one["mark"] in ("holds", "open") for one in view["places"])


def test_what_users_write_is_only_text() -> None:
    draft = Draft.example()
    for table, row, column in (
        ("lines", "6", "source"),
        ("lines", "6", "label"),
        ("feeds", "FD1", "listener"),
    ):
        draft = draft.cell(table, row, column, HOSTILE)
    state = shown(draft)
    for address, part in parts(state).items():
        reader = page(state, part)
        assert reader.tags.count("script") == len(reader.scripts), address
        assert all(source.startswith("/static/") for source in reader.scripts), address
    assert HOSTILE in page(state, content.line_part(state, "6")).text


@pytest.mark.parametrize("name", [HOSTILE, "../../etc/passwd", "x" * 5000, "", "SB-1/99", "\u202e"])
def test_a_name_that_nothing_bears_is_said_and_found_near(state: Shown, name: str) -> None:
    for answer in (content.line_part, content.feed_part, content.thing_part, content.claim_part):
        part = answer(state, name)
        assert part.code in (200, 404)
        assert page(state, part).tags.count("script") == len(page(state, part).scripts)
    assert "SB-1" in content.thing_part(state, "SB1").html


def test_names_in_a_sentence_become_links(state: Shown) -> None:
    html = str(linked(state, "line 5 & lines 6, 7 reach SB-1/5 <b>"))
    assert '<a href="/lines/5">5</a>' in html
    assert '<a href="/lines/7">7</a>' in html
    assert '<a href="/things/SB-1">SB-1/5</a>' in html
    assert "&amp;" in html
    assert "&lt;b&gt;" in html


FINDS = [("15", "15"), ("PR", "6"), ("SB-1/6", "6"), ("CON-1/6", "6"), ("presenter", "6"), ("line 6", "6")]


@pytest.mark.parametrize(("text", "line"), FINDS)
def test_a_line_is_found_by_number_label_jack_strip_or_source(text: str, line: str) -> None:
    found = found_names(Ask(read(Texts(Draft.example().files)).model), text)
    assert line in [one["name"] for one in found if one["sort"] == "line"]


def test_two_keys_find_every_line_by_its_number(state: Shown) -> None:
    for name in state.model.lines:
        assert found_names(state.ask, name)[0]["name"] == name or len(name) > 2


def test_the_fault_of_a_newer_text_stands_on_top_of_the_last_good_plan(state: Shown) -> None:
    old = Shown(2, state.reading, state.proof, state.ask, state.check, "lines.csv holds nothing.")
    text = page(old, content.ready_part(old)).text
    assert text.index("lines.csv holds nothing.") < text.index("By place")


def test_nothing_is_fetched_from_elsewhere() -> None:
    folder = Path(content.__file__).parents[1]
    for path in (*folder.glob("templates/*"), *folder.glob("static/*")):
        assert not re.search(r"(https?:)?//[a-z]", re.sub(r"^\s*//.*$", "", path.read_text(), flags=re.MULTILINE)), path


def test_the_first_page_is_small(state: Shown) -> None:
    folder = Path(content.__file__).parents[1] / "static"
    size_bytes = len(document(state, content.ready_part(state)).encode()) + sum(
        (folder / name).stat().st_size for name in ("pages.css", "pages.js")
    )
    assert size_bytes < 60_000
