"""The medium show with its five tables in one workbook is the same show."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from tailboard.findings import Claim
from tailboard.model.reading import Reading, read
from tailboard.rules.run import Proof, prove
from tailboard.text.fields import columns_of
from tailboard.text.folder import Folder

ROOT = Path(__file__).parents[2]
MEDIUM = ROOT / "examples" / "medium"
TABLES = ("lines", "buses", "feeds", "stations", "hearing")


def made(*words: str) -> subprocess.CompletedProcess[str]:
    """Run tools/make_workbook.py."""
    command = [sys.executable, str(ROOT / "tools" / "make_workbook.py"), *words]
    env = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONUTF8": "1"}
    return subprocess.run(command, capture_output=True, text=True, encoding="utf-8", check=False, env=env)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the show with one workbook instead of the CSV files."""
    show = tmp_path_factory.mktemp("final") / "show"
    shutil.copytree(MEDIUM, show, ignore=shutil.ignore_patterns("*.csv"))
    run = made(str(MEDIUM), str(show / "final.xlsx"))
    assert run.returncode == 0, run.stdout + run.stderr
    assert not list(show.glob("*.csv"))
    return show


def proof_of(reading: Reading) -> Proof:
    return prove(reading.model, reading.findings)


def told(claim: Claim) -> tuple[str, str, str, tuple[str, ...]]:
    """Return a claim without the places of its evidence."""
    message = claim.finding.message if claim.finding else ""
    return claim.id, claim.status.value, message, claim.assumptions


def test_the_tables_hold_the_same_records(folder: Path) -> None:
    book, files = read(Folder(folder)).model, read(Folder(MEDIUM)).model
    for table in TABLES:
        one, other = getattr(book, table), getattr(files, table)
        assert list(one) == list(other) != []
        for name, record in one.items():
            for column in columns_of(type(record)):
                assert getattr(record, column.attribute) == getattr(other[name], column.attribute), (
                    table,
                    name,
                    column,
                )


def test_the_claims_are_the_same(folder: Path) -> None:
    book, files = proof_of(read(Folder(folder))), proof_of(read(Folder(MEDIUM)))
    assert Counter(map(told, book.claims)) == Counter(map(told, files.claims))
    assert len(book.claims) > 2000
    assert {finding.id for finding in book.findings} == {finding.id for finding in files.findings}


def test_what_is_said_names_sheet_and_cell(folder: Path) -> None:
    spots = {str(finding.spot) for finding in proof_of(read(Folder(folder))).findings}
    assert any(spot.startswith("final.xlsx[feeds]!") for spot in spots)


def test_a_workbook_that_is_there_is_not_written_over(folder: Path) -> None:
    before = (folder / "final.xlsx").read_bytes()
    again = made(str(MEDIUM), str(folder / "final.xlsx"))
    assert again.returncode == 2
    assert "is there already" in again.stdout
    assert (folder / "final.xlsx").read_bytes() == before
    assert made(str(folder), str(folder / "other.xlsx")).returncode == 2
    assert made().returncode == 2
