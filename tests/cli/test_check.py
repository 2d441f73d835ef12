"""`check` on the terminal, as JSON and as SARIF: verdict, exit codes, what is loaded, what is never loaded."""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from cli.shell import ROOT, SMALL, environment, one_sentence, process, run, stream, text_of, write
from support.draft import Draft
from tailboard.cli.commands.check import proven
from tailboard.cli.output import Output
from tailboard.cli.shows import chosen
from tailboard.cli.watch import Watched, watch
from tailboard.term.check import Wanted

HEAVY = (
    "numpy",
    "scipy",
    "xlsxwriter",
    "python_calamine",
    "ruamel",
    "jinja2",
    "difflib",
    "html.parser",
    "json",
    "shtab",
)
SARIF = json.loads((ROOT / "tests" / "support" / "sarif_reduced.json").read_text(encoding="utf-8"))

# Two faults with a known place: a misspelt place, and one address for two devices.
BROKEN = {
    **Draft.example()
    .cell("lines", "5", "place", "stge")
    .sub("rig.yaml", "{AUDIO: 10.41.20.21}", "{AUDIO: 10.41.20.10}")
    .files
}
WARNED = Draft.example().cell("lines", "16", "label", "-").files


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    return write(tmp_path / "show", BROKEN)


def document(*arguments: str | Path) -> dict[str, Any]:
    ran = run("check", *arguments, "--json")
    parsed: dict[str, Any] = json.loads(ran.out)
    return parsed


def test_the_example_is_ready() -> None:
    ran = run("check", SMALL)
    assert ran.code == 0
    assert ran.out.startswith(
        "━━━ READY\n    Wickerfield Hall winter recital, 2027-11-20, version 1\n    0 errors, 0 warnings"
    )
    assert ran.err == ""


def test_json_has_what_the_contract_names() -> None:
    view = document(SMALL)
    assert view["schema"] == "tailboard/check/1"
    assert view["verdict"] == "ready"
    assert set(view["claims"]) == {"holds", "holds_if", "broken", "accepted", "open", "none_listed"}
    assert view["claims"]["holds"] > 0
    assert view["claims"]["broken"] == 0
    assert {one["severity"] for one in view["findings"]} <= {"note"}
    assert sum(one["counts"]["holds"] for one in view["families"]) == view["claims"]["holds"]


def test_a_finding_names_place_reason_repair_and_consequences(broken: Path) -> None:
    view = document(broken)
    assert view["verdict"] == "not ready"
    (address,) = [one for one in view["findings"] if one["rule"] == "address-shared"]
    assert set(address) >= {"id", "rule", "severity", "place", "message", "because", "fix", "consequences"}
    assert address["id"].startswith("address-shared:CON-1:SB-1")
    assert address["severity"] == "error"
    assert address["place"]["file"] == "rig.yaml"
    assert "10.41.20.10" in address["place"]["text"]
    assert address["place"]["at"] == f"rig.yaml:{address['place']['line']}:{address['place']['column']}"
    assert address["because"][0]["place"]["file"] == "rig.yaml"
    assert address["fix"]
    (name,) = [one for one in view["findings"] if one["rule"] == "name-unknown"]
    line = (broken / "lines.csv").read_text().splitlines()[name["place"]["line"] - 1]
    begin = name["place"]["column"] - 1
    assert line[begin : begin + name["place"]["width"]] == "stge"


def test_carets_stand_under_the_stretch(broken: Path) -> None:
    lines = run("check", broken).out.splitlines()
    index = next(number for number, line in enumerate(lines) if "5,singer,stge" in line)
    begin = lines[index].index("stge")
    assert lines[index + 1] == " " * begin + "^^^^"


def test_consequences_are_filed_under_their_cause() -> None:
    ids = [one["id"] for one in document(SMALL)["findings"]]
    assert len(ids) == len(set(ids))


def test_exit_codes_follow_the_verdict(broken: Path, tmp_path: Path) -> None:
    assert run("check", broken).code == 1
    warned = write(tmp_path / "warned", WARNED)
    assert document(warned)["verdict"] == "ready with warnings"
    assert run("check", warned).code == 0
    assert run("check", warned, "--strict").code == 1
    open_claims = write(tmp_path / "lone", {"lines.csv": "line,source,hole,strip\n1,voice,SB-1/1,CON-1/1\n"})
    assert document(open_claims)["claims"]["open"] > 0
    assert run("check", open_claims).code == 0
    assert run("check", open_claims, "--strict").code == 1


