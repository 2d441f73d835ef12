"""`compare` as a command: folders, revisions that git keeps, a colleague's workbook taken over."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest

from cli.shell import run
from support.draft import Draft
from tailboard.model.reading import read
from tailboard.text.folder import Folder
from tailboard.text.workbook import write_workbook


def written(folder: Path, draft: Draft) -> Path:
    for name, text in draft.files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(tmp_path / "show", Draft.example())


def git(folder: Path, *arguments: str) -> None:
    who = ["-c", "user.name=x", "-c", "user.email=x@example.invalid"]
    subprocess.run(["git", "-C", str(folder), *who, *arguments], check=True, capture_output=True)


def test_two_folders(folder: Path, tmp_path: Path) -> None:
    other = written(tmp_path / "new", Draft.example().cell("lines", "6", "label", "PRES X"))
    done = run("compare", str(folder), str(other))
    assert done.code == 1  # the label on the box's lid says otherwise now
    assert "relabelled" in done.out
    assert "line 6: label PRES X, was PRES RF" in done.out
    document = json.loads(run("compare", str(folder), str(other), "--json").out)
    assert document["schema"] == "tailboard/compare/1"
    assert [one["id"] for one in document["differences"]] == ["6"]


def test_a_revision_is_held_against_the_folder(folder: Path) -> None:
    git(folder, "init", "-q")
    git(folder, "add", ".")
    git(folder, "commit", "-q", "-m", "one")
    written(folder, Draft.example().cell("lines", "6", "hole", "SB-1/12"))
    done = run("compare", "HEAD", str(folder))
    assert "line 6: from SB-1/6 to SB-1/12" in done.out
    assert run("compare", f"HEAD:{folder}", str(folder)).out.count("SB-1/12") == done.out.count("SB-1/12")


@pytest.mark.parametrize("name", ["NOT-THERE", "-x", "HEAD:nowhere", "HEAD^{tree}"])
def test_what_is_no_plan_is_said_in_one_sentence(name: str, folder: Path) -> None:
    done = run("compare", "--", name, str(folder))
    assert done.code == 2
    assert done.err.count("\n") == 1


def colleague(
    tmp_path: Path, folder: Path, edit: dict[tuple[str, str], str], rows: list[list[str]] | None = None
) -> Path:
    """A workbook with the lines as given, some cells edited since."""
    given = rows or Draft({"lines.csv": (folder / "lines.csv").read_text()}).rows("lines")
    table = [list(row) for row in given]
    for (row_id, column), value in edit.items():
        row = next(row for row in table if row[0] == row_id)
        row[table[0].index(column)] = value
    memory = [["table", "row", *(f"text {number}" for number in range(1, len(given[0]) + 1))]]
    memory += [["lines", "" if row is given[0] else row[0], *row] for row in given]
    path = tmp_path / "colleague.xlsx"
    write_workbook(path, {"lines": table, "as given": memory})
    return path


def test_a_colleagues_workbook_is_compared_and_taken_over_once_confirmed(folder: Path, tmp_path: Path) -> None:
    book = colleague(tmp_path, folder, {("6", "label"): "PRES X", ("5", "48V"): "on"})
    assert "line 6: label PRES X" in run("compare", str(folder), str(book)).out
    before = (folder / "lines.csv").read_bytes()
    asked = run("compare", str(folder), str(book), "--merge")
    assert asked.code == 2
    assert "--yes" in asked.err
    assert (folder / "lines.csv").read_bytes() == before
    done = run("compare", str(folder), str(book), "--merge", "--yes")
    assert done.code == 0
    assert read(Folder(folder)).model.lines["6"].label == "PRES X"
    assert (folder / "log/before/lines.csv.before-1").read_bytes() == before


def test_only_what_the_colleague_changed_counts_and_a_clash_is_shown(folder: Path, tmp_path: Path) -> None:
    book = colleague(tmp_path, folder, {("6", "label"): "PRES X", ("5", "label"): "VOC A"})
    newer = Draft.example().cell("lines", "5", "label", "VOC B").cell("lines", "7", "label", "LECTERN")
    (folder / "lines.csv").write_text(newer.files["lines.csv"])
    done = run("compare", str(folder), str(book), "--merge", "--yes")
    assert done.code == 1
    assert "Changed on both sides" in done.out
    labels = {name: line.label for name, line in read(Folder(folder)).model.lines.items()}
    assert (labels["5"], labels["6"], labels["7"]) == ("VOC B", "PRES X", "LECTERN")


def test_a_damaged_cell_is_not_taken_over(folder: Path, tmp_path: Path) -> None:
    book = colleague(tmp_path, folder, {("6", "label"): "06-Sep"})
    done = run("compare", str(folder), str(book), "--merge", "--yes")
    assert "into a date" in done.out
    assert read(Folder(folder)).model.lines["6"].label == "PRES RF"


def test_a_full_or_read_only_folder_loses_nothing(folder: Path, tmp_path: Path) -> None:
    book = colleague(tmp_path, folder, {("6", "label"): "PRES X"})
    before = (folder / "lines.csv").read_bytes()
    (folder / "log").write_text("a file where a folder should be")
    done = run("compare", str(folder), str(book), "--merge", "--yes")
    assert done.code == 2
    assert (folder / "lines.csv").read_bytes() == before
    assert not list(folder.glob("*.new-*"))
    shutil.rmtree(folder)
