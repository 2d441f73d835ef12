"""The bench: every figure of the project in one run, beside its limit. Writes out/figures.json; exit 1 if one is missed.

python bench/run.py [--fuzz 20000] [--flows 500000] [--only cold,warm,isolation,elections,bound,book,fuzz,serve]
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import sys
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "src"), str(ROOT / "tests")]

from bench.book import book  # noqa: E402  the path above makes it findable
from bench.bound import FLOWS, bound  # noqa: E402
from bench.cold import cold  # noqa: E402
from bench.elections import elections  # noqa: E402
from bench.fuzzing import fuzz  # noqa: E402
from bench.isolation import isolated  # noqa: E402
from bench.measured import Figure  # noqa: E402
from bench.serve import served  # noqa: E402
from bench.warm import warm  # noqa: E402

FUZZ_COUNT = 20_000  # issue: must show
PARTS = ("cold", "warm", "isolation", "elections", "bound", "book", "fuzz", "serve")


def main() -> int:
    """Run the bench."""
    parser = argparse.ArgumentParser(description="Measure everything once, beside its limit.")
    parser.add_argument("--fuzz", type=int, default=FUZZ_COUNT, help="damaged folders to check")
    parser.add_argument("--flows", type=int, default=FLOWS, help="random flows whose bound is tried")
    parser.add_argument("--only", default=",".join(PARTS), help="parts to run, of " + ", ".join(PARTS))
    options = parser.parse_args()
    parts = options.only.split(",")
    figures: list[Figure] = []
    measures: dict[str, Callable[[], list[Figure]]] = {
        "cold": lambda: cold(ROOT / "examples" / "small"),
        "warm": warm,
        "isolation": isolated,
        "elections": elections,
        "bound": lambda: bound(options.flows),
        "book": book,
        "fuzz": lambda: fuzz(options.fuzz),
        "serve": served,
    }
    for name, measure in measures.items():
        if name in parts:
            made = measure()
            figures += made
            print("\n".join(figure.row() for figure in made), flush=True)
    write(figures)
    missed = [figure.what for figure in figures if not figure.met]
    print(f"\n{len(figures)} figures, {len(missed)} missed" + "".join(f"\n  {what}" for what in missed))
    return 1 if missed else 0


def write(figures: list[Figure]) -> None:
    """Write the figures for other tools to compare."""
    out = ROOT / "bench" / "out"
    out.mkdir(exist_ok=True)
    document = {
        "schema": "tailboard/bench/1",
        "python": platform.python_version(),
        "system": f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors",
        "figures": [
            {"what": item.what, "value": item.value, "unit": item.unit, "limit": item.limit, "met": item.met}
            for item in figures
        ],
    }
    (out / "figures.json").write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main())
