"""Every fault of reading fields and files, with the example of its document: found at its place, silent when mended."""

from __future__ import annotations

import random
from dataclasses import dataclass

import pytest

from support.draft import Draft
from tailboard.findings import Finding, Rule
from tailboard.model import reading
from tailboard.text import misfits

DEVICE = "devices: {SW-T: {kind: switch-16-copper-4-sfp}}\nvlans: {AUDIO: {id: 20}}\n"


@dataclass(frozen=True)
class Case:
    """A faulty text, where and how it is found, and the mended text."""

    rule: Rule
    files: dict[str, str]
    spot: str
    words: tuple[str, ...]
    mended: dict[str, str]


CASES = (
    Case(
        misfits.KEY_UNKNOWN,
        {"show.yaml": DEVICE + "switches:\n  SW-T:\n    1: {acces: AUDIO}\n"},
        "show.yaml:5:9",
        ("acces", "access", "SW-T/1"),
        {"show.yaml": DEVICE + "switches:\n  SW-T:\n    1: {access: AUDIO}\n"},
    ),
    Case(
        misfits.KEY_UNKNOWN,
        {"show.yaml": "vlnas: {}\n"},
        "show.yaml:1:1",
        ("vlnas", "vlans"),
        {"show.yaml": "vlans: {}\n"},
    ),
    Case(
        misfits.COLUMN_UNKNOWN,
        {"lines.csv": "line,hol\n1,SB-1/1\n"},
        "lines.csv:1:6",
        ("hol", "hole"),
        {"lines.csv": "line,hole\n1,SB-1/1\n"},
    ),
    Case(
        misfits.VALUE_UNFIT,
        {"show.yaml": "cables: {C-01: {kind: mic, length: 150}}\n"},
        "show.yaml:1:36",
        ("C-01", "150", "unit"),
        {"show.yaml": "cables: {C-01: {kind: mic, length: 150 m}}\n"},
    ),
    Case(
        misfits.VALUE_MISSING,
        {"show.yaml": "places: {booth: {}}\ndevices:\n  REC-1: {place: booth}\n"},
        "show.yaml:3:3",
        ("REC-1", "kind"),
        {"show.yaml": "places: {booth: {}}\ndevices:\n  REC-1: {place: booth, kind: recorder-32}\n"},
    ),
    Case(
        misfits.VALUE_MISSING,
        {"show.yaml": DEVICE + "stands: {SB-9: wing}\nplaces: {wing: {}}\n"},
        "show.yaml:3:10",
        ("SB-9", "stands"),
        {"show.yaml": DEVICE + "stands: {SW-T: wing}\nplaces: {wing: {}}\n"},
    ),
    Case(
        misfits.FORM_WRONG,
        {"show.yaml": "vlans: [AUDIO, MGMT]\n"},
        "show.yaml:1:8",
        ("vlans", "name"),
        {"show.yaml": "vlans: {AUDIO: {id: 20}, MGMT: {id: 10}}\n"},
    ),
    Case(
        misfits.NAME_TWICE,
        {"lines.csv": "line,label\n7,LECT\n8,HSE\n7,LECT B\n"},
        "lines.csv:4:1",
        ("7", "twice", "lines.csv:2"),
        {"lines.csv": "line,label\n7,LECT\n8,HSE\n9,LECT B\n"},
    ),
    Case(
        misfits.NAME_TWICE,
        {"show.yaml": "places: {a-1..3: {}, a-2: {}}\n"},
        "show.yaml:1:22",
        ("a-2", "twice"),
        {"show.yaml": "places: {a-1..3: {}, a-4: {}}\n"},
    ),
    Case(
        misfits.NAME_UNKNOWN,
        {"show.yaml": "places: {wing: {}}\ndevices: {SB-1: {kind: stage-box-24x12, place: wng}}\n"},
        "show.yaml:2:48",
        ("wng", "did you mean wing"),
        {"show.yaml": "places: {wing: {}}\ndevices: {SB-1: {kind: stage-box-24x12, place: wing}}\n"},
    ),
    Case(
        reading.FORMAT_NEWER,
        {"show.yaml": "title: a show\nformat: 9\n"},
        "show.yaml:2:9",
        ("9", "newer"),
        {"show.yaml": "title: a show\nformat: 1\n"},
    ),
    Case(
        reading.RIG_LOOP,
        {"show.yaml": "rig: rig.yaml\n", "rig.yaml": "rig: base.yaml\n", "base.yaml": "rig: rig.yaml\n"},
        "base.yaml:1:6",
        ("rig.yaml", "base.yaml"),
        {"show.yaml": "rig: rig.yaml\n", "rig.yaml": "rig: base.yaml\n", "base.yaml": "title: base\n"},
    ),
    Case(
        reading.SHOW_EMPTY,
        {"readme.txt": "nothing here"},
        "show.yaml",
        ("neither", "lines.csv"),
        {"readme.txt": "nothing here", "lines.csv": "line\n1\n"},
    ),
)


