"""Bad input, one row after another: a finding with a place, or exit 2 with one sentence; nothing of the user's changes."""

from __future__ import annotations

import datetime as dt
import io
import json
import os
import signal
import subprocess
import sys
import time
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import xlsxwriter

from hostile.fuzz import debugging, fingerprint, write
from support.draft import Draft
from support.edits_book import in_workbook
from tailboard.cli.main import main

SOURCE = Path(__file__).parents[2] / "src"
EXAMPLE = {name: text.encode() for name, text in Draft.example().files.items()}
LINES = EXAMPLE["lines.csv"]


@dataclass(frozen=True)
class Run:
    """What a check said."""

    code: int
    document: dict[str, Any]
    error: str

    def of(self, rule: str) -> list[dict[str, Any]]:
        """Return the findings of a rule."""
        found: list[dict[str, Any]] = [item for item in self.document.get("findings", []) if item["rule"] == rule]
        return found


def check(folder: Path, *options: str) -> Run:
    """Run `check` and make sure that nothing in the folder changed."""
    before = fingerprint(folder)
    out, err = io.StringIO(), io.StringIO()
    with debugging(), redirect_stdout(out), redirect_stderr(err):
        code = main(["check", str(folder), "--json", *options])
    assert fingerprint(folder) == before
    assert "Traceback" not in out.getvalue() + err.getvalue()
    return Run(code, json.loads(out.getvalue()) if code != 2 else {}, err.getvalue())


def checked(tmp_path: Path, changes: dict[str, bytes | None]) -> Run:
    """Check the example with some files changed, added or taken away (None)."""
    files = {**EXAMPLE, **changes}
    write({name: data for name, data in files.items() if data is not None}, tmp_path / "show")
    return check(tmp_path / "show")


def edited(name: str, old: str, new: str) -> dict[str, bytes | None]:
    """Return one file of the example with a text replaced that stands in it."""
    text = EXAMPLE[name].decode()
    assert old in text
    return {name: text.replace(old, new, 1).encode()}


def cell(table: str, row: str, column: str, value: str) -> dict[str, bytes | None]:
    """Return a table of the example with one cell changed."""
    return {f"{table}.csv": Draft.example().cell(table, row, column, value).files[f"{table}.csv"].encode()}


BOMB = "a0: &a0 [x, x, x]\n" + "".join(f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]\n" for n in range(1, 12))

# What is changed in the example, the rule that must speak, its place (or the text that stands there), words it says.
ROWS: dict[str, tuple[dict[str, bytes | None], str, str, str]] = {
    "missing rig": ({"rig.yaml": None}, "file-unreadable", "rig.yaml", "cannot be read"),
    "empty table": ({"lines.csv": b""}, "file-empty", "lines.csv", "is empty"),
    "empty yaml": ({"rig.yaml": b""}, "file-empty", "rig.yaml", "is empty"),
    "comments only": ({"buses.csv": b"# later\n"}, "file-empty", "buses.csv", "nothing but comments"),
    "binary": ({"lines.csv": bytes(range(256)) * 20}, "file-binary", "lines.csv", "no text"),
    "picture": ({"rig.yaml": b"\x89PNG\r\n\x1a\n" + bytes(200)}, "file-binary", "rig.yaml", "picture"),
    "workbook as csv": ({"lines.csv": b"PK\x03\x04" + bytes(200)}, "file-binary", "lines.csv", "workbook"),
    "not utf-8": (
        {"lines.csv": LINES.replace(b"violin", "Trémolo".encode("cp1252"))}, "text-not-utf-8", "lines.csv:4:5", "Trémolo",
    ),
    "date": (cell("feeds", "FD1", "minus", "6-Sep"), "cell-damaged", "feeds.csv@6-Sep", "6-9"),
    "formula": (cell("lines", "3", "hole", "=SB-1/3"), "cell-damaged", "lines.csv@=SB-1/3", "formula"),
    "formula error": (cell("lines", "3", "strip", "#NAME?"), "cell-damaged", "lines.csv@#NAME?", "formula"),
    "number": (cell("lines", "3", "pair", "4.0"), "cell-damaged", "lines.csv@4.0", "4"),
    "lock file": ({"~$show.xlsx": b"\x05owner"}, "lock-file-ignored", "~$show.xlsx", "open"),
    "key twice": (edited("rig.yaml", "  PARK:", "  MGMT: {id: 11}\n  PARK:"), "key-twice", "rig.yaml@MGMT: {id: 11}", "MGMT"),
    "alias bomb": ({"kinds/own.yaml": BOMB.encode() + b"kinds: {x: *a11}\n"}, "alias-too-many", "kinds/own.yaml:", "values"),
    "50 MB": ({"lines.csv": LINES + b"# \n" * 17_000_000}, "file-too-large", "lines.csv", "MB"),
    "50 MB of yaml": ({"rig.yaml": EXAMPLE["rig.yaml"] + b"#\n" * 26_000_000}, "file-too-large", "rig.yaml", "MB"),
    "tab": (edited("rig.yaml", "  GEN:", "\tGEN:"), "tab-in-indent", "rig.yaml@\tGEN", "blanks"),
    "unknown key": (edited("rig.yaml", "link offset: 3 ms", "link ofset: 3 ms"), "key-unknown", "rig.yaml@link ofset", "link offset"),
    "unknown section": (edited("show.yaml", "stands:", "stand:"), "key-unknown", "show.yaml@stand:", "stands"),
    "unknown kind": (edited("rig.yaml", "kind: recorder-32", "kind: recorder-23"), "name-unknown", "rig.yaml@recorder-23", "recorder-"),
    "no such port": (
        edited("show.yaml", "C-01: {from: SW-B/1,", "C-01: {from: SW-B/11,"), "name-unknown", "show.yaml@SW-B/11", "jack '11'",
    ),
    "loop of overlays": (edited("rig.yaml", "format: 1", "format: 1\nrig: show.yaml"), "rig-loop", "rig.yaml@show.yaml", "show.yaml"),
    "a rig over itself": (edited("show.yaml", "rig: rig.yaml", "rig: show.yaml"), "rig-loop", "show.yaml@show.yaml", "show.yaml"),
    "newer format": (edited("show.yaml", "format: 1", "format: 7"), "format-newer", "show.yaml@7", "format 7"),
    "unknown column": (
        {"lines.csv": LINES.replace(b"gain owner", b"gain onwer", 1)}, "column-unknown", "lines.csv@gain onwer", "gain owner",
    ),
    "open quote": ({"lines.csv": LINES.replace(b"violin", b'"violin', 1)}, "quote-open", 'lines.csv@"violin', "not closed"),
    "lone quote": ({"comms.csv": b'"'}, "quote-open", "comms.csv:1:1", "not closed"),
    "quoted nothing": ({"comms.csv": b'\n\x00\n\x00"\x00"\x00'}, "file-empty", "comms.csv", "no row of names"),
    "table twice": ({"LINES.csv": LINES}, "table-twice", "", "lines"),
}  # fmt: skip


