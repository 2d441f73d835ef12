"""Labels: both ends of every cable, each whole or named as too long, in their cells, with a code that reads back the id."""

from __future__ import annotations

import io
from collections import Counter

import pypdfium2  # type: ignore[import-untyped]
import pytest
import zxingcpp

from book.paper import pages_of
from book.sheets import IMPRINT
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.book.labels import INSET_MM, PT_PER_MM, Grid, GridError, grid_of, labels_pdf
from tailboard.model.reading import read
from tailboard.model.show import Model
from tailboard.text.folder import Texts
from tailboard.views.label_sheet import LabelView, label_views

MM = 25.4 / 72


def example() -> Ask:
    return Ask(read(Texts(Draft.example().files)).model)


def label(text: str, key: str = "cable X") -> LabelView:
    return {"id": key, "big": text, "here": text, "far": text, "more": text}


def made(
    labels: list[LabelView], model: Model, grid: str = "3x8", start: int = 1, paper: str = "a4"
) -> tuple[bytes, list[str]]:
    data, _, findings = labels_pdf(labels, IMPRINT, "0123abcd", grid_of(grid, paper), start, model)
    return data, [finding.id for finding in findings]


def codes(data: bytes) -> list[str]:
    """Return what a reader reads from the pages, printed at 300 dots an inch."""
    document = pypdfium2.PdfDocument(data)
    found = [code.text for page in document for code in zxingcpp.read_barcodes(page.render(scale=300 / 72).to_pil())]
    document.close()
    return found


def test_every_cable_has_a_label_at_each_end_with_both_ends_on_it() -> None:
    ask = example()
    labels = [one for one in label_views(ask) if one["id"].startswith("cable ")]
    assert Counter(one["id"] for one in labels) == Counter({f"cable {name}": 2 for name in ask.model.cables})
    for name, pair in ask(wiring).ends.items():
        stuck = [entry for entry in labels if entry["id"] == f"cable {name}"]
        for end in filter(None, pair):
            assert any(entry["here"].startswith(end) for entry in stuck)
            assert any(entry["far"].startswith(f"far: {end}") for entry in stuck)


def test_boxes_ports_holes_and_strips_have_labels() -> None:
    ask = example()
    ids = {one["id"] for one in label_views(ask)}
    assert {f"device {name}" for name in ask.model.devices} <= ids
    assert {f"hole {line.hole}" for line in ask.model.lines.values() if line.hole} <= ids
    assert {f"strip {strip}" for line in ask.model.lines.values() for strip in line.strips} <= ids
    assert {"port SW-B/S1"} <= ids


def test_the_codes_read_back_as_the_ids() -> None:
    ask = example()
    labels = label_views(ask)[:60]
    data, _ = made(labels, ask.model)
    assert Counter(codes(data)) == Counter(["labels 0123abcd", *(one["id"] for one in labels)])


def test_the_codes_of_small_labels_read_back_too() -> None:
    ask = example()
    labels = label_views(ask)[-64:]
    data, _ = made(labels, ask.model, "5x13")
    assert Counter(codes(data)) == Counter(["labels 0123abcd", *(one["id"] for one in labels)])


@pytest.mark.parametrize("grid", ["3x8", "5x13", "2x7", "4x10,48.5x25.4,0x0", "3x10:letter"])
def test_every_text_stands_inside_its_own_label(grid: str) -> None:
    name, _, paper = grid.partition(":")
    ask = example()
    data, _ = made(label_views(ask), ask.model, name, paper=paper or "a4")
    stock = grid_of(name, paper or "a4")
    for page in pages_of(data):
        left = (page.width * MM - stock.columns * stock.wide_mm - (stock.columns - 1) * stock.across_mm) / 2
        top = (page.height * MM - stock.rows * stock.high_mm - (stock.rows - 1) * stock.down_mm) / 2
        for one in page.letters:
            assert one.size_pt >= 7 - 0.01
            x = (one.left * MM - left) % (stock.wide_mm + stock.across_mm)
            end = (one.right * MM - left) % (stock.wide_mm + stock.across_mm)
            assert 0 < x < end <= stock.wide_mm - INSET_MM + 0.1, one
            y = ((page.height - one.top) * MM - top) % (stock.high_mm + stock.down_mm)
            assert 0 <= y < stock.high_mm - INSET_MM, one


