"""The book: the medium example as a whole process, its size, and a show of 10,000 lines from text to PDF."""

from __future__ import annotations

import random
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from bench.cold import environment
from bench.measured import ROOT, Figure

from support.synthetic import synthetic

MEDIUM_MAX_S = 3.0  # issue: figures
MEDIUM_MAX_MB = 15.0  # issue: figures
LARGE_MAX_S = 60.0  # issue: figures
LARGE_LINES = 10_000  # issue: figures
SEED = 1  # one generated show, the same in every run
TIME = "2027-06-12T18:00"


def book() -> list[Figure]:
    """Return the figures of the book."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        medium_s, medium_mb = made(ROOT / "examples" / "medium", folder / "medium")
        large = folder / "show"
        large.mkdir()
        for file, text in synthetic(random.Random(SEED), LARGE_LINES).files.items():
            path = large / file
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        large_s, large_mb = made(large, folder / "large")
    peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    return [
        Figure("book of examples/medium as a cold process", medium_s, "s", MEDIUM_MAX_S),
        Figure("book and labels of examples/medium", medium_mb, "MB", MEDIUM_MAX_MB),
        Figure(f"book of {LARGE_LINES} lines, text to PDF", large_s, "s", LARGE_MAX_S),
        Figure(f"book of {LARGE_LINES} lines", large_mb, "MB"),
        Figure(f"book of {LARGE_LINES} lines, memory at most", peak_mb, "MB"),
    ]


def made(show: Path, out: Path) -> tuple[float, float]:
    """Return how long the book of a copy of a show takes, and how large its files are. [s, MB]"""
    copy = out.with_name(f"{out.name}-show")
    shutil.copytree(show, copy)
    begin = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "tailboard.cli.main", "book", copy, "--out", out, "--time", TIME],
        env=environment(), stdout=subprocess.DEVNULL, check=True,
    )  # fmt: skip
    taken_s = time.perf_counter() - begin
    return taken_s, sum(path.stat().st_size for path in out.iterdir()) / 1e6