def spot_of(changes: dict[str, bytes | None], where: str) -> str:
    """Return `file@text` as the place where the text stands; anything else as it is."""
    file, found, text = where.partition("@")
    if not found:
        return where
    before = (changes[file] or b"").decode().partition(text)[0]
    return f"{file}:{before.count(chr(10)) + 1}:{len(before) - before.rfind(chr(10))}"


@pytest.mark.parametrize("name", ROWS)
def test_bad_input_is_a_finding_with_its_place(name: str, tmp_path: Path) -> None:
    changes, rule, where, words = ROWS[name]
    if name == "table twice" and sys.platform in {"win32", "darwin"}:
        pytest.skip("the two names are one file on this system")
    run = checked(tmp_path, changes)
    found = run.of(rule)
    assert found, [(item["rule"], item["place"]["at"], item["message"]) for item in run.document["findings"]][:8]
    place = spot_of(changes, where)
    assert any(item["place"]["at"].startswith(place) for item in found), (place, [item["place"] for item in found])
    assert any(words in item["message"] + item["fix"] for item in found), found
    assert run.error == ""
    assert run.code in {0, 1}


@pytest.mark.parametrize(
    "text",
    [
        "\ufeff" + LINES.decode(),
        LINES.decode().replace("\n", "\r\n"),
        LINES.decode().replace("\n", "\r"),
        "sep=,\n" + LINES.decode(),
    ],
    ids=["mark", "CR LF", "CR", "named delimiter"],
)
def test_marks_and_line_ends_change_nothing(text: str, tmp_path: Path) -> None:
    run = checked(tmp_path, {"lines.csv": text.encode()})
    assert run.code == 0
    assert run.document["claims"] == check(written(tmp_path / "plain")).document["claims"]


def test_semicolons_and_decimal_commas_are_read(tmp_path: Path) -> None:
    rows = [[value.replace("30", "30,5") for value in row] for row in Draft.example().rows("lines")]
    text = "\n".join(";".join(row) for row in rows)
    run = checked(tmp_path, {"lines.csv": text.encode()})
    reading_faults = [item for item in run.document["findings"] if item["place"]["file"] == "lines.csv"]
    assert [item["message"] for item in reading_faults if item["severity"] != "note"] == []


def written(folder: Path) -> Path:
    """Write the example into a folder."""
    write(EXAMPLE, folder)
    return folder


