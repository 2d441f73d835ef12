"""`fails`: what one failure takes and what to do, the table of all, and how names are found."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from cli.shell import ROOT, SMALL, one_sentence, run, write
from support.draft import Draft
from tailboard.views.fails import FailsView, FailuresView

MEDIUM = ROOT / "examples" / "medium"


def view(show: Path, *names: str) -> FailsView:
    ran = run("fails", show, *names, "--json")
    assert ran.code == 0, ran
    found: FailsView = json.loads(ran.out)
    assert found["schema"] == "tailboard/fails/1"
    return found


def lost(found: FailsView, sort: str) -> list[str]:
    return next(part["names"] for part in found["lost"] if part["sort"] == sort)


def edited(folder: Path, *edits: tuple[str, str, str]) -> Path:
    draft = Draft.example()
    for edit in edits:
        draft.sub(*edit)
    return write(folder / "show", draft.files)


def test_a_strand_names_its_spare_its_clock_and_what_goes_on() -> None:
    found = view(SMALL, "F-01")
    assert (found["thing"], found["words"]) == ("cable F-01", "F-01")
    assert found["place"] is not None
    assert found["place"]["text"].strip().startswith("F-01: {from: SW-T/S1, to: SW-B/S1")
    assert lost(found, "lines") == [str(number) for number in range(1, 17)]
    assert lost(found, "stations") == ["S-SM", "S-A2", "S-SP"]
    assert found["clock"] == ["SB-1 leads itself then, instead of CON-1 (AUDIO, domain 0)"]
    assert found["do"][0] == (
        "plug F-02 (SW-T/S2 - SW-B/S2) for F-01, open SW-T/S2 and SW-B/S2 (shut now);"
        " it shares drum D-1, so look first whether it is whole"
    )
    assert found["do"][1] == "no help: the reserve is lost too: 7 (of 6)"


def test_a_drum_takes_the_spare_too() -> None:
    found = view(SMALL, "D-1")
    assert found["takes"] == ["F-01", "F-02"]
    assert "no help: the spare F-02 of F-01 is on drum D-1 too" in found["do"]


def test_a_jack_names_the_reserve_and_the_next_free_jack() -> None:
    found = view(SMALL, "SB-1/6")
    assert lost(found, "lines") == ["6"]
    assert found["do"] == [
        "take line 7 LECT for line 6 PRES RF, CON-1/7",
        "plug into SB-1/17 instead (free: 17..24), and patch it so",
    ]
    assert found["no_reserve"] == []


def test_a_switch_port_names_a_port_to_move_to() -> None:
    found = view(SMALL, "SW-B/1")
    assert "move C-01 from SW-B/1 to SW-B/8; set it as SW-B/1 first, it is shut now" in found["do"]


def test_a_panel_names_another_station_at_the_place() -> None:
    found = view(SMALL, "PNL-1")
    assert lost(found, "stations") == ["S-DIR"]
    assert "talk by S-PRO (producer) at gallery for S-DIR" in found["do"]


def test_an_idle_device_of_the_same_kind_takes_its_place(tmp_path: Path) -> None:
    show = edited(tmp_path, ("rig.yaml", "  REC-1:\n", "  SB-9: {kind: stage-box-24x12, case: C-9}\n  REC-1:\n"))
    assert "put SB-9 in its place: the same kind, not in use" in view(show, "SB-1")["do"]


def test_a_place_names_what_runs_on_by_its_battery(tmp_path: Path) -> None:
    show = edited(tmp_path, ("rig.yaml", "    kind: recorder-32\n", "    kind: recorder-32\n    UPS: 12 min\n"))
    found = view(show, "booth")
    assert found["battery"] == ["REC-1: 12 min"]
    assert "REC-1" not in found["takes"]


def test_what_nobody_needs_is_said_so() -> None:
    ran = run("fails", SMALL, "CAM-1", "--plain")
    assert "every line, feed, station and interrupt" in ran.out
    assert "Do this" not in ran.out


def test_where_nothing_takes_over_it_is_said() -> None:
    assert "Nothing in the plan takes over: repair or replace it." in run("fails", SMALL, "REC-1").out


def test_what_is_broken_anyway_is_told_apart(tmp_path: Path) -> None:
    show = edited(tmp_path, ("show.yaml", "M-07: {from: line 7, to: SB-1/7}", "M-07: {from: line 7, to: SB-1/7, state: laid}"))  # fmt: skip
    found = view(show, "SB-1")
    assert found["before"] == ["line 7"]
    assert "Not as planned anyway, see 'check': line 7" in run("fails", show, "SB-1").out


@pytest.mark.parametrize("name", ["SB-1", "wing", "place wing", "6", "line 6", "supply HALL", "stream ST-1"])
def test_names_as_people_write_them(name: str) -> None:
    apart, quoted = run("fails", SMALL, *name.split(" ")), run("fails", SMALL, name)
    assert quoted.code == 0
    assert quoted.out.startswith("Without ")
    assert apart.out == quoted.out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((SMALL, "CON1"), "nothing in this show that can fail is called 'CON1'; did you mean 'CON-1'?"),
        ((SMALL, "place wnig"), "did you mean 'place wing'?"),
        ((SMALL, "the moon"), "name a device, cable, drum, route, supply, place, port, stream, jack or line"),
        ((MEDIUM, "BP8"), "'BP8' is more than one thing; say 'place BP8' or 'route BP8'"),
        ((SMALL, "a", "b", "c"), "one name too many"),
    ],
)
def test_what_cannot_be_named_is_said_in_a_sentence(arguments: tuple[Any, ...], words: str) -> None:
    assert words in one_sentence(run("fails", *arguments))


def test_small_letters_and_blanks_do_not_matter() -> None:
    assert run("fails", SMALL, "sb-1").out == run("fails", SMALL, "SB-1").out


def test_alone_it_lists_the_worst_first() -> None:
    ran = run("fails", MEDIUM, "--json")
    table: FailuresView = json.loads(ran.out)
    assert table["schema"] == "tailboard/failures/1"
    rows = table["failures"]
    assert rows[0] == {
        "thing": "supply gen", "words": "supply gen", "lines": 84, "feeds": 46, "stations": 20, "interrupts": 21,
        "no_reserve": 84, "instead": "",
    }  # fmt: skip
    sums = [row["lines"] + row["feeds"] + row["stations"] + row["interrupts"] for row in rows]
    assert sums == sorted(sums, reverse=True)
    assert min(sums) > 0
    assert not [row for row in rows if row["thing"].startswith(("port ", "stream "))]
    everything: FailuresView = json.loads(run("fails", MEDIUM, "--json", "--all").out)
    assert [row for row in everything["failures"] if row["thing"] == "port SW-T/1"]
    by_thing = {row["thing"]: row for row in rows}
    assert by_thing["cable F-01"]["instead"] == "plug F-04"


@pytest.mark.parametrize("width", [40, 60, 80])
@pytest.mark.parametrize("name", [(), ("F-01",), ("BP4",)])
def test_no_line_is_wider_than_the_page(width: int, name: tuple[str, ...]) -> None:
    ran = run("fails", MEDIUM, *name, "--width", str(width))
    assert max(map(len, ran.out.splitlines())) <= width


def test_a_lone_list_has_an_answer(tmp_path: Path) -> None:
    show = write(tmp_path / "lone", {"lines.csv": "line,label,hole,strip,reserve\n1,A,SB-1/1,CON-1/1,2\n2,B,SB-1/2,CON-1/2,\n"})  # fmt: skip
    assert "Nothing: no line" in run("fails", show).out
    assert "take line 2 B for line 1 A, CON-1/2" in run("fails", show, "SB-1/1").out
