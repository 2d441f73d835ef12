"""Changes worked out against a show's files: CSV in place, workbooks beside, clashes shown, the old version kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from support.draft import Draft
from tailboard.edits.changes import Change, Changed, Proposal, propose, save, worse
from tailboard.model.reading import read
from tailboard.text.folder import Folder, Texts
from tailboard.text.safewrite import ChangedOnDisk
from tailboard.text.workbook import write_workbook

LINES = "line,source,label\n# drums\n5,bass drum,KIK\n6,snare,SN\n"


def lone(**more: str | bytes) -> Texts:
    return Texts({"lines.csv": LINES, **{name.replace("_", "."): data for name, data in more.items()}})


def label(files: Texts | Changed, line: str) -> str:
    return read(files).model.lines[line].label


def after(files: Texts, proposal: Proposal) -> Changed:
    return Changed(files, proposal.files)


def test_a_cell_of_a_csv_file_is_changed_in_place() -> None:
    proposal = propose(lone(), [Change("lines", "5", "label", "KICK", "KIK")])
    assert proposal.files == {"lines.csv": LINES.replace("KIK", "KICK").encode()}
    assert proposal.expected == {"lines.csv": LINES.encode()}


def test_a_cell_that_somebody_else_changed_is_a_clash_with_both_texts() -> None:
    proposal = propose(
        lone(), [Change("lines", "5", "label", "KICK", "KD"), Change("lines", "6", "label", "SNR", "SN")]
    )
    assert [(clash.stands, clash.change.was, clash.change.value) for clash in proposal.clashes] == [
        ("KIK", "KD", "KICK")
    ]
    assert proposal.clashes[0].spot.line == 3
    assert proposal.files["lines.csv"] == LINES.replace("SN\n", "SNR\n").encode()


def test_the_same_change_made_twice_is_made_once() -> None:
    once = propose(lone(), [Change("lines", "5", "label", "KICK", "KIK")])
    again = propose(Texts(dict(once.files)), [Change("lines", "5", "label", "KICK", "KIK")])
    assert not again.files
    assert not again.clashes


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Change("lines", "55", "label", "X"), "no row '55'"),
        (Change("feeds", "1", "label", "X"), "no table 'feeds'"),
        (Change("lines", "5", "label", "A\nB"), "line break"),
        (Change("lines", "", "line", "5"), "stands in lines already"),
    ],
)
def test_what_cannot_be_changed_is_refused_in_words(change: Change, words: str) -> None:
    proposal = propose(lone(), [change])
    assert words in proposal.refused[0].why
    assert not proposal.files


def test_rows_come_and_go() -> None:
    changes = [
        Change("lines", "", "line", "7", ""),
        Change("lines", "7", "label", "HH"),
        Change("lines", "6", "line", ""),
    ]
    new = after(lone(), propose(lone(), changes))
    assert {name: line.label for name, line in read(new).model.lines.items()} == {"5": "KIK", "7": "HH"}


def workbook_show(tmp_path: Path) -> Texts:
    path = tmp_path / "show.xlsx"
    write_workbook(path, {"lines": [["line", "source", "label"], ["5", "bass drum", "KIK"], ["6", "snare", "SN"]]})
    return Texts({"show.xlsx": path.read_bytes()})


def test_a_workbook_is_edited_beside_and_never_in_place(tmp_path: Path) -> None:
    files = workbook_show(tmp_path)
    proposal = propose(files, [Change("lines", "5", "label", "KICK", "KIK"), Change("lines", "", "line", "7", "")])
    assert list(proposal.files) == ["changes.csv"]
    new = after(files, proposal)
    assert label(new, "5") == "KICK"
    assert "7" in read(new).model.lines
    assert read(new).model.lines["5"].at.spot("label").file == "changes.csv"
    assert not [found for found in read(new).findings if found.rule.startswith("change-")]


def test_a_second_change_of_a_workbook_cell_goes_on_from_the_first(tmp_path: Path) -> None:
    files = workbook_show(tmp_path)
    first = propose(files, [Change("lines", "5", "label", "KICK", "KIK")])
    both = Texts({**files.files, **first.files})
    second = propose(both, [Change("lines", "5", "label", "BD", "KICK"), Change("lines", "6", "line", "")])
    new = Texts({**both.files, **second.files})
    assert label(new, "5") == "BD"
    assert list(read(new).model.lines) == ["5"]


def test_a_workbook_that_was_changed_meanwhile_is_a_finding_with_both_places(tmp_path: Path) -> None:
    files = workbook_show(tmp_path)
    rows = "table,row,column,was,value\nlines,5,label,KD,KICK\n"
    found = read(Texts({**files.files, "changes.csv": rows})).findings
    assert [item.id for item in found] == ["change-overtaken:lines:5:label"]
    assert found[0].because[0].spot.sheet == "lines"


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("lines,55,label,,X", "no row '55'"),
        ("lines,5,lable,KIK,X", "no column 'lable'"),
        ("feeds,5,label,KIK,X", "is no table"),
        ("lines,5,line,,5", "there already"),
    ],
)
def test_a_change_that_leads_nowhere_is_a_finding(row: str, words: str, tmp_path: Path) -> None:
    files = workbook_show(tmp_path)
    found = read(Texts({**files.files, "changes.csv": f"table,row,column,was,value\n{row}\n"})).findings
    assert [item.rule for item in found] == ["change-leads-nowhere"]
    assert words in found[0].message


def test_changes_to_a_csv_file_are_said_to_belong_into_it() -> None:
    found = read(lone(changes_csv="table,row,column,was,value\nlines,5,label,KIK,X\n")).findings
    assert [item.rule for item in found] == ["change-leads-nowhere"]
    assert "stands in lines.csv" in found[0].message


def test_the_old_version_is_kept_and_a_file_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "lines.csv").write_text(LINES)
    files = Folder(tmp_path)
    proposal = propose(files, [Change("lines", "5", "label", "KICK", "KIK")])
    assert save(tmp_path, proposal) == ["lines.csv"]
    assert (tmp_path / "log/before/lines.csv.before-1").read_text() == LINES
    late = propose(files, [Change("lines", "5", "label", "BD", "KICK")])
    (tmp_path / "lines.csv").write_text("line,source,label\n5,x,y\n")
    with pytest.raises(ChangedOnDisk):
        save(tmp_path, late)
    assert (tmp_path / "lines.csv").read_text() == "line,source,label\n5,x,y\n"


def test_a_change_that_breaks_the_show_is_seen_before_it_is_saved() -> None:
    files = Texts(Draft.example().files)
    proposal = propose(files, [Change("lines", "6", "hole", "SB-1/1")])
    assert any(found.rule == "hole-taken-twice" or "SB-1/1" in found.message for found in worse(files, proposal))
    assert not worse(files, propose(files, [Change("lines", "6", "note", "by the steps")]))
