"""A large book comes in volumes: every sheet in one of them, in order, and the same bytes each time."""

from __future__ import annotations

import pytest

from book.paper import pages_of
from book.sheets import IMPRINT, patch_sheet
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.book import binding
from tailboard.book.binding import sheet_files, volumes
from tailboard.model.reading import read
from tailboard.text.folder import Texts
from tailboard.views.sheets.records import Sheet


def sheets(count: int) -> list[Sheet]:
    return [Sheet(f"patch {n}", "patch", "Patch sheet", f"SB-{n}", tables=patch_sheet().tables) for n in range(count)]


def test_no_sheet_is_lost_or_divided(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(binding, "VOLUME_CELLS", 500)
    many = sheets(7)  # 240 cells each: two a volume
    parts = volumes(many)
    assert [len(part) for part in parts] == [2, 2, 2, 1]
    assert [sheet for part in parts for sheet in part] == many
    assert volumes([]) == [[]]


def test_a_sheet_larger_than_a_volume_has_one_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(binding, "VOLUME_CELLS", 10)
    assert [len(part) for part in volumes(sheets(3))] == [1, 1, 1]


def test_volumes_say_which_they_are_and_are_the_same_each_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(binding, "VOLUME_CELLS", 500)
    ask = Ask(read(Texts(Draft.example().files)).model)
    one, missing = sheet_files(ask, sheets(3), IMPRINT, lambda: {"list.txt": b"with it"})
    assert (list(one), missing) == (["book-1.pdf", "book-2.pdf", "list.txt"], set())
    assert sheet_files(ask, sheets(3), IMPRINT, lambda: {"list.txt": b"with it"})[0] == one
    assert one.pop("list.txt") == b"with it"
    for number, data in enumerate(one.values(), 1):
        assert all(f"volume {number} of 2" in page.words for page in pages_of(data))
