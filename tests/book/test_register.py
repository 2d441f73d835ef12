"""The register of books and the check sums: numbers go up only when something changed, nothing in it is ever lost."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tailboard.book.register import NAME, Edition, Entry, edition_of, enter, entries_of
from tailboard.book.verifying import BOOK, sum_view

ONE = Entry(1, "2027-06-12 18:00 UTC", "version 0.7", "aaaaaaaa", {"cover": "00000001", "patch SB-1": "00000002"})
TWO = Entry(2, "2027-06-12 19:00 UTC", "version 0.8", "bbbbbbbb", {"cover": "00000003", "patch SB-1": "00000002"})


def test_the_first_book_supersedes_none() -> None:
    assert edition_of([], "aaaaaaaa", "version 0.7") == Edition(1, 0, fresh=True)
    assert edition_of([], "aaaaaaaa", "version 0.7").words == "book 1, supersedes none"


def test_an_unchanged_show_keeps_its_number() -> None:
    assert edition_of([ONE], ONE.sum, ONE.version) == Edition(1, 0, fresh=False)
    assert edition_of([ONE, TWO], TWO.sum, TWO.version) == Edition(2, 1, fresh=False)


def test_a_changed_show_or_version_gets_the_next_number() -> None:
    assert edition_of([ONE], "cccccccc", ONE.version) == Edition(2, 1, fresh=True)
    assert edition_of([ONE, TWO], TWO.sum, "version 0.9") == Edition(3, 2, fresh=True)
    assert edition_of([ONE, TWO], ONE.sum, ONE.version) == Edition(
        3, 2, fresh=True
    )  # back to what it was is a new book


def test_entries_come_back_and_are_only_added_to(tmp_path: Path) -> None:
    enter(tmp_path, ONE)
    before = (tmp_path / NAME).read_bytes()
    enter(tmp_path, TWO)
    assert (tmp_path / NAME).read_bytes().startswith(before)
    assert entries_of(tmp_path) == [ONE, TWO]
    assert entries_of(tmp_path / "nowhere") == []


@pytest.mark.parametrize(
    "damage", [b'{"number": 1', b"\xff\xfe\n", b"[]\n", b'{"number": "x", "sheets": {}}\n', b"\n\n", b'{"sheets": 3}\n']
)
def test_a_damaged_line_is_passed_over_and_kept(tmp_path: Path, damage: bytes) -> None:
    enter(tmp_path, ONE)
    with (tmp_path / NAME).open("ab") as file:
        file.write(damage)
    enter(tmp_path, TWO)
    assert entries_of(tmp_path) == [ONE, TWO]
    assert damage.strip() in (tmp_path / NAME).read_bytes()


def test_a_full_disk_leaves_the_register_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    enter(tmp_path, ONE)
    before = (tmp_path / NAME).read_bytes()

    def full(_: int) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr("tailboard.book.register.os.fsync", full)
    with pytest.raises(OSError, match="space"):
        enter(tmp_path, TWO)
    assert (tmp_path / NAME).read_bytes() == before


def test_each_line_is_one_json_object(tmp_path: Path) -> None:
    enter(tmp_path, ONE)
    enter(tmp_path, TWO)
    lines = (tmp_path / NAME).read_text(encoding="utf-8").splitlines()
    assert [json.loads(line)["number"] for line in lines] == [1, 2]


NOW = {"cover": "00000003", "patch SB-1": "00000009", "card": "00000005"}


def test_a_sum_of_a_sheet_as_it_stands_is_true() -> None:
    view = sum_view("00000009", NOW, "cccccccc", {}, [ONE, TWO])
    assert (view["state"], view["sheet"]) == ("current", "patch SB-1")
    assert "this paper is true" in view["says"]
    assert sum_view(" CCCCCCCC ", NOW, "cccccccc", {}, [])["sheet"] == BOOK


def test_a_sum_of_an_older_sheet_says_of_which_book_and_what_differs() -> None:
    view = sum_view("00000002", NOW, "cccccccc", {}, [ONE, TWO])
    assert (view["state"], view["sheet"], view["book"], view["now"]) == ("superseded", "patch SB-1", 2, "00000009")
    assert view["changed"] == ["patch SB-1", "card"]
    assert "version 0.8" in view["says"]
    assert "00000009" in view["says"]


def test_a_sum_of_a_sheet_that_is_gone_says_so() -> None:
    view = sum_view("00000002", {"cover": "00000003"}, "dddddddd", {}, [TWO])
    assert view["now"] == ""
    assert "no such sheet any more" in view["says"]
    assert view["changed"] == ["patch SB-1"]


def test_a_sum_of_the_whole_older_book() -> None:
    view = sum_view("aaaaaaaa", NOW, "cccccccc", {}, [ONE, TWO])
    assert (view["state"], view["sheet"], view["book"], view["now"]) == ("superseded", BOOK, 1, "cccccccc")


def test_a_sum_of_a_single_sheet_is_known_too() -> None:
    view = sum_view("12345678", NOW, "cccccccc", {"SB-1": "12345678"}, [])
    assert (view["state"], view["sheet"]) == ("current", "sheet of SB-1")


def test_an_unknown_sum_is_called_unknown() -> None:
    assert sum_view("99999999", NOW, "cccccccc", {}, [ONE, TWO])["state"] == "unknown"
