"""The documents say what is so: made parts are fresh, examples can be read, links lead somewhere."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import get_type_hints

import pytest

from style.trees import ROOT, project_files, python_files, shown
from tailboard.findings import Claim
from tailboard.model.reading import Reading, read
from tailboard.rules.run import prove
from tailboard.text.folder import Texts
from tailboard.views.places import PlaceView
from tailboard.views.verdict import AcceptedView, CheckView, Counts, FindingView, Tally

PAGES = [path for path in project_files() if path.suffix == ".md"]
FENCE = re.compile(r"^```(?:yaml|csv) (?P<name>\S+)\n(?P<text>.*?)^```$", re.DOTALL | re.MULTILINE)
LINK = re.compile(r"\[[^\]]*\]\((?P<target>[^)#\s]+)\)")


def example_shows(page: Path) -> dict[str, dict[str, str]]:
    """Return the shows of a page by heading: the named blocks under one heading are one folder."""
    shows = {}
    for section in page.read_text(encoding="utf-8").split("\n## "):
        files = {match["name"]: match["text"] for match in FENCE.finditer(section)}
        if files:
            shows[section.partition("\n")[0]] = files
    return shows


EXAMPLES = {f"{shown(page)}: {heading}": files for page in PAGES for heading, files in example_shows(page).items()}


def test_the_made_parts_are_fresh() -> None:
    """`make docs` writes them."""
    made = subprocess.run(
        [sys.executable, str(ROOT / "tools" / "make_docs.py"), "--check"],
        capture_output=True,
        text=True,
        check=False,
        env={"PYTHONPATH": str(ROOT / "src"), "PATH": ""},
    )
    assert made.returncode == 0, made.stdout + made.stderr


@pytest.mark.parametrize("files", EXAMPLES.values(), ids=EXAMPLES)
def test_an_example_is_read_without_a_fault(files: dict[str, str]) -> None:
    reading = read(Texts(files))
    assert not [f"{finding.spot}: {finding.message}" for finding in reading.findings]


def test_there_are_examples_for_each_kind_of_file() -> None:
    names = {name for files in EXAMPLES.values() for name in files}
    assert {"show.yaml", "rig.yaml", "lines.csv", "buses.csv", "feeds.csv", "hearing.csv"} <= names
    assert any(name.startswith("found/") for name in names)
    assert any(name.startswith("kinds/") for name in names)


def box_example(old: str = "", new: str = "") -> tuple[Reading, tuple[Claim, ...]]:
    """Return the first example of docs/own-kinds.md, read and proven, with one text exchanged."""
    files = next(iter(example_shows(ROOT / "docs" / "own-kinds.md").values()))
    assert any(old in text for text in files.values())
    reading = read(Texts({name: text.replace(old, new) if old else text for name, text in files.items()}))
    return reading, prove(reading.model, reading.findings).claims


def assuming(claims: tuple[Claim, ...], kind: str) -> set[str]:
    """Return the claims that rest on the figures of a kind."""
    return {claim.id for claim in claims if f"kind {kind}" in claim.assumptions}


def test_an_own_kind_with_its_data_sheet_leaves_no_assumption() -> None:
    _, claims = box_example()
    assert not assuming(claims, "box-8x4")
    _, claims = box_example("data sheet of the maker, issue 3", "example value")
    assert assuming(claims, "box-8x4")


def test_a_figure_of_an_own_kind_changes_a_verdict() -> None:
    broken = {claim.id for claim in box_example()[1] if claim.status.value == "broken"}
    short = {claim.id for claim in box_example("display: 6", "display: 4")[1] if claim.status.value == "broken"}
    early = {claim.id for claim in box_example("clip: +16 dBu", "clip: +0 dBu")[1] if claim.status.value == "broken"}
    assert any(name.startswith("label-too-long:") for name in short - broken)
    assert any(name.startswith("peak-clips:") for name in early - broken)


def documented(heading: str) -> list[set[str]]:
    """Return the names in the first column of each table under a heading of docs/output.md."""
    text = (ROOT / "docs" / "output.md").read_text(encoding="utf-8")
    section = text.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    tables = [block for block in section.strip().split("\n\n") if block.startswith("|")]
    return [set(re.findall(r"`(\w+)`", " ".join(row.split("|")[1] for row in block.splitlines()))) for block in tables]


def test_the_fields_of_check_are_documented() -> None:
    whole, finding = documented("check --json")
    assert whole == set(get_type_hints(CheckView))
    assert finding == set(get_type_hints(FindingView))
    text = (ROOT / "docs" / "output.md").read_text(encoding="utf-8")
    assert all(
        f"`{name}`" in text for view in (Tally, Counts, PlaceView, AcceptedView) for name in get_type_hints(view)
    )


def test_every_schema_is_documented() -> None:
    text = (ROOT / "docs" / "output.md").read_text(encoding="utf-8")
    sources = "\n".join(path.read_text(encoding="utf-8") for path in python_files("src"))
    assert set(re.findall(r"tailboard/[a-z]+/[0-9]+", sources)) == set(re.findall(r"tailboard/[a-z]+/[0-9]+", text))


@pytest.mark.parametrize("page", PAGES, ids=shown)
def test_links_lead_somewhere(page: Path) -> None:
    targets = [match["target"] for match in LINK.finditer(page.read_text(encoding="utf-8"))]
    lost = [target for target in targets if "://" not in target and not (page.parent / target).exists()]
    assert not lost
