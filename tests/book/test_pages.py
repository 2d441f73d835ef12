"""The printed page: it says what the sheets say, large enough, within its margins, with nothing over anything."""

from __future__ import annotations

import io
import random
import re
import unicodedata
from dataclasses import replace
from typing import Any

import pypdf
import pytest

from book.paper import Page, overlaps, pages_of
from book.sheets import IMPRINT, PLACES, book, patch_sheet, table
from tailboard.book.columns import BIG_PT, sizes_of
from tailboard.book.pages import MARGIN_PT, book_pdf
from tailboard.book.setting import pdf_of
from tailboard.book.type import compiler
from tailboard.views.sheets.records import Sheet, Words
from tailboard.views.sheets.sums import sheet_sum

LEAST_PT = 7.0  # issue: nothing smaller
METRE_PT = 24.0  # issue: the number to plug by is readable at a metre
HOSTILE = [
    "#set text(size: 90pt)", "*bold* _it_ `raw`", "[#panic()]", "<script>alert(1)</script>", '"quoted" \'single\'', "$x^2$ \\ ~ @ref",
    "// comment /* open", "= heading", "- list", "https://example.org/a_b", "W" * 200, "a-b/c_d." * 25, "word " * 40, "é" * 200,
    "שלום עולם", "emoji 🎤🎚", "日本語", "\u202eturned", "tab\tand\nbreak", "&amp; &#65; %s {0} {{", "", " ", "Ⅷ ½ µ Ω → ≥",
]  # fmt: skip


def printed(sheets: list[Sheet], paper: str = "a4") -> list[Page]:
    data, _ = book_pdf(sheets, replace(IMPRINT, paper=paper), lambda _picture, _room: [], PLACES)
    return pages_of(data)


def faults(page: Page) -> list[str]:
    """Return what is wrong with a page."""
    found = [f"{one.sign!r} is {one.size_pt:.1f} pt" for one in page.letters if one.size_pt < LEAST_PT - 0.01]
    found += [
        f"{one.sign!r} at {one.left:.0f},{one.bottom:.0f} is outside the margins"
        for one in page.letters
        if one.left < MARGIN_PT - 1
        or one.right > page.width - MARGIN_PT + 1
        or one.bottom < 14
        or one.top > page.height - 14
    ]
    return found + [f"{pair} overlap" for pair in overlaps(page)]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_letter_is_large_enough_within_the_margins_and_over_no_other(paper: str) -> None:
    for number, page in enumerate(printed(book(), paper), 1):
        assert not faults(page), (number, faults(page)[:4])


def test_the_check_of_a_page_sees_small_type_and_overlaps() -> None:
    source = b"#set page(margin: 0pt)\n#place(dx: 50pt, dy: 50pt, text(size: 5pt)[small])\n#place(dx: 60pt, dy: 300pt)[over]\n#place(dx: 62pt, dy: 301pt)[under]\n#place(dx: 2pt, dy: 400pt)[edge]"
    data = compiler().compile(source, format="pdf")
    assert isinstance(data, bytes)
    words = " ".join(faults(pages_of(data)[0]))
    assert "5.0 pt" in words
    assert "overlap" in words
    assert "outside" in words


def test_papers_have_their_sizes() -> None:
    """A4: 210 x 297 mm (ISO 216). Letter: 8.5 x 11 inches (ANSI/ASME Y14.1, from memory). A wide page lies on its side."""
    a4, letter = printed(book()), printed(book(), "letter")
    assert (round(a4[0].width / 72 * 25.4), round(a4[0].height / 72 * 25.4)) == (210, 297)
    assert (letter[0].width / 72, letter[0].height / 72) == (8.5, 11)
    assert any(page.width > page.height for page in a4)


def test_every_cell_of_every_row_is_printed_in_order() -> None:
    text = " ".join(page.words for page in printed(book()))
    for sheet in book():
        place = 0
        for one in sheet.tables:
            for row in one.rows:
                for cell in filter(None, row.cells):
                    found = text.find(" ".join(cell.split()), place)
                    assert found >= 0 or squeezed(cell) in squeezed(text), (sheet.key, row.cells)
        for words in sheet.words:
            assert all(squeezed(point.removeprefix("holds if")) in squeezed(text) for point in words.points)


def squeezed(text: str) -> str:
    """Return a text without blanks: a cell that wraps is broken anywhere."""
    return re.sub(r"[\s\u200b\ufffe]", "", unicodedata.normalize("NFKC", text))


def test_every_page_bears_its_imprint() -> None:
    sheets = book()
    sums = {sheet_sum(sheet) for sheet in sheets}
    pages = printed(sheets)
    for number, page in enumerate(pages, 1):
        for words in ("Harbour gala, 2027-06-12", "version 0.7", "2027-06-12 18:00 UTC", "book 3, supersedes 2"):
            assert words in page.words, (number, words)
        assert f"book page {number} of {len(pages)}" in page.words
        found = re.search(r"check sum ([0-9a-f]{8})", page.words)
        assert found is not None
        assert found[1] in sums
    patch = [page for page in pages if sheet_sum(sheets[1]) in page.text]
    assert [re.findall(r"page (\d+ of \d+) version|page (\d+ of \d+)", page.words)[0] for page in patch]
    assert all("wing, left wing" in page.words for page in patch)
    assert "Patch sheet SB-1, continued" in patch[1].words


