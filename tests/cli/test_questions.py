"""`questions` as a command: pages, one person, JSON, files that are never written over."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.shell import run, write
from support.draft import Draft


@pytest.fixture
def show(tmp_path: Path) -> Path:
    """The small show without anything confirmed."""
    files = Draft.example().files
    files["show.yaml"] = files["show.yaml"].partition("\nconfirmed:\n")[0] + "\n"
    write(tmp_path / "show", files)
    return tmp_path / "show"


def test_every_person_has_a_page(show: Path) -> None:
    ran = run("questions", "show", cwd=show.parent)
    assert ran.code == 0
    assert [line for line in ran.out.splitlines() if line.startswith("Questions to")] == [
        "Questions to house audio", "Questions to the client", "Questions to ourselves",
    ]  # fmt: skip
    assert max(map(len, ran.out.splitlines())) <= 80
    assert run("questions", cwd=show).out == ran.out


def test_one_person_alone(show: Path) -> None:
    for arguments, folder in ((("show", "client"), show.parent), (("client",), show), (("Clien",), show)):
        ran = run("questions", *arguments, cwd=folder)
        assert ran.code == 0
        assert ran.out.startswith("Questions to the client\n")
        assert ran.out.count("Questions to") == 1
    assert "No questions to IT" in run("questions", "show", "IT", cwd=show.parent).out


def test_somebody_else_is_refused_in_one_sentence(show: Path) -> None:
    ran = run("questions", "show", "the weather", cwd=show.parent)
    assert ran.code == 2
    assert ran.err == (
        "tailboard: 'the weather' is nobody to ask; there are house audio, IT, electrician, client, ourselves\n"
    )
    assert run("questions", "no-such-show", "client", cwd=show.parent).code == 2


def test_json_holds_the_same_questions(show: Path) -> None:
    document = json.loads(run("questions", "show", "--json", cwd=show.parent).out)
    assert document["schema"] == "tailboard/questions/1"
    assert [person["who"] for person in document["people"]] == ["house audio", "client", "ourselves"]
    (question,) = document["people"][1]["questions"]
    assert question["name"] == "LAP-S one interface"
    assert question["rests"] == ["two-interfaces-bridge:LAP-S"]
    assert question["place"]["file"] == "show.yaml"
    assert "LAP-S one interface: {as planned: , answer: }" in document["people"][1]["text"]


def test_the_pages_are_written_one_file_a_person(show: Path) -> None:
    ran = run("questions", "show", "--out", "pages", cwd=show.parent)
    assert ran.code == 0, ran.err
    written = sorted(path.name for path in (show.parent / "pages").iterdir())
    assert written == ["questions-client.txt", "questions-house-audio.txt", "questions-ourselves.txt"]
    for name in written:
        assert name in ran.out
    whole = run("questions", "show", cwd=show.parent).out
    assert (show.parent / "pages" / "questions-client.txt").read_text(encoding="utf-8") in whole


def test_no_file_is_written_over_and_none_beside_it(show: Path) -> None:
    pages = show.parent / "pages"
    pages.mkdir()
    (pages / "questions-ourselves.txt").write_text("mine\n", encoding="utf-8")
    ran = run("questions", "show", "--out", "pages", cwd=show.parent)
    assert ran.code == 2
    assert "questions-ourselves.txt exists already and is left as it is" in ran.err
    assert [path.name for path in pages.iterdir()] == ["questions-ourselves.txt"]
    assert (pages / "questions-ourselves.txt").read_text(encoding="utf-8") == "mine\n"


def test_a_link_to_nowhere_counts_as_a_file(show: Path) -> None:
    pages = show.parent / "pages"
    pages.mkdir()
    (pages / "questions-client.txt").symlink_to(show.parent / "elsewhere.txt")
    assert run("questions", "show", "client", "--out", "pages", cwd=show.parent).code == 2
    assert not (show.parent / "elsewhere.txt").exists()


def test_a_folder_that_cannot_be_made_is_said(show: Path) -> None:
    (show.parent / "taken").write_text("a file\n", encoding="utf-8")
    for target in ("taken", "no/such"):
        ran = run("questions", "show", "--out", target, cwd=show.parent)
        assert ran.code == 2
        assert "cannot be written" in ran.err
        assert "Traceback" not in ran.err


def test_a_show_without_questions_writes_nothing(tmp_path: Path) -> None:
    write(tmp_path / "show", {"show.yaml": "format: 1\n", "lines.csv": "line,source,place,label,type\n"})
    ran = run("questions", "show", "--out", "pages", cwd=tmp_path)
    assert ran.code == 0
    assert ran.out.startswith("No questions")
    assert not (tmp_path / "pages").exists()


def test_the_lines_it_prints_answer_it(show: Path) -> None:
    """The page is copied as it stands, filled in, and read back."""
    page = run("questions", "show", "client", cwd=show.parent).out
    lines = [line.removeprefix("  ") for line in page.partition("words:\n")[2].splitlines()]
    text = (
        "\n".join(lines)
        .replace("{by: , on: ,", "{by: stage manager, on: 2027-11-19,")
        .replace("planned: ,", "planned: yes,")
    )
    (show / "found" / "answers-client.yaml").write_text(text + "\n", encoding="utf-8")
    assert "No questions to the client" in run("questions", "show", "client", cwd=show.parent).out
    assert run("check", "show", cwd=show.parent).code == 0
