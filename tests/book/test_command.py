"""The command `book`: what it writes, what it keeps, what it says when it cannot."""

from __future__ import annotations

import json
import os
import re
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from book.paper import overlaps, pages_of
from tailboard.cli.main import main

EXAMPLES = Path(__file__).parents[2] / "examples"
SOURCE = Path(__file__).parents[2] / "src"
TIME = "2027-06-12T18:00+02:00"


@pytest.fixture
def show(tmp_path: Path) -> Path:
    """A copy of the small example."""
    folder = tmp_path / "show"
    shutil.copytree(EXAMPLES / "small", folder, ignore=shutil.ignore_patterns("log"))
    return folder


def book(show: Path, out: Path, *more: str) -> int:
    return main(["book", str(show), "--out", str(out), "--time", TIME, *more])


def change(show: Path) -> None:
    """Give one line another source."""
    path = show / "lines.csv"
    text = path.read_text(encoding="utf-8")
    head, first, *rest = text.split("\n")
    cells = first.split(",")
    cells[1] = "somebody else"
    path.write_text("\n".join([head, ",".join(cells), *rest]), encoding="utf-8")


def document(capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    found: dict[str, object] = json.loads(capsys.readouterr().out)
    return found


def test_the_book_and_the_labels_are_written_and_entered(
    show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert book(show, out) == 0
    said = capsys.readouterr().out
    assert {"book.pdf", "labels.pdf"} <= {path.name for path in out.iterdir()}
    assert "book 1, supersedes none" in said
    assert "2027-06-12 18:00 +02:00" in pages_of((out / "book.pdf").read_bytes())[0].words
    assert len((show / "log" / "books.jsonl").read_text(encoding="utf-8").splitlines()) == 1


@pytest.mark.parametrize(("example", "paper"), [("small", "a4"), ("small", "letter"), ("medium", "a4")])
def test_every_page_of_both_examples_can_be_read(example: str, paper: str, tmp_path: Path) -> None:
    folder = tmp_path / "show"
    shutil.copytree(EXAMPLES / example, folder, ignore=shutil.ignore_patterns("log"))
    assert book(folder, tmp_path / "out", "--paper", paper) == 0
    for number, page in enumerate(pages_of((tmp_path / "out" / "book.pdf").read_bytes()), 1):
        assert not [one for one in page.letters if one.size_pt < 7 - 0.01], number
        assert all(one.left > 33 and one.right < page.width - 33 for one in page.letters), number
        assert all(one.bottom > 14 and one.top < page.height - 14 for one in page.letters), number
        assert not overlaps(page), (number, overlaps(page)[:2])


def test_same_show_and_time_same_bytes_and_no_second_entry(show: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    assert book(show, one) == book(show, two) == 0
    for name in ("book.pdf", "labels.pdf"):
        assert (one / name).read_bytes() == (two / name).read_bytes()
    assert len((show / "log" / "books.jsonl").read_text(encoding="utf-8").splitlines()) == 1


def test_the_time_stamp_of_a_build_is_taken(show: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """SOURCE_DATE_EPOCH: seconds since 1970 in UTC, reproducible-builds.org specification (from memory)."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    assert main(["book", str(show), "--out", str(tmp_path / "out")]) == 0
    assert "1970-01-02 00:00 UTC" in pages_of((tmp_path / "out" / "book.pdf").read_bytes())[0].words


def test_a_change_makes_the_next_book_and_keeps_the_one_before(show: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert book(show, out) == 0
    before = (out / "book.pdf").read_bytes()
    change(show)
    assert book(show, out) == 0
    assert (out / "book.pdf.before-1").read_bytes() == before
    assert "book 2, supersedes 1" in pages_of((out / "book.pdf").read_bytes())[0].words


def test_every_sum_on_every_page_can_be_verified(
    show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert book(show, tmp_path / "out") == 0
    pages = pages_of((tmp_path / "out" / "book.pdf").read_bytes())
    sums = {found[1] for page in pages if (found := re.search(r"check sum ([0-9a-f]{8})", page.words))}
    assert sums
    capsys.readouterr()
    for one in list(sums)[:6]:
        assert main(["book", str(show), "--verify", one]) == 0
        assert "this paper is true" in capsys.readouterr().out


def test_a_sum_of_old_paper_says_which_sheets_differ(
    show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert book(show, tmp_path / "out", "--json") == 0
    old = document(capsys)
    change(show)
    assert main(["book", str(show), "--verify", str(old["sum"]), "--json"]) == 1
    view = document(capsys)
    assert view["state"] == "superseded"
    assert view["changed"]
    sheets = {str(one["sheet"]): str(one["sum"]) for one in old["sheets"]}  # type: ignore[attr-defined]
    changed = str(view["changed"][0])  # type: ignore[index]
    if changed in sheets:
        assert main(["book", str(show), "--verify", sheets[changed]]) == 1
        assert "The folder has changed since" in capsys.readouterr().out
    assert main(["book", str(show), "--verify", "ffffffff"]) == 1


def test_a_single_sheet_from_the_command_sheet_is_verified_by_the_same_sums(
    show: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["sheet", str(show), "SB-1", "--json"]) == 0
    content = document(capsys)["title"]["content"]  # type: ignore[index]
    assert main(["book", str(show), "--verify", str(content)]) == 0


def test_a_sign_without_a_glyph_is_named_with_its_cell(
    show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change(show)
    path = show / "lines.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("somebody else", "somebody 🎤"), encoding="utf-8")
    assert book(show, tmp_path / "out", "--json") == 0
    (found,) = [one for one in document(capsys)["findings"] if one["id"].startswith("glyph-missing")]  # type: ignore[attr-defined]
    assert found["place"].startswith("lines.csv:2:")
    assert "U+1F3A4 MICROPHONE" in found["message"]
    assert main(["book", str(show), "--out", str(tmp_path / "two")]) == 0


def test_a_table_alone_makes_a_book_without_a_register(
    show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert book(show / "lines.csv", tmp_path / "out") == 0
    assert "no register" in capsys.readouterr().out
    assert not (show / "log").exists()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--time", "noon"], "is no time"),
        (["--paper", "a3"], "no paper"),
        (["--labels", "9x9"], "not known"),
        (["--label-start", "25"], "no label of a sheet"),
        (["--time", "9999-99-99"], "is no time"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_before_anything_is_written(
    show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], more: list[str], words: str
) -> None:
    assert main(["book", str(show), "--out", str(tmp_path / "out"), *more]) == 2
    assert words in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
    assert not (show / "log").exists()


def test_it_must_be_said_where_the_book_goes(show: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["book", str(show)]) == 2
    assert "--out" in capsys.readouterr().err


def test_a_file_in_the_way_is_left_as_it_is(show: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "out").write_text("mine", encoding="utf-8")
    assert book(show, tmp_path / "out") == 2
    assert "cannot be written" in capsys.readouterr().err
    assert (tmp_path / "out").read_text(encoding="utf-8") == "mine"


def limited(show: Path, out: Path, most: int) -> subprocess.CompletedProcess[str]:
    """Run the command where no file may grow beyond `most` bytes: the disk is full (setrlimit, POSIX)."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    code = "import signal, sys; signal.signal(signal.SIGXFSZ, signal.SIG_IGN); from tailboard.cli.main import main; sys.exit(main(sys.argv[1:]))"
    return subprocess.run(
        [sys.executable, "-B", "-c", code, "book", str(show), "--out", str(out), "--time", TIME],
        env={**os.environ, "PYTHONPATH": str(SOURCE)}, preexec_fn=limit, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_a_full_disk_leaves_no_half_file(show: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    found = limited(show, out, 20_000)
    assert found.returncode == 2, found.stderr
    assert "cannot be written" in found.stderr
    assert "Traceback" not in found.stderr
    assert not out.exists()
    assert not (show / "log").exists()
    assert book(show, out) == 0
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    change(show)
    assert limited(show, out, 20_000).returncode == 2
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user may enter, unlike those of pytest."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


@pytest.mark.skipif(os.geteuid() == 0 and not shutil.which("setpriv"), reason="root may write anywhere")
def test_a_folder_that_cannot_be_written_is_said_in_words(show: Path, open_folder: Path) -> None:
    shutil.copytree(show, open_folder / "show")
    out = open_folder / "out"
    out.mkdir(mode=0o555)
    become = ["setpriv", "--reuid=65534", "--clear-groups"] if os.geteuid() == 0 else []
    code = "import sys; from tailboard.cli.main import main; sys.exit(main(sys.argv[1:]))"
    found = subprocess.run(
        [*become, sys.executable, "-B", "-c", code, "book", str(open_folder / "show"), "--out", str(out)],
        env={**os.environ, "PYTHONPATH": str(SOURCE)}, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert found.returncode == 2
    assert "cannot be written: Permission denied; nothing was changed" in found.stderr
    assert not list(out.iterdir())
