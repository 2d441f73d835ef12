"""A check as a whole cold process, beside the bare interpreter's start; and what it loads."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

from bench.measured import ROOT, Figure

PAIRS = 21  # own choice: the median of so many pairs moves by a few per cent from run to run
RATIO_MAX = 25  # issue: figures
HEAVY = (
    "numpy", "scipy", "networkx", "pandas", "matplotlib",
    "http.server", "socketserver", "wsgiref", "asyncio", "flask", "starlette", "uvicorn", "aiohttp", "jinja2",
    "reportlab", "weasyprint", "fpdf", "pypdf", "fitz",
    "xlsxwriter", "python_calamine", "ruamel", "sqlite3",
)  # fmt: skip
LOADED = "import sys; from tailboard.cli.main import main; main(sys.argv[1:]); sys.stderr.write(' '.join(sys.modules))"


def environment() -> dict[str, str]:
    """Return the environment of a child: the project's source, compiled files kept, no debugging."""
    kept = {
        key: value for key, value in os.environ.items() if key not in {"TAILBOARD_DEBUG", "PYTHONDONTWRITEBYTECODE"}
    }
    return {**kept, "PYTHONPATH": str(ROOT / "src")}


def run_s(*arguments: str) -> float:
    """Return how long a Python process takes. [s]"""
    before = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments], env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, check=False
    )
    taken = time.perf_counter() - before
    assert done.returncode == 0, done.stderr.decode()
    return taken


def cold(show: Path) -> list[Figure]:
    """Return the figures of the cold process. Both kinds of process take turns, so that both meet the same load."""
    check = ("-m", "tailboard.cli.main", "check", str(show))
    bare_s, check_s = [], []
    run_s(*check)  # writes the compiled files, as an installed tool has them
    for _ in range(PAIRS):
        bare_s.append(run_s("-c", "pass"))
        check_s.append(run_s(*check))
    ratio = statistics.median(check_s) / statistics.median(bare_s)
    return [
        Figure("bare interpreter, median", 1e3 * statistics.median(bare_s), "ms"),
        Figure("check examples/small as a cold process, median", 1e3 * statistics.median(check_s), "ms"),
        Figure("check examples/small against the bare interpreter", ratio, "times", RATIO_MAX),
        Figure("heavy libraries that check loads", len(heavy_loaded(show)), "modules", 0),
    ]


def heavy_loaded(show: Path) -> list[str]:
    """Return the heavy libraries that are loaded when a check ends."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, "check", str(show)],
        env=environment(), stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=True,
    )  # fmt: skip
    loaded = set(done.stderr.split())
    assert "tailboard.model.reading" in loaded, "the list of loaded modules was not printed"
    return [name for name in HEAVY if name in loaded]
