"""`new`: an empty show, the next show from the last, a show from a list; nothing is ever overwritten."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path

import pytest
import xlsxwriter

from cli.shell import SMALL, one_sentence, run, stream, write
from support.draft import Draft
from tailboard.edits.newfolder import write_folder
from tailboard.edits.yamltext import UnreadableError, changed

LIST = "Kanal;Quelle;Mikrofon;Box;Patch;48V;Bemerkung\n1;Klavier;Niere;SB-1;3;ja;vorn links\n2;Stimme;;SB-1;4;nein;\n"
MAP = "Kanal=line,Quelle=source,Mikrofon=-,Box=box,Patch=hole,Bemerkung=note"


def rows(folder: Path) -> list[list[str]]:
    return list(csv.reader(io.StringIO((folder / "lines.csv").read_text(encoding="utf-8"))))


def verdict(folder: Path) -> str:
    return str(json.loads(run("check", folder, "--json").out)["verdict"])


def test_a_new_show_is_ready(tmp_path: Path) -> None:
    folder = tmp_path / "quayside"
    ran = run("new", folder, "--title", "Quayside: a night", "--date", "2027-05-01")
    assert ran.code == 0
    view = json.loads(run("check", folder, "--json").out)
    assert view["verdict"] == "ready"
    assert view["show"]["title"] == "Quayside: a night"
    assert view["show"]["date"] == "2027-05-01"
    assert view["claims"]["holds"] > 20
    assert "#" in (folder / "show.yaml").read_text()


def test_a_new_show_without_a_title_has_the_folders_name(tmp_path: Path) -> None:
    run("new", tmp_path / "quayside")
    text = (tmp_path / "quayside" / "show.yaml").read_text()
    assert 'title: "quayside"' in text
    assert "date:  " in text


def test_an_empty_folder_may_be_filled(tmp_path: Path) -> None:
    (tmp_path / "x").mkdir()
    assert run("new", tmp_path / "x").code == 0


@pytest.mark.parametrize("origin", [(), ("--from", str(SMALL))])
def test_a_folder_that_holds_anything_is_refused(tmp_path: Path, origin: tuple[str, ...]) -> None:
    write(tmp_path, {"notes.txt": "mine"})
    assert "left as it is" in one_sentence(run("new", tmp_path, *origin))
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]
    assert "left as it is" in one_sentence(run("new", tmp_path / "notes.txt"))


def test_a_folder_that_fails_half_way_is_taken_away_again(tmp_path: Path) -> None:
    (tmp_path / "x").mkdir()
    with pytest.raises(OSError):  # noqa: PT011  which one depends on the system
        write_folder(tmp_path / "x" / "y", {"a.txt": b"1", "b/c.txt": b"2", "b": b"3"})
    assert list((tmp_path / "x").iterdir()) == []


def test_the_next_show_from_the_last(tmp_path: Path) -> None:
    folder = tmp_path / "next"
    ran = run("new", folder, "--from", SMALL, "--date", "2027-11-27", "--title", "Spring recital")
    assert ran.code == 0
    assert "found/" in ran.out
    view = json.loads(run("check", folder, "--json").out)
    assert view["show"] == {"title": "Spring recital", "date": "2027-11-27", "version": "1", "edition": 1}
    assert view["counts"]["error"] == 0
    for name in ("lines.csv", "buses.csv", "feeds.csv", "comms.csv", "hearing.csv", "rig.yaml"):
        assert (folder / name).read_bytes() == (SMALL / name).read_bytes()
    assert not (folder / "found").exists()


def test_what_was_accepted_and_confirmed_waits_as_a_comment(tmp_path: Path) -> None:
    run("new", tmp_path / "next", "--from", SMALL, "--date", "2027-11-27")
    text = (tmp_path / "next" / "show.yaml").read_text()
    assert "\naccepted:" not in text
    assert "\nconfirmed:" not in text
    assert "# accepted:" in text
    assert "#   CF-4: {what:" in text
    assert json.loads(run("check", tmp_path / "next", "--json").out)["accepted"] == []


def test_comments_and_order_of_the_last_show_are_kept(tmp_path: Path) -> None:
    old = (SMALL / "show.yaml").read_text().splitlines()
    run("new", tmp_path / "next", "--from", SMALL, "--date", "2027-11-27")
    new = (tmp_path / "next" / "show.yaml").read_text().splitlines()
    assert "# Which cable runs where." in new
    kept = [line for line in new if line and line in old]
    assert kept == [line for line in old if line and line in new]
    assert set(old) - set(new) <= {line for line in old if "date:" in line} | set(old[old.index("accepted:") :])


def test_a_rig_that_all_shows_share_is_found_from_the_new_folder(tmp_path: Path) -> None:
    example = Draft.example().sub("show.yaml", "rig: rig.yaml", "rig: ../rig.yaml")
    write(tmp_path / "season" / "one", {name: text for name, text in example.files.items() if name != "rig.yaml"})
    write(tmp_path / "season", {"rig.yaml": example.files["rig.yaml"]})
    run("new", tmp_path / "season" / "two", "--from", tmp_path / "season" / "one", "--date", "2027-12-01")
    run("new", tmp_path / "away" / "three", "--from", tmp_path / "season" / "one", "--date", "2027-12-01")
    for folder, rig in (("season/two", '"../rig.yaml"'), ("away/three", '"../../season/rig.yaml"')):
        assert f"rig: {rig}" in (tmp_path / folder / "show.yaml").read_text()
        assert json.loads(run("check", tmp_path / folder, "--json").out)["counts"]["error"] == 0
        assert not (tmp_path / folder / "rig.yaml").exists()


def test_a_last_show_that_is_no_yaml_is_refused(tmp_path: Path) -> None:
    write(tmp_path / "last", {"show.yaml": "devices: [\n"})
    assert "cannot be taken on" in one_sentence(run("new", tmp_path / "next", "--from", tmp_path / "last"))
    assert not (tmp_path / "next").exists()


def test_a_last_show_of_one_table_is_taken_on(tmp_path: Path) -> None:
    write(tmp_path / "last", {"lines.csv": "line,label\n1,A\n", "poster.pdf": "x"})
    ran = run("new", tmp_path / "next", "--from", tmp_path / "last", "--date", "2027-01-02")
    assert "poster.pdf" in ran.out
    assert sorted(path.name for path in (tmp_path / "next").iterdir()) == ["lines.csv", "show.yaml"]


def test_a_list_becomes_lines(tmp_path: Path) -> None:
    write(tmp_path, {"list.csv": LIST})
    assert run("new", tmp_path / "show", "--from", tmp_path / "list.csv", "--map", MAP).code == 0
    assert rows(tmp_path / "show") == [
        ["line", "source", "hole", "48V", "note Mikrofon", "note Bemerkung"],
        ["1", "Klavier", "SB-1/3", "on", "Niere", "vorn links"],
        ["2", "Stimme", "SB-1/4", "off", "", ""],
    ]
    assert verdict(tmp_path / "show") == "ready"


def test_an_unknown_column_needs_an_answer(tmp_path: Path) -> None:
    write(tmp_path, {"list.csv": LIST})
    sentence = one_sentence(run("new", tmp_path / "show", "--from", tmp_path / "list.csv", "--map", "Kanal=line"))
    assert "'Quelle', 'Mikrofon', 'Patch', 'Bemerkung'" in sentence
    assert '--map "Quelle=source,Mikrofon=note,Patch=hole,Bemerkung=note"' in sentence
    assert not (tmp_path / "show").exists()


def test_at_a_terminal_each_unknown_column_is_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path, {"list.csv": LIST})
    replies = iter(("", "source", "-", "whatever", "hole", "note"))
    asked = []

    def reply(question: str) -> str:
        asked.append(question)
        return next(replies)

    monkeypatch.setattr("builtins.input", reply)
    monkeypatch.setattr(sys, "stdin", stream("utf-8", terminal=True))
    ran = run("new", tmp_path / "show", "--from", tmp_path / "list.csv")
    assert ran.code == 0
    assert asked[0] == "Column 'Kanal' holds 1, 2. Which field is it? [line] "
    assert "a line has no field 'whatever'" in ran.out
    assert rows(tmp_path / "show")[0] == ["line", "source", "hole", "48V", "note Mikrofon", "note Bemerkung"]


def test_questions_that_nobody_answers_write_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def end(_: str) -> str:
        raise EOFError

    write(tmp_path, {"list.csv": LIST})
    monkeypatch.setattr("builtins.input", end)
    monkeypatch.setattr(sys, "stdin", stream("utf-8", terminal=True))
    assert "not answered" in one_sentence(run("new", tmp_path / "show", "--from", tmp_path / "list.csv"))
    assert not (tmp_path / "show").exists()


@pytest.mark.parametrize(
    ("mapping", "words"),
    [
        ("Kanal", "has no '='"),
        ("Kana=line", "did you mean 'Kanal'?"),
        ("Kanal=lines", "did you mean 'line'?"),
        ("Kanal=line,Quelle=line,Mikrofon=-,Box=-,Patch=-,Bemerkung=-", "cannot both be 'line'"),
    ],
)
def test_a_faulty_map_is_refused(tmp_path: Path, mapping: str, words: str) -> None:
    write(tmp_path, {"list.csv": LIST})
    assert words in one_sentence(run("new", tmp_path / "show", "--from", tmp_path / "list.csv", "--map", mapping))


def test_rows_without_numbers_are_numbered(tmp_path: Path) -> None:
    write(tmp_path, {"list.csv": "source,label\npiano,PNO\nvoice,VOX\n"})
    run("new", tmp_path / "show", "--from", tmp_path / "list.csv")
    assert rows(tmp_path / "show") == [["line", "source", "label"], ["1", "piano", "PNO"], ["2", "voice", "VOX"]]


def test_a_workbook_is_a_list_too(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "list.xlsx") as book:
        for name, values in (("Cover", ["x"]), ("Input", ["Ch", "Instrument"])):
            book.add_worksheet(name).write_row(0, 0, values)
        book.get_worksheet_by_name("Input").write_row(1, 0, ["1", "piano"])
    assert "say which with --sheet: Cover, Input" in one_sentence(
        run("new", tmp_path / "a", "--from", tmp_path / "list.xlsx")
    )
    ran = run(
        "new",
        tmp_path / "a",
        "--from",
        tmp_path / "list.xlsx",
        "--sheet",
        "Input",
        "--map",
        "Ch=line,Instrument=source",
    )
    assert ran.code == 0
    assert rows(tmp_path / "a") == [["line", "source"], ["1", "piano"]]


@pytest.mark.parametrize(
    ("files", "origin", "words"),
    [
        ({}, "none.csv", "there is no folder and no list"),
        ({"a.txt": "x"}, "a.txt", "neither the folder of a show nor a list"),
        ({"a.csv": ""}, "a.csv", "empty"),
    ],
)
def test_an_origin_that_is_none_is_refused(tmp_path: Path, files: dict[str, str], origin: str, words: str) -> None:
    write(tmp_path, files)
    assert words in one_sentence(run("new", tmp_path / "show", "--from", tmp_path / origin))


def test_a_day_that_is_none_is_refused(tmp_path: Path) -> None:
    assert "no day" in one_sentence(run("new", tmp_path / "x", "--date", "soon"))


def test_values_that_yaml_would_guess_at_stay_as_written() -> None:
    """The words of YAML 1.1 and 1.2 that other readers turn into something else (YAML 1.2.2, section 10)."""
    text = "a: off\nb: 1_000\nc: 0o14\nd: 010\ne: 1e3\nf: 12:30\nh: 2027-11-20\ni: 48.10\nj: 0x1F\nk: '7'\nl: +4 dBu\n"
    assert changed(text, {"title": "x"})[0] == text + 'title: "x"\n'
    with pytest.raises(UnreadableError):
        changed("- a\n- b\n", {})