def test_a_lone_table_is_a_show(tmp_path: Path) -> None:
    folder = write(
        tmp_path,
        {"lines.csv": "line,source,label,hole,strip\n1,voice,VOX,SB-1/1,CON-1/1\n2,piano,PNO,SB-1/1,CON-1/2\n"},
    )
    for show in (folder, folder / "lines.csv"):
        view = document(show)
        assert [one["rule"] for one in view["findings"] if one["severity"] == "error"] == ["hole-used-twice"]
    assert run("check", cwd=folder).code == 1


def test_an_empty_folder_has_a_finding_with_a_place(tmp_path: Path) -> None:
    view = document(tmp_path)
    assert view["verdict"] == "not ready"
    assert [(one["rule"], one["place"]["file"]) for one in view["findings"]] == [("show-empty", "show.yaml")]


def test_a_table_without_rows_is_not_called_ready(tmp_path: Path) -> None:
    write(tmp_path, {"buses.csv": "bus,device,members\n"})
    view = document(tmp_path)
    assert view["claims"] == {"holds": 0, "holds_if": 0, "broken": 0, "accepted": 0, "open": 0, "none_listed": 0}
    assert view["verdict"] != "ready"


def test_what_is_accepted_is_counted_apart_and_named(tmp_path: Path) -> None:
    entry = 'accepted:\n  - {claim: "hole-used-twice:SB-1/1", because: a Y cable, by: mixer, on: 2027-01-02}\n'
    files = {"show.yaml": f"format: 1\ntitle: T\n{entry}", "lines.csv": "line,label,hole\n1,A,SB-1/1\n2,B,SB-1/1\n"}
    view = document(write(tmp_path, files))
    assert view["claims"]["accepted"] == 1
    assert not [one for one in view["findings"] if one["rule"] == "hole-used-twice"]
    (accepted,) = view["accepted"]
    assert (accepted["because"], accepted["by"], accepted["on"]) == ("a Y cable", "mixer", "2027-01-02")
    assert "Broken, and accepted in writing" in run("check", tmp_path).out


def test_a_requirement_has_the_worst_status_of_its_claims(tmp_path: Path) -> None:
    requirements = (
        "requirements:\n"
        '  R-1: {must: no hole twice, proven by: "hole-used-*"}\n'
        '  R-2: {must: no strip twice, proven by: "strip-used-twice:*"}\n'
        '  R-3: {must: the moon is round, proven by: "moon-*"}\n'
        "  R-4: {must: be glad}\n"
    )
    files = {
        "show.yaml": f"format: 1\n{requirements}",
        "lines.csv": "line,label,hole,strip\n1,A,SB-1/1,CON-1/1\n2,B,SB-1/1,CON-1/2\n",
    }
    view = document(write(tmp_path, files))
    found = {one["id"]: one for one in view["requirements"]}
    assert {name: one["status"] for name, one in found.items()} == {
        "R-1": "broken", "R-2": "holds", "R-3": "open", "R-4": "open",
    }  # fmt: skip
    assert found["R-1"]["worst"] == ["hole-used-twice:SB-1/1"]
    assert "moon-*" in found["R-3"]["reason"]


def test_assumptions_are_counted() -> None:
    view = document(SMALL)
    kinds = {one["name"]: one["claims"] for one in view["assumptions"]}
    assert kinds["kind stage-box-24x12"] > 1
    assert sum(view["claims"][name] for name in ("holds_if",)) <= sum(kinds.values())


def test_notes_are_counted_and_shown_when_asked_for(tmp_path: Path) -> None:
    entry = 'accepted:\n  - {claim: "hole-used-twice:SB-1/1", because: a Y cable, by: mixer, on: 2027-01-02}\n'
    write(tmp_path, {"show.yaml": f"format: 1\n{entry}", "lines.csv": "line,label,hole\n1,A,SB-1/1\n"})
    assert "1 note not shown; --notes shows them" in run("check", tmp_path).out
    assert "accepted but not broken" in run("check", tmp_path, "--notes").out


