"""`draw`: pictures on the output, in a file that is never overwritten, as data; complaints in one sentence."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.shell import SMALL, one_sentence, run


@pytest.mark.parametrize(
    ("names", "schema"),
    [
        (["map"], "map"),
        (["map", "AUDIO", "--overlay", "vlan"], "map"),
        (["map", "F-01", "--overlay", "fails"], "map"),
        (["map", "--place", "wing"], "map"),
        (["delay", "SB-1"], "arrival"),
        (["delay", "ST-1", "CON-1"], "arrival"),
        (["chain", "5"], "chain"),
        (["chain", "FD1"], "chain"),
        (["level", "1"], "level"),
        (["level", "1", "FD6"], "level"),
    ],
)
def test_a_picture_and_its_data(names: list[str], schema: str) -> None:
    assert run("draw", SMALL, *names).out.startswith("<svg ")
    assert json.loads(run("draw", SMALL, *names, "--json").out)["schema"] == f"tailboard/{schema}/1"


def test_a_file_is_written_once(tmp_path: Path) -> None:
    file = tmp_path / "rig.svg"
    assert run("draw", SMALL, "map", "--size", "phone", "--out", str(file)).code == 0
    before = file.read_bytes()
    assert b'width="390"' in before
    ran = run("draw", SMALL, "map", "--out", str(file))
    assert (ran.code, file.read_bytes()) == (2, before)
    assert "exists already" in one_sentence(ran)


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ([], "say what to draw"),
        (["mop"], "did you mean 'map'?"),
        (["map", "--size", "poster"], "the sizes are phone, paper, page"),
        (["map", "--overlay", "noise"], "the overlays are load"),
        (["map", "SB-1"], "one name too many"),
        (["map", "--overlay", "fails"], "say what fails"),
        (["map", "SB-9", "--overlay", "fails"], "SB-9"),
        (["map", "AUDI", "--overlay", "vlan"], "did you mean 'AUDIO'?"),
        (["map", "--place", "wings"], "did you mean 'wing'?"),
        (["delay", "SB1"], "did you mean 'SB-1'?"),
        (["chain"], "say which chain"),
        (["chain", "99"], "no chain leads from '99'"),
        (["chain", "5", "FD99"], "no chain leads from '5' to 'FD99'"),
        (["level"], "say which line"),
        (["level", "1", "FD99"], "no way leads from '1' to 'FD99'"),
        (["level", "99"], "there is no line '99' with a hole"),
        (["chain", "5", "--overlay", "load"], "only the map takes --overlay and --place"),
    ],
)
def test_a_wrong_word_is_told_in_one_sentence(names: list[str], words: str) -> None:
    ran = run("draw", SMALL, *names)
    assert ran.code == 2
    assert words in one_sentence(ran)
