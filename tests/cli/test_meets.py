"""`meets`: the hops between two devices, where a way ends, and VLANs that a wrong port brings together."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from support.draft import EXAMPLES, Draft
from tailboard.cli.main import main

SMALL = str(EXAMPLES / "small")


def test_two_devices_meet_hop_by_hop_with_the_tag(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["meets", SMALL, "pnl-4", "ICM-1", "--width", "90"]) == 0
    out = capsys.readouterr().out
    assert "PNL-4 meets ICM-1" in out
    assert "SW-B/S1 - F-01 - SW-T/S1 tagged COMMS" in out
    assert "PNL-4/net - C-06 - SW-B/2 untagged" in out


def test_devices_of_two_vlans_do_not_meet_and_the_page_says_why(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["meets", SMALL, "CAM-1", "CON-1", "--json"]) == 1
    view = json.loads(capsys.readouterr().out)
    assert not view["meet"]
    assert view["ways"][0]["stop"] == "CAM-1 is in IPCAM, CON-1 in AUDIO, CTRL"


def test_vlans_that_a_router_joins_meet_through_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    draft = Draft.example().sub("rig.yaml", "RTR-1: {kind: router,", "RTR-1: {kind: router, forwards: [MGMT, INET],")
    for name, text in draft.files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert main(["meets", SMALL, "MGMT", "INET"]) == 1
    assert "MGMT does not meet INET" in capsys.readouterr().out
    assert main(["meets", str(tmp_path), "MGMT", "INET"]) == 0
    assert "RTR-1 passes packets from MGMT to INET" in capsys.readouterr().out


def test_an_unknown_name_is_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["meets", SMALL, "CON-2", "AUDIO"]) == 2
    assert "no device or VLAN is called 'CON-2'" in capsys.readouterr().err