def test_every_text_of_every_label_is_printed_whole() -> None:
    ask = example()
    labels = label_views(ask)
    data, misfits = made(labels, ask.model)
    text = squeezed("".join(page.text for page in pages_of(data)))
    assert not misfits
    for one in labels:
        for key in ("big", "here", "far", "more"):
            assert squeezed(one[key]) in text, one


def squeezed(text: str) -> str:
    return "".join(text.replace("\ufffe", "").split())


@pytest.mark.parametrize("text", ["W" * 30, "a very long name of a cable " * 3])
def test_a_text_shrinks_and_wraps_before_it_is_said_not_to_fit(text: str) -> None:
    model = example().model
    data, misfits = made([label(text)], model, "2x7")
    assert not misfits
    assert squeezed(text) in squeezed(pages_of(data)[0].text)


def test_a_text_that_does_not_fit_is_named_and_marked() -> None:
    ask = example()
    name = next(iter(ask.model.cables))
    data, _, findings = labels_pdf(
        [label("W" * 400, f"cable {name}")], IMPRINT, "x", grid_of("5x13", "a4"), 1, ask.model
    )
    assert [finding.id for finding in findings] == [f"label-does-not-fit:cable:{name}"]
    assert findings[0].spot.file
    assert findings[0].spot.line > 0
    assert "... more" in pages_of(data)[0].text


def test_printing_starts_at_the_first_free_label() -> None:
    model = example().model
    first, later = (pages_of(made([label("A")], model, "3x8", start)[0])[0] for start in (1, 5))
    spot = [next(one for one in page.letters if one.sign == "A") for page in (first, later)]
    assert (spot[1].left - spot[0].left) * MM == pytest.approx(70, abs=0.5)  # labels 2 and 6: one column on,
    assert (spot[0].bottom - spot[1].bottom) * MM == pytest.approx(37, abs=0.5)  # one row down


def test_the_stocks_known_by_name() -> None:
    """70 x 37 mm (24 on A4) and 38.1 x 21.2 mm (65 on A4): common label sheets, from memory."""
    assert grid_of("3x8", "a4") == Grid(3, 8, 70, 37)
    assert grid_of("5x13", "a4") == Grid(5, 13, 38.1, 21.2, 2.5)
    assert grid_of("3x9,60x30,2x1.5", "a4") == Grid(3, 9, 60, 30, 2, 1.5)
    assert grid_of("", "letter") == grid_of("3x10", "letter")


@pytest.mark.parametrize(
    "text", ["3", "3x", "0x8,70x37", "3x8,90x37", "3x9", "9x40,5x5", "x" * 500, "3x8,70", "3x8,0x0", "-1x3,70x37"]
)
def test_a_grid_that_cannot_be_is_refused_in_words(text: str) -> None:
    with pytest.raises(GridError, match=r"labels|mm"):
        grid_of(text, "a4")


def test_same_labels_same_bytes() -> None:
    ask = example()
    labels = label_views(ask)
    assert made(labels, ask.model)[0] == made(labels, ask.model)[0]


def test_the_code_of_a_long_id_is_still_made() -> None:
    model = example().model
    text = "cable " + "é" * 200
    data, _ = made([label("A", text)], model, "2x7")
    assert text in codes(data)


def test_points_and_millimetres() -> None:
    assert pytest.approx(72) == 25.4 * PT_PER_MM
    assert io.BytesIO(made([], example().model)[0]).read(5) == b"%PDF-"