def test_a_cell_that_became_a_date_in_a_workbook_is_a_finding(tmp_path: Path) -> None:
    data = io.BytesIO()
    with xlsxwriter.Workbook(data) as book:
        sheet = book.add_worksheet("lines")
        for column, heading in enumerate(["line", "source", "pair", "gain"]):
            sheet.write_string(0, column, heading)
        sheet.write_number(1, 0, 1)
        sheet.write_datetime(1, 2, dt.datetime(2027, 9, 6, tzinfo=None), book.add_format({"num_format": "d-mmm"}))  # noqa: DTZ001  a cell has no zone
        sheet.write_boolean(1, 3, True)
    write({"show.xlsx": data.getvalue()}, tmp_path / "show")
    found = check(tmp_path / "show").of("cell-damaged")
    assert "show.xlsx[lines]!C2" in [item["place"]["at"] for item in found]
    assert any("6-9" in item["message"] for item in found)


def test_a_damaged_workbook_is_a_finding(tmp_path: Path) -> None:
    good = in_workbook(Draft.example())
    for number, data in enumerate((good["tables.xlsx"][:3000], b"PK\x03\x04", b"", b"line,source\n1,piano\n")):
        write({**good, "tables.xlsx": data}, tmp_path / str(number))
        run = check(tmp_path / str(number))
        assert any(item["place"]["file"] == "tables.xlsx" for item in run.document["findings"]), data[:20]


def test_an_empty_folder_is_a_finding(tmp_path: Path) -> None:
    run = check(tmp_path)
    assert (run.code, [item["rule"] for item in run.document["findings"]]) == (1, ["show-empty"])


@pytest.mark.parametrize("path", ["nowhere", "nowhere/at/all", "file.txt", "null\x00byte", "x" * 5000])
def test_what_is_no_folder_is_one_sentence(path: str, tmp_path: Path) -> None:
    (tmp_path / "file.txt").write_text("not a show")
    run = check(tmp_path / path) if "\x00" not in path and len(path) < 255 else None
    if run is None:
        out, err = io.StringIO(), io.StringIO()
        with debugging(), redirect_stdout(out), redirect_stderr(err):
            code = main(["check", str(tmp_path / path)])
        run = Run(code, {}, err.getvalue())
    assert run.code == 2
    assert len(run.error.strip().splitlines()) == 1


def test_a_read_only_folder_is_checked(tmp_path: Path) -> None:
    folder = written(tmp_path / "show")
    for path in [*folder.rglob("*"), folder]:
        path.chmod(0o555 if path.is_dir() else 0o444)
    try:
        assert check(folder).code == 0
    finally:
        for path in [folder, *folder.rglob("*")]:
            path.chmod(0o755 if path.is_dir() else 0o644)


def test_a_file_without_the_right_to_read_it_is_a_finding(tmp_path: Path) -> None:
    """Root may read everything, so a folder in place of a file stands for a refusal that root meets too."""
    folder = written(tmp_path / "show")
    (folder / "buses.csv").unlink()
    (folder / "buses.csv").mkdir()
    (folder / "rig.yaml").unlink()
    (folder / "rig.yaml").mkdir()
    run = check(folder)
    assert any(item["place"]["file"] == "rig.yaml" for item in run.of("file-unreadable")), run.document["findings"]


@pytest.mark.skipif(not hasattr(os, "symlink") or sys.platform == "win32", reason="no links on this system")
def test_links_that_lead_nowhere_or_round_are_no_trouble(tmp_path: Path) -> None:
    folder = written(tmp_path / "show")
    (folder / "kinds").symlink_to(folder)
    (folder / "hearing.csv").unlink()
    (folder / "hearing.csv").symlink_to(folder / "nothing")
    out, err = io.StringIO(), io.StringIO()
    with debugging(), redirect_stdout(out), redirect_stderr(err):
        code = main(["check", str(folder), "--json"])
    assert code == 1
    assert "hearing.csv" in out.getvalue()


@pytest.mark.skipif(sys.platform == "win32", reason="signals are sent otherwise on this system")
def test_an_interrupt_ends_with_130_and_one_sentence(tmp_path: Path) -> None:
    """`check --watch` waits for changes; an interrupt ends it."""
    folder = written(tmp_path / "show")
    before = fingerprint(folder)
    process = subprocess.Popen(
        [sys.executable, "-m", "tailboard.cli.main", "check", str(folder), "--watch"],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(SOURCE)},
    )  # fmt: skip
    assert process.stdout is not None
    process.stdout.readline()  # the first page has begun
    time.sleep(0.2)
    process.send_signal(signal.SIGINT)
    _, error = process.communicate(timeout=20)
    assert process.returncode == 130
    assert "Traceback" not in error
    assert len(error.strip().splitlines()) <= 1
    assert fingerprint(folder) == before


def test_the_command_runs_as_a_process_of_its_own(tmp_path: Path) -> None:
    folder = written(tmp_path / "show")
    (folder / "rig.yaml").write_bytes(b"\xff\xfe\x00")
    done = subprocess.run(
        [sys.executable, "-m", "tailboard.cli.main", "check", str(folder)],
        capture_output=True, text=True, env={**os.environ, "PYTHONPATH": str(SOURCE)}, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "rig.yaml" in done.stdout
    assert "Traceback" not in done.stdout + done.stderr
