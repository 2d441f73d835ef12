"""Acts: small tables of what differs, proven each by itself; what leads nowhere is a finding, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.shell import run
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.changeovers import changeovers
from tailboard.model.reading import read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.sheets.audio import act_sheets

ACTS = "act,start,change-over\nfirst half,16:00,\nsecond half,17:00,4 min\n"


def acted(over: str = "", acts: str = ACTS, act: str = "second half", base: Draft | None = None, **more: str) -> Draft:
    draft = (base or Draft.example()).copy()
    draft.files["acts.csv"] = acts
    if over:
        draft.files[f"acts/{act}/lines.csv"] = over
    draft.files |= more
    return draft


def test_an_act_holds_only_what_differs_and_knows_where_it_stands() -> None:
    model = acted("line,hole,48V\n6,SB-1/17,\n7,,off\n").read().model
    act = model.acts["second half"]
    assert (act.lines["6"].hole, act.lines["6"].label) == ("SB-1/17", "PRES RF")
    assert act.lines["7"].phantom is False
    assert str(act.lines["6"].at.spot("hole")) == "acts/second half/lines.csv:2:3"
    assert model.lines["6"].hole == "SB-1/6"
    assert [(one.row, one.column, one.before, one.after) for one in act.changes] == [
        ("6", "hole", "SB-1/6", "SB-1/17"),
        ("7", "48v", "on", "off"),
    ]


def test_a_hyphen_clears_a_cell_and_out_takes_the_row_out() -> None:
    act = acted("line,label,out\n6,-,\n7,,yes\n").read().model.acts["second half"]
    assert act.lines["6"].label in ("", "-")
    assert "7" not in act.lines


@pytest.mark.parametrize("name", ["small", "medium"])
def test_an_act_without_differences_gives_the_claims_of_the_show(name: str) -> None:
    base = Draft.example(name)
    same = acted("line,hole\n" + "".join(f"{row[0]},\n" for row in base.rows("lines")[1:4]), base=base)
    plain, withacts = base.prove(), same.prove()
    assert {(claim.id, claim.status) for claim in plain.claims} == {
        (claim.id, claim.status) for claim in withacts.claims
    }
    assert [found.id for found in plain.findings] == [found.id for found in withacts.findings]


def test_a_fault_of_one_act_is_told_with_its_act_and_once() -> None:
    proof = acted("line,hole\n6,SB-1/1\n").prove()
    ids = [found.id for found in proof.findings if found.rule == "hole-used-twice"]
    assert ids == ["hole-used-twice:SB-1/1@second half"]
    (finding,) = [found for found in proof.findings if found.id == ids[0]]
    assert finding.message.startswith("in act second half: ")
    base = Draft.example().cell("lines", "6", "hole", "SB-1/1")
    both = acted("line,label\n7,LECT 2\n", base=base).prove()
    assert [found.id for found in both.findings if found.rule == "hole-used-twice"] == ["hole-used-twice:SB-1/1"]


def test_a_break_of_one_act_is_accepted_by_its_own_name() -> None:
    draft = acted("line,hole\n6,SB-1/1\n")
    entry = '  - {claim: "hole-used-twice:SB-1/1@second half", because: a splitter, by: A1, on: 2027-11-19}\n'
    draft.files["show.yaml"] = draft.files["show.yaml"].replace("accepted:\n", f"accepted:\n{entry}")
    assert "hole-used-twice:SB-1/1@second half" in draft.prove().accepted


def test_the_order_of_rows_in_an_acts_table_does_not_matter() -> None:
    rows = ["6,SB-1/17\n", "7,SB-1/18\n", "5,SB-1/19\n"]
    one = acted("line,hole\n" + "".join(rows)).read().model.acts["second half"]
    other = acted("line,hole\n" + "".join(reversed(rows))).read().model.acts["second half"]
    assert {name: line.hole for name, line in one.lines.items()} == {
        name: line.hole for name, line in other.lines.items()
    }


HOSTILE = [
    ("line,hole\n66,SB-1/17\n", "lines has no row '66'"),
    ("line,hool\n6,SB-1/17\n", "lines has no column 'hool'"),
    ("line,hole\n6,SB-1/17\n6,SB-1/18\n", "'6' stands twice"),
    ("hole,label\nSB-1/17,X\n", "has no column 'line'"),
]


@pytest.mark.parametrize(("over", "words"), HOSTILE)
def test_what_leads_nowhere_is_a_finding(over: str, words: str) -> None:
    found = [one for one in acted(over).read().findings if one.rule == "act-leads-nowhere"]
    assert found
    assert words in found[0].message
    assert found[0].fix


def test_an_act_that_no_row_names_and_one_too_many() -> None:
    found = acted("line,hole\n6,SB-1/17\n", act="secnd half").read().findings
    assert [(one.rule, one.fix) for one in found if one.rule == "act-leads-nowhere"] == [
        ("act-leads-nowhere", "did you mean 'second half'?")
    ]
    many = "act\n" + "".join(f"a{number}\n" for number in range(200))
    reading = acted(acts=many).read()
    assert len(reading.model.acts) == 60
    assert len([one for one in reading.findings if one.rule == "act-leads-nowhere"]) == 140


@pytest.mark.parametrize("text", ["", "\0\0\0", "line\n", '"', "line,hole\n" + "6," * 5000])
def test_damaged_tables_of_an_act_are_findings(text: str) -> None:
    reading = read(Texts({**acted().files, "acts/second half/lines.csv": text}))
    prove(reading.model, reading.findings)


def test_what_is_wrong_in_the_shows_own_table_is_said_once() -> None:
    base = Draft.example().cell("lines", "6", "gain", "loud")
    reading = acted("line,hole\n7,SB-1/18\n", base=base).read()
    assert len([one for one in reading.findings if one.rule == "value-unfit"]) == 1


def test_the_change_over_lists_what_is_plugged_and_set() -> None:
    draft = acted("line,hole,48V,gain\n6,SB-1/17,,\n7,,off,20 dB\n")
    (one,) = Ask(draft.read().model)(changeovers)
    assert [(doing.row, doing.column, doing.before, doing.after) for doing in one.doings] == [
        ("6", "hole", "SB-1/6", "SB-1/17"),
        ("7", "48V", "on", "off"),
        ("7", "gain", "36 dB", "20 dB"),
    ]
    assert one.replugs == 1
    (sheet,) = act_sheets(Ask(draft.read().model))
    assert [row.cells[0] for row in sheet.tables[0].rows] == ["6", "7", "7"]


def test_commands_answer_for_one_act(tmp_path: Path) -> None:
    folder = tmp_path / "show"
    for name, text in acted("line,hole\n6,SB-1/17\n").files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    sheet = run("sheet", str(folder), "SB-1", "--act", "second half").out
    assert any(line.startswith("17 ") and "PRES RF" in line for line in sheet.splitlines())
    assert "18..24" in run("free", str(folder), "SB-1", "--act", "second half").out
    wrong = run("hears", str(folder), "FD1", "--act", "third half")
    assert wrong.code == 2
    assert "did you mean 'second half'?" in wrong.err or "first half, second half" in wrong.err
