"""A slice of the fuzzer; the bench runs it whole."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from hostile.fuzz import command_of, damaged, outcome, write

SLICE = 400
PARTS = 8


@pytest.mark.parametrize("part", range(PARTS))
def test_no_damaged_folder_gives_a_traceback_or_is_changed(part: int, tmp_path: Path) -> None:
    for number in range(part, SLICE, PARTS):
        folder = tmp_path / str(number)
        write(damaged(number), folder)
        assert outcome(folder, command_of(number)) == "", number


def test_the_folders_differ_and_stay_the_same_from_run_to_run() -> None:
    first = [damaged(number) for number in range(40)]
    assert first == [damaged(number) for number in range(40)]
    assert len({str(sorted(files.items())) for files in first}) >= 38


def test_no_folder_knows_what_time_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    """A workbook that is packed again would carry the time of its packing, and differ between two runs."""
    now = [damaged(number) for number in range(200)]
    monkeypatch.setattr(time, "localtime", lambda *_: time.gmtime(10**9))
    monkeypatch.setattr(time, "time", lambda: 1e9)
    assert [damaged(number) for number in range(200)] == now