def test_ten_causes_are_shown_unless_all_are_asked_for(tmp_path: Path) -> None:
    rows = "".join(f"{number},L{number},SB-1/{number // 2},CON-1/{number}\n" for number in range(2, 30))
    write(tmp_path, {"lines.csv": f"line,label,hole,strip\n{rows}"})
    few, everything = run("check", tmp_path).out, run("check", tmp_path, "--all").out
    assert few.count("claim hole-used-twice") == 10
    assert re.search(r"and \d more causes of less damage; --all shows them", few)
    assert everything.count("claim hole-used-twice") == 14


@pytest.mark.parametrize("width", [40, 60, 80, 120])
def test_no_line_is_wider_than_asked_for(broken: Path, width: int) -> None:
    for line in run("check", broken, "--notes", "--width", str(width)).out.splitlines():
        assert len(line) <= width, line


def test_plain_signs_are_ascii_and_chosen_where_the_encoding_lacks_ours() -> None:
    assert run("check", SMALL, "--plain").out.isascii()
    assert run("check", SMALL, encoding="ascii").out == run("check", SMALL, "--plain").out
    assert run("check", SMALL, encoding="latin-1").out.startswith("=== READY")


def test_a_sign_of_the_users_that_the_stream_lacks_does_no_harm(tmp_path: Path) -> None:
    write(tmp_path, {"lines.csv": "line,label,hole\n1,Žofie,SB-1/1\n2,Žofie,SB-1/1\n"})
    assert run("check", tmp_path, encoding="ascii").code == 1


