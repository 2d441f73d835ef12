"""Whole commands on shipped shows, compared with stored output.

The stored texts are our own earlier output, read by a person before they were stored; they say what changed, not what
is right. Store them anew, and throw away those that no command makes any more, with:

    TAILBOARD_GOLDEN=refresh python -m pytest tests/cli/test_golden.py
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

import tailboard
from cli.shell import ROOT, SMALL, Ran, run, write
from support.draft import Draft
from tailboard.edits.tired import slipped

GOLDEN = ROOT / "tests" / "golden"
REFRESH = os.environ.get("TAILBOARD_GOLDEN") == "refresh"
LONE = {
    "lines.csv": "line,source,label,48V,hole,strip\n1,voice,VOX,off,SB-1/1,CON-1/1\n2,piano,PNO,on,SB-1/1,CON-1/2\n"
}
SEMICOLONS = {
    "lines.csv": "line;source;place;label;gain;hole;strip\n1;voice;stage;VOX;4,5;SB-1/1;CON-1/1\n2;piano;stage;PNO;06. Sep;SB-1/2;CON-1/2\n"
}
BAD_YAML = {"show.yaml": "format: 1\ndevices:\n\tSB-1: {kind: stage-box-24x12}\n", "lines.csv": "line,label\n1,A\n"}

# name: which show, then the arguments; SHOW stands for its folder.
CASES: dict[str, tuple[str, tuple[str, ...]]] = {
    "check-small": ("small", ("check", "SHOW")),
    "check-small-all": ("small", ("check", "SHOW", "--all", "--notes")),
    "check-small-plain-60": ("small", ("check", "SHOW", "--plain", "--width", "60")),
    "check-small-json": ("small", ("check", "SHOW", "--json")),
    "check-tired": ("tired", ("check", "SHOW")),
    "check-tired-all": ("tired", ("check", "SHOW", "--all", "--notes")),
    "check-tired-json": ("tired", ("check", "SHOW", "--json")),
    "check-tired-sarif": ("tired", ("check", "SHOW", "--sarif")),
    "check-lone-table": ("lone", ("check", "SHOW")),
    "check-semicolons": ("semicolons", ("check", "SHOW")),
    "check-bad-yaml": ("bad-yaml", ("check", "SHOW")),
    "check-empty": ("empty", ("check", "SHOW")),
    "trace-small": ("small", ("trace", "SHOW", "line 6", "presenter")),
    "trace-small-chain": ("small", ("trace", "SHOW", "line 5", "CON-1/5")),
    "trace-small-source": ("small", ("trace", "SHOW", "6")),
    "trace-medium-station": ("medium", ("trace", "SHOW", "KP-1")),
    "trace-medium-source-json": ("medium", ("trace", "SHOW", "37", "--json")),
    "trace-small-unknown": ("small", ("trace", "SHOW", "99")),
    "trace-small-json": ("small", ("trace", "SHOW", "line 5", "CON-1/5", "--json")),
    "hears-small": ("small", ("hears", "SHOW", "presenter")),
    "hears-small-station": ("small", ("hears", "SHOW", "S-SM")),
    "hears-small-json": ("small", ("hears", "SHOW", "FD1", "--json")),
    "why-small-holds": ("small", ("why", "SHOW", "phantom-wrong:5")),
    "why-tired-broken": ("tired", ("why", "SHOW", "phantom-wrong:6")),
    "why-tired-json": ("tired", ("why", "SHOW", "phantom-wrong:6", "--json")),
    "why-small-accepted": ("small", ("why", "SHOW", "reserve-shares-failure:6:7")),
    "explain-rule": ("small", ("explain", "phantom-wrong")),
    "explain-all": ("small", ("explain",)),
    "origins-small": ("small", ("origins", "SHOW")),
    "origins-small-switch": ("small", ("origins", "SHOW", "SW-B")),
    "origins-small-line": ("small", ("origins", "SHOW", "line 5")),
    "sheet-small-box": ("small", ("sheet", "SHOW", "SB-1")),
    "sheet-small-box-plain": ("small", ("sheet", "SHOW", "SB-1", "--plain")),
    "sheet-small-place": ("small", ("sheet", "SHOW", "wing")),
    "sheet-small-json": ("small", ("sheet", "SHOW", "SB-1", "--json")),
    "sheet-lone-table": ("lone", ("sheet", "SHOW", "SB-1")),
    "free-small-place": ("small", ("free", "SHOW", "wing")),
    "free-small-vlan": ("small", ("free", "SHOW", "AUDIO")),
    "names-small": ("small", ("names", "SHOW", "CON-1")),
    "demo": ("small", ("demo",)),
}


@pytest.fixture(scope="module")
def shows(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the shows, so that no path of a machine stands in the output."""
    folder = tmp_path_factory.mktemp("shows")
    example = Draft.example().files
    tired = slipped({name: text.encode() for name, text in example.items()})
    write(folder / "small", example)
    write(folder / "tired", {name: data.decode() for name, data in tired.items()})
    write(folder / "lone", LONE)
    write(folder / "semicolons", SEMICOLONS)
    write(folder / "bad-yaml", BAD_YAML)
    (folder / "empty").mkdir()
    return folder


def scrubbed(ran: Ran) -> str:
    """Return what a command said and how it ended, without what changes with each release."""
    text = ran.out.replace(f"tailboard {tailboard.__version__}", "tailboard VERSION")
    text = text.replace(f'"version": "{tailboard.__version__}"', '"version": "VERSION"')
    return f"{text}{ran.err}exit code {ran.code}\n"


@pytest.mark.parametrize("name", CASES)
def test_a_command_says_what_it_said(name: str, shows: Path) -> None:
    show, arguments = CASES[name]
    ran = run(*(show if word == "SHOW" else word for word in arguments), cwd=shows)
    stored = GOLDEN / f"{name}.txt"
    if REFRESH:
        stored.parent.mkdir(exist_ok=True)
        stored.write_text(scrubbed(ran), encoding="utf-8", newline="\n")
    assert stored.exists(), f"store it with TAILBOARD_GOLDEN=refresh: {name}"
    assert scrubbed(ran) == stored.read_text(encoding="utf-8")


def test_no_stored_output_is_left_over() -> None:
    stale = sorted(path.name for path in GOLDEN.iterdir() if path.name.removesuffix(".txt") not in CASES)
    if REFRESH:
        for name in stale:
            (GOLDEN / name).unlink()
        stale = []
    assert not stale, f"no command makes these any more: {stale}"


def test_the_example_is_the_shipped_one() -> None:
    assert (SMALL / "show.yaml").read_text(encoding="utf-8") == Draft.example().files["show.yaml"]


@pytest.mark.parametrize(
    "name", [name for name, (_, words) in CASES.items() if "--json" not in words and "--sarif" not in words]
)
def test_every_page_fits_80_columns(name: str, shows: Path) -> None:
    show, arguments = CASES[name]
    out = run(*(show if word == "SHOW" else word for word in arguments), cwd=shows).out
    assert [line for line in out.splitlines() if len(line) > 80] == []
