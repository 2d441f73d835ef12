"""Check many damaged folders: no exception, no traceback, no changed file, none that takes long."""

from __future__ import annotations

import multiprocessing
import os
import shutil
import tempfile
import time
import traceback
from pathlib import Path

from bench.measured import Figure

from hostile.fuzz import command_of, damaged, outcome, write

PART = 100
SLOWEST_MAX_MS = 5000  # own limit: a damaged file must not make the tool look hung
SHOWN_MAX = 5


def fuzz(count: int) -> list[Figure]:
    """Return the figures of `count` damaged folders; what went wrong is printed."""
    parts = [range(start, min(start + PART, count)) for start in range(0, count, PART)]
    before = time.perf_counter()
    with multiprocessing.Pool(os.cpu_count()) as pool:
        results = pool.map(fuzz_part, parts, chunksize=1)
    faults = [line for bad, _ in results for line in bad]
    for line in faults[:SHOWN_MAX]:
        print(line)
    return [
        Figure("damaged folders checked", count, "folders"),
        Figure("of them with an exception, a traceback or a changed file", len(faults), "folders", 0),
        Figure(
            "the slowest of them", 1e3 * max((slowest for _, slowest in results), default=0.0), "ms", SLOWEST_MAX_MS
        ),
        Figure("time for all", time.perf_counter() - before, "s"),
    ]


def fuzz_part(numbers: range) -> tuple[list[str], float]:
    """Return what went wrong with some folders, and the longest time one took. [s]"""
    bad: list[str] = []
    slowest_s = 0.0
    for number in numbers:
        folder = Path(tempfile.mkdtemp())
        try:
            write(damaged(number), folder)
            before = time.perf_counter()
            problem = outcome(folder, command_of(number))
            slowest_s = max(slowest_s, time.perf_counter() - before)
        except Exception:  # noqa: BLE001  whatever a damaged folder brings about is what is looked for
            problem = traceback.format_exc(limit=-4)
        finally:
            shutil.rmtree(folder)
        if problem:
            bad.append(f"folder {number}: {problem}")
    return bad, slowest_s