def test_colour_is_for_terminals_that_have_it(broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b[" in run("check", broken, terminal=True).out
    assert "\x1b[" not in run("check", broken).out
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[" not in run("check", broken, terminal=True).out
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert "\x1b[" not in run("check", broken, terminal=True).out


def test_the_users_text_cannot_steer_the_terminal(tmp_path: Path) -> None:
    write(tmp_path, {"lines.csv": "line,label,hole\n1,A\x1b[2J\u202e,SB-1/1\n2,B\x07,SB-1/1\n"})
    out = run("check", tmp_path, "--all", "--notes").out
    assert not any(sign in out for sign in "\x1b\x07\u202e")


def test_sarif_fits_the_published_format(broken: Path) -> None:
    ran = run("check", broken, "--sarif")
    assert ran.code == 1
    log = json.loads(ran.out)
    jsonschema.Draft7Validator(SARIF).validate(log)
    (one_run,) = log["runs"]
    assert one_run["columnKind"] == "unicodeCodePoints"
    rules = one_run["tool"]["driver"]["rules"]
    for result in one_run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
    (name,) = [one for one in one_run["results"] if one["ruleId"] == "name-unknown"]
    region = name["locations"][0]["physicalLocation"]["region"]
    line = (broken / "lines.csv").read_text().splitlines()[region["startLine"] - 1]
    assert line[region["startColumn"] - 1 : region["endColumn"] - 1] == "stge"


def test_sarif_counts_columns_in_code_points(tmp_path: Path) -> None:
    write(
        tmp_path, {"show.yaml": "format: 1\nplaces: {wing: {}}\n", "lines.csv": "line,source,place\n1,🎹 é piano,wng\n"}
    )
    (one_run,) = json.loads(run("check", tmp_path, "--sarif").out)["runs"]
    (name,) = [one for one in one_run["results"] if one["ruleId"] == "name-unknown"]
    assert name["locations"][0]["physicalLocation"]["region"]["startColumn"] == len("1,🎹 é piano,") + 1


def test_sarif_names_files_from_the_folder_we_are_in(tmp_path: Path) -> None:
    write(tmp_path / "my show", BROKEN)
    log = json.loads(run("check", "my show", "--sarif", cwd=tmp_path).out)
    uris = {
        place["physicalLocation"]["artifactLocation"]["uri"]
        for result in log["runs"][0]["results"]
        for place in result["locations"]
    }
    assert uris
    assert all(uri.startswith("my%20show/") for uri in uris)


def test_sarif_marks_what_is_accepted_and_what_is_open(tmp_path: Path) -> None:
    entry = 'accepted:\n  - {claim: "hole-used-twice:SB-1/1", because: a Y cable, by: mixer, on: 2027-01-02}\n'
    write(tmp_path, {"show.yaml": f"format: 1\n{entry}", "lines.csv": "line,label,hole\n1,A,SB-1/1\n2,B,SB-1/1\n"})
    results = json.loads(run("check", tmp_path, "--sarif").out)["runs"][0]["results"]
    (accepted,) = [one for one in results if one["ruleId"] == "hole-used-twice"]
    assert accepted["suppressions"] == [
        {"kind": "external", "status": "accepted", "justification": "a Y cable; mixer, 2027-01-02"}
    ]
    assert {one["level"] for one in results if one["kind"] == "open"} == {"none"}


def test_the_reduced_schema_refuses_a_faulty_log() -> None:
    faulty = {"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "x"}}, "results": [{"level": "bad"}]}]}
    errors = {error.message for error in jsonschema.Draft7Validator(SARIF).iter_errors(faulty)}
    assert len(errors) == 2  # the level, and the message that is not there


def test_check_loads_no_heavy_library() -> None:
    program = (
        "import sys\nfrom tailboard.cli.main import main\n"
        f"code = main(['check', {str(SMALL)!r}])\n"
        f"print(code, sorted(set(sys.modules) & set({HEAVY!r})), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], env=environment(), capture_output=True, text=True, encoding="utf-8", check=True
    )
    assert done.stderr == "0 []\n"


def test_watch_says_what_came_and_what_went(tmp_path: Path) -> None:
    folder = write(tmp_path, {"lines.csv": "line,label,hole\n1,A,SB-1/1\n2,B,SB-1/1\n"})
    edits = iter(
        ("line,label,hole\n1,A,SB-1/1\n2,A,SB-1/20\n", None, "line,label,hole\n1,A,SB-1/1\n2,B,SB-1/200\n", None)
    )

    def next_edit(_: float) -> None:
        text = next(edits)
        if text is not None:
            (folder / "lines.csv").write_text(text)

    out = stream("utf-8")
    watched = Watched(chosen([str(folder)], 0, 0, ""), strict=False, wanted=Wanted())
    code = watch(watched, Output.of(out, argparse.Namespace()), next_edit, range(4))
    first, second, third, rest = text_of(out).split(f"watching {folder.name}; Ctrl-C ends it\n")
    assert "Since the last look" not in first
    assert "━━━ gone  SB-1/1 is the hole of lines 1, 2" in second
    assert "━ ━ new " in second
    assert "labels" not in third.partition("Since the last look")[0] or "gone" in third
    assert rest == ""  # three looks: in one round nothing had changed
    assert code == 0


def test_watch_is_for_the_terminal() -> None:
    assert "--watch is for the terminal" in one_sentence(run("check", SMALL, "--watch", "--json"))


def test_a_rig_elsewhere_is_read_and_watched(tmp_path: Path) -> None:
    example = Draft.example().sub("show.yaml", "rig: rig.yaml", "rig: ../rig.yaml")
    write(tmp_path / "show", {name: text for name, text in example.files.items() if name != "rig.yaml"})
    write(tmp_path, {"rig.yaml": example.files["rig.yaml"]})
    assert document(tmp_path / "show")["verdict"] == "ready"
    watched = Watched(chosen([str(tmp_path / "show")], 0, 0, ""), strict=False, wanted=Wanted())
    watched.look()
    assert "../rig.yaml" in watched.stamps()


def test_nothing_is_written_beside_the_show(broken: Path) -> None:
    before = {path: path.read_bytes() for path in broken.rglob("*") if path.is_file()}
    run("check", broken)
    assert {path: path.read_bytes() for path in broken.rglob("*") if path.is_file()} == before


def test_the_same_files_give_the_same_page(broken: Path) -> None:
    pages = {process("check", broken, PYTHONHASHSEED=seed).out for seed in ("1", "2", "3")}
    assert len(pages) == 1
    reading, proof = proven(chosen([str(broken)], 0, 0, ""))
    assert reading.findings
    assert proof.findings
    assert os.listdir(broken)  # noqa: PTH208  the folder is still there