def test_the_number_to_plug_by_can_be_read_at_a_metre() -> None:
    """15 minutes of arc at 1 m are 4.4 mm; the height of a digit of the font is 0.668 of its type (own measure)."""
    page = printed([patch_sheet()])[0]
    digits = [one for one in page.letters if one.sign.isdigit() and one.size_pt >= METRE_PT]
    assert len(digits) > 20
    assert min(one.size_pt for one in digits) == pytest.approx(BIG_PT)
    assert (digits[-1].top - digits[-1].bottom) / 72 * 25.4 > 4.4


def test_a_changed_row_says_so_and_a_spare_keeps_its_row() -> None:
    text = printed([patch_sheet()])[0].words
    assert text.count("changed") == 1
    assert "MIC5" in text
    assert "changed" not in printed([replace(patch_sheet(), tables=(table([("1", "a", "b")]),))])[0].words


def test_table_heads_are_repeated_on_every_page() -> None:
    pages = printed([patch_sheet()])
    assert len(pages) > 1
    assert all("plugged in" in page.words for page in pages if "MIC" in page.words)


def test_same_data_and_time_same_bytes() -> None:
    one, two = (book_pdf(book(), IMPRINT, lambda _p, _r: [], PLACES)[0] for _ in range(2))
    assert one == two
    later = book_pdf(book(), replace(IMPRINT, seconds=IMPRINT.seconds + 60), lambda _p, _r: [], PLACES)[0]
    assert later != one


def test_the_file_says_pdf_a_2b_embeds_its_fonts_and_has_an_output_intent() -> None:
    """ISO 19005-2: part and level in the XMP packet, an output intent, every font embedded, no encryption (clauses from memory)."""
    data, _ = book_pdf(book(), IMPRINT, lambda _p, _r: [], PLACES)
    reader = pypdf.PdfReader(io.BytesIO(data))
    root: Any = reader.root_object
    xmp = root["/Metadata"].get_object().get_data().decode()
    assert "<pdfaid:part>2</pdfaid:part>" in xmp
    assert "<pdfaid:conformance>B</pdfaid:conformance>" in xmp
    assert root["/OutputIntents"]
    assert not reader.is_encrypted
    resources: list[Any] = [page["/Resources"] for page in reader.pages]
    fonts = [font.get_object() for resource in resources for font in resource.get("/Font", {}).values()]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        descriptor = inner["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)


@pytest.mark.parametrize("seed", range(12))
def test_hostile_texts_break_nothing(seed: int) -> None:
    rng = random.Random(seed)
    rows = [tuple(rng.choice(HOSTILE) for _ in range(3)) for _ in range(12)]
    sheet = Sheet(
        rng.choice(HOSTILE) or "key", "list", rng.choice(HOSTILE), rng.choice(HOSTILE), place=rng.choice(HOSTILE),
        words=(Words(rng.choice(HOSTILE), tuple(rng.sample(HOSTILE, 5))),), tables=(table(rows),),
        cautions=(rng.choice(HOSTILE),), sign=(rng.choice(HOSTILE),), wide=seed % 2 == 0, pocket=seed % 3 == 0,
    )  # fmt: skip
    pages = printed([sheet])
    text = squeezed("".join(page.text for page in pages))
    for page in pages:
        assert not faults(page), faults(page)[:3]
    for row in rows:
        for cell in row:
            if cell.isascii() and cell.isprintable():
                assert squeezed(cell) in text


def test_every_hostile_text_alone_in_a_narrow_column() -> None:
    rows = [(text, text, text) for text in HOSTILE]
    wide = "abcdefgh"
    pages = printed([Sheet("x", "x", "X", tables=(table([(*row, *row, "1", "2") for row in rows], " ".join(wide)),))])
    for page in pages:
        assert not faults(page), faults(page)[:3]


def test_a_sign_without_a_glyph_is_marked_and_named() -> None:
    sheets = [Sheet("x", "x", "X", tables=(table([("1", "emoji 🎤 here", "שלום")]),))]
    data, signs = book_pdf(sheets, IMPRINT, lambda _p, _r: [], PLACES)
    text = pages_of(data)[0].text
    assert signs.missing == {"🎤"}
    assert "emoji \N{REPLACEMENT CHARACTER} here" in text
    assert any(sign in text for sign in "שלום")


def test_a_text_from_right_to_left_stands_at_the_right() -> None:
    page = printed([Sheet("x", "x", "X", tables=(table([("1", "שלום", "z")]),))])[0]
    hebrew = [one for one in page.letters if unicodedata.bidirectional(one.sign) == "R"]
    size, widths = sizes_of(table([("1", "שלום", "z")]), page.width - 2 * MARGIN_PT)
    edge = MARGIN_PT + widths[0] + widths[1]
    assert hebrew
    assert edge - size < max(one.right for one in hebrew) < edge


def test_the_marks_of_changed_rows_are_no_part_of_the_check_sum() -> None:
    sheet = patch_sheet()
    plain = replace(sheet.tables[0], rows=tuple(replace(row, changed=False) for row in sheet.tables[0].rows))
    assert sheet_sum(replace(sheet, tables=(plain,))) == sheet_sum(sheet)
    other = replace(plain, rows=(replace(plain.rows[0], cells=("1", "MIC1", "another source", "")), *plain.rows[1:]))
    assert sheet_sum(replace(sheet, tables=(other,))) != sheet_sum(sheet)


def test_a_warning_of_the_typesetter_is_no_page(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tailboard.book.setting.template", lambda _name: b'#text(font: "No such font")[x]')
    with pytest.raises(AssertionError, match="unknown font"):
        pdf_of("page.typ", {}, 0)
