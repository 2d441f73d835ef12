"""Walks through docs/tutorial.md: types each step into a folder, runs each command there, and keeps the real output.

    python tools/make_tutorial.py          write the page anew if an output is stale
    python tools/make_tutorial.py --check  write nothing; exit 1 if an output is stale

A block with a file's name behind its language is what the reader types, in the order of the page:

    ```csv lines.csv, new     the whole file
    ```csv lines.csv, rows    rows that are added, or that replace the row with the same first cell
    ```yaml show.yaml, added  lines at the end of the file
    ```yaml show.yaml, under devices  entries of that section that are added, or that replace the one of the same name

A part between `<!-- made: tailboard COMMAND -->` and `<!-- end -->` is the output of a command in the folder as it stands
at that point; `| 20 lines` keeps the first 20, `| 20 lines from WORDS` 20 from the first line with WORDS.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "tutorial.md"
PART = re.compile(
    r"^```(?:csv|yaml) (?P<file>[^\s,]+), (?P<how>new|rows|added|under \w+)\n(?P<text>.*?)^```$"
    r"|^<!-- made: (?P<command>tailboard[^>|]*?)(?: \| (?P<cut>[^>]*?))? -->\n(?P<old>.*?)^<!-- end -->$",
    re.DOTALL | re.MULTILINE,
)


def typed(folder: Path, file: str, how: str, text: str) -> None:
    """Do what the reader does with a block."""
    path = folder / file
    path.parent.mkdir(exist_ok=True)
    before = "" if how == "new" else path.read_text(encoding="utf-8")
    match how:
        case "new" | "added":
            after = before + text
        case "rows":
            after = with_rows(before, text)
        case _:
            section = f"{how.removeprefix('under ')}:\n"
            head, found, rest = before.partition(f"\n{section}")
            assert found, f"{file} has no section {section}"
            entries = re.match(r"(?: .*\n)*", rest)
            assert entries is not None
            after = f"{head}{found}{with_rows(entries[0], text, ':')}{rest[entries.end() :]}"
    path.write_text(after, encoding="utf-8")


def with_rows(table: str, rows: str, mark: str = ",") -> str:
    """Return a table, or a section, with rows added, or put in the place of those with the same first cell or key."""
    lines = table.splitlines()
    for row in rows.splitlines():
        first = row.partition(mark)[0]
        at = next((number for number, line in enumerate(lines) if line.partition(mark)[0] == first), None)
        if at is None:
            lines.append(row)
        else:
            lines[at] = row
    return "\n".join(lines) + "\n"


def said(folder: Path, command: str) -> list[str]:
    """Return the output of a command in a folder, line by line."""
    plain = {**os.environ, "NO_COLOR": "1", "COLUMNS": "80", "PYTHONUTF8": "1", "PYTHONPATH": str(ROOT / "src")}
    run = subprocess.run(
        [sys.executable, "-m", "tailboard.cli.main", *shlex.split(command)[1:]],
        cwd=folder, env=plain, capture_output=True, text=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert run.returncode in {0, 1}, f"{command}: {run.stderr}"
    return run.stdout.rstrip("\n").split("\n")


def cut_out(lines: list[str], cut: str | None) -> list[str]:
    """Return the lines that `20 lines from WORDS` keeps; what is left out shows as three dots."""
    if not cut:
        return lines
    count, _, words = cut.partition(" lines")
    first = next(number for number, line in enumerate(lines) if words.removeprefix(" from ") in line)
    last = first + int(count)
    return [*(["..."] if first else []), *lines[first:last], *(["..."] if last < len(lines) else [])]


def walked(page: str, folder: Path) -> str:
    """Return the page with the outputs as they are now; the folder holds the finished show afterwards."""
    parts = []
    done = 0
    for part in PART.finditer(page):
        parts.append(page[done : part.start()])
        done = part.end()
        if part["file"]:
            typed(folder, part["file"], part["how"], part["text"])
            parts.append(part[0])
            continue
        head = part[0].partition("\n")[0]
        lines = cut_out(said(folder, part["command"]), part["cut"])
        parts.append("\n".join([head, "```console", f"$ {part['command']}", *lines, "```", "<!-- end -->"]))
    return "".join([*parts, page[done:]])


def main() -> int:
    """Write the page anew, or say that it is stale, and return the exit code."""
    page = PAGE.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        now = walked(page, Path(folder))
    if now == page:
        return 0
    if "--check" in sys.argv:
        print(f"{PAGE.relative_to(ROOT)} is stale; run tools/make_tutorial.py")
        return 1
    PAGE.write_text(now, encoding="utf-8")
    print(f"{PAGE.relative_to(ROOT)} written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