def reported(files: dict[str, str], rule: Rule) -> list[Finding]:
    """Return the findings of one rule."""
    return [finding for finding in Draft(files).read().findings if finding.rule == rule.name]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule.name}-{case.spot}")
def test_the_documented_example_is_found_at_its_place(case: Case) -> None:
    (finding,) = reported(case.files, case.rule)
    assert str(finding.spot) == case.spot
    assert all(word in f"{finding.message} {finding.fix}" for word in case.words), finding
    assert finding.fix
    assert finding.severity is case.rule.severity


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule.name}-{case.spot}")
def test_the_mended_text_is_silent(case: Case) -> None:
    assert [finding.message for finding in Draft(case.mended).read().findings] == []


def test_every_rule_of_this_kind_has_an_example_here() -> None:
    assert {rule.name for rule in (*misfits.RULES, *reading.RULES)} == {case.rule.name for case in CASES}


@pytest.mark.parametrize(
    ("old", "new", "meant"),
    [
        ("place: rack", "place: rak", "rack"),
        ("kind: console-96", "kind: console96", "console-96"),
        ("gateway: RTR-1", "gateway: RTR1", "RTR-1"),
        ("  5: camera", "  5: {access: IPCAMM}", "IPCAM"),
        ("S1: {optic: O1S-D}", "S1: {optic: O1S-DD}", "O1S-D"),
        ("C-05: {kind: cat solid", "C-05: {kind: cat sold", "cat solid"),
        ("from: SW-T/9", "from: SWT/9", "SW-T"),
        ("SW-B: 10.41.20.3}", "SW-BB: 10.41.20.3}", "SW-B"),
    ],
)
def test_a_misspelt_name_is_found_with_the_right_one_beside_it(old: str, new: str, meant: str) -> None:
    draft = Draft.example()
    text = draft.files["rig.yaml"]
    draft.files["rig.yaml"] = text.replace(old, new, 1)
    assert draft.files["rig.yaml"] != text
    findings = [finding for finding in draft.read().findings if finding.rule == "name-unknown"]
    assert any(f"did you mean {meant}" in finding.message for finding in findings), findings
    assert all(finding.spot.file == "rig.yaml" and finding.spot.line for finding in findings)


def test_a_slip_of_the_finger_in_any_cell_of_a_name_is_found() -> None:
    """In each table some cells name other things; a name with a strange sign at its end is found with its row."""
    rng = random.Random(2)
    named = {
        "lines": ("place", "type", "hole", "gain owner", "pair"),
        "feeds": ("place", "mix", "output"),
        "buses": ("device",),
    }
    for table, columns in named.items():
        for column in columns:
            draft = Draft.example()
            index = draft.rows(table)[0].index(column)
            rows = [row for row in draft.rows(table)[1:] if row[index] and ".." not in row[index]]
            row = rng.choice(rows)
            draft.cell(table, row[0], column, draft.get(table, row[0], column) + "q")
            findings = [finding for finding in draft.read().findings if finding.rule == "name-unknown"]
            assert [finding.spot.file for finding in findings] == [f"{table}.csv"], (table, column, row)
            assert row[0] in findings[0].message
