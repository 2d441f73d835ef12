"""Changes made on a page: looked at first, written into the user's own text, never over another's; record and book as pages."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from support.serving import opened, show_copy


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[Path, httpx.Client, str]]:
    folder = show_copy(tmp_path)
    with opened(folder) as show, httpx.Client(base_url=show.address, timeout=20) as client:
        yield folder, client, show.code


def editor(client: httpx.Client, code: str) -> dict[str, str]:
    told = client.post("/api/unlock", json={"code": code}).json()
    assert told["role"] == "edit"
    return {"x-tailboard": told["csrf"]}


def change(value: str, was: str | None = "PRES RF", column: str = "label", **more: Any) -> dict[str, Any]:
    return {"changes": [{"table": "lines", "row": "6", "column": column, "value": value, "was": was}], **more}


def test_a_change_is_looked_at_then_written_and_the_old_text_is_kept(served: tuple[Path, httpx.Client, str]) -> None:
    folder, client, code = served
    before = (folder / "lines.csv").read_bytes()
    head = editor(client, code)
    told = client.post("/api/changes", json=change("PRES R"), headers=head).json()
    assert told["ask"]
    assert told["written"] == []
    assert (folder / "lines.csv").read_bytes() == before
    done = client.post("/api/changes", json=change("PRES R", confirmed=True), headers=head).json()
    assert done["written"] == ["lines.csv"]
    assert (folder / "lines.csv").read_bytes() == before.replace(b"PRES RF", b"PRES R")
    assert (folder / "log/before/lines.csv.before-1").read_bytes() == before


def test_what_it_would_break_is_said_before(served: tuple[Path, httpx.Client, str]) -> None:
    _, client, code = served
    told = client.post("/api/changes", json=change("SB-1/1", "SB-1/6", "hole"), headers=editor(client, code)).json()
    assert any("SB-1/1" in words for words in told["harm"])


def test_an_edit_on_disk_is_shown_beside_and_never_overwritten(served: tuple[Path, httpx.Client, str]) -> None:
    folder, client, code = served
    head = editor(client, code)
    text = (folder / "lines.csv").read_text().replace("PRES RF", "PRESENT")
    (folder / "lines.csv").write_text(text)
    told = client.post("/api/changes", json=change("PRES R", confirmed=True), headers=head).json()
    assert told["written"] == []
    assert [(one["was"], one["value"], one["stands"]) for one in told["clashes"]] == [("PRES RF", "PRES R", "PRESENT")]
    assert (folder / "lines.csv").read_text() == text


def test_nobody_edits_without_the_code(served: tuple[Path, httpx.Client, str]) -> None:
    folder, client, code = served
    before = (folder / "lines.csv").read_bytes()
    assert client.post("/api/changes", json=change("X", confirmed=True)).status_code == 403
    editor(client, code)
    assert (
        client.post("/api/changes", json=change("X", confirmed=True)).status_code == 403
    )  # without what proves the page
    assert (folder / "lines.csv").read_bytes() == before


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"changes": []},
        change("A\nB"),
        change("x" * 5000),
        {"changes": [{"table": "accepted", "row": "6", "column": "label", "value": "x"}]},
        {"changes": [{"table": "lines", "row": "<script>", "column": "label", "value": "x"}], "confirmed": True},
    ],
)
def test_hostile_changes_are_refused_in_words(served: tuple[Path, httpx.Client, str], body: dict[str, Any]) -> None:
    folder, client, code = served
    before = (folder / "lines.csv").read_bytes()
    answer = client.post("/api/changes", json=body, headers=editor(client, code))
    assert answer.status_code in {200, 422}
    assert answer.status_code == 422 or answer.json()["refused"]
    assert (folder / "lines.csv").read_bytes() == before


def test_the_book_is_fetched_as_the_plan_is_now(served: tuple[Path, httpx.Client, str]) -> None:
    _, client, _ = served
    assert "Patch sheet SB-1" in client.get("/book").text
    assert client.get("/book/book.pdf").content.startswith(b"%PDF")
    assert client.get("/book/workbook.xlsx").content.startswith(b"PK")
    assert client.get("/book/../../etc/passwd").status_code == 404
    assert client.get("/book/other.pdf").status_code == 404


def test_the_record_is_a_page(served: tuple[Path, httpx.Client, str]) -> None:
    _, client, _ = served
    text = client.get("/record").text
    assert "Nothing is noted yet." in text
    assert "/api/record.csv" in text
