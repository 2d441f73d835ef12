"""Runs commands in this process and in one of their own, and keeps what they say."""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tailboard.cli.main import main

ROOT = Path(__file__).parents[2]
SMALL = ROOT / "examples" / "small"


@dataclass(frozen=True)
class Ran:
    """How a command ended and what it said."""

    code: int
    out: str
    err: str


class Stream(io.TextIOWrapper):
    """A stream in memory that may pretend to be a terminal."""

    terminal = False

    def isatty(self) -> bool:
        return self.terminal


def stream(encoding: str, *, terminal: bool = False) -> Stream:
    made = Stream(io.BytesIO(), encoding=encoding, newline="\n")
    made.terminal = terminal
    return made


def text_of(made: Stream) -> str:
    made.flush()
    assert isinstance(made.buffer, io.BytesIO)
    return made.buffer.getvalue().decode(made.encoding)


@contextlib.contextmanager
def bugs_shown() -> Iterator[None]:
    """Let an unforeseen exception through, so that a test shows where it was raised."""
    before = os.environ.get("TAILBOARD_DEBUG")
    os.environ["TAILBOARD_DEBUG"] = "1"
    try:
        yield
    finally:
        del os.environ["TAILBOARD_DEBUG"]
        if before is not None:
            os.environ["TAILBOARD_DEBUG"] = before


def run(*arguments: str | Path, cwd: Path = ROOT, encoding: str = "utf-8", terminal: bool = False) -> Ran:
    """Run a command in this process."""
    out, err = stream(encoding, terminal=terminal), stream("utf-8")
    with bugs_shown(), contextlib.chdir(cwd), contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([str(argument) for argument in arguments])
    return Ran(code, text_of(out), text_of(err))


def environment(**changes: str) -> dict[str, str]:
    """Return an environment in which a process of its own finds the package."""
    kept = {name: os.environ[name] for name in ("PATH", "SYSTEMROOT", "TEMP", "TMPDIR") if name in os.environ}
    return {**kept, "PYTHONPATH": str(ROOT / "src"), "PYTHONIOENCODING": "utf-8", **changes}


def command(*arguments: str | Path) -> list[str]:
    """Return the command line of a process of its own."""
    return [sys.executable, "-m", "tailboard.cli.main", *map(str, arguments)]


def process(*arguments: str | Path, cwd: Path = ROOT, stdin: str = "", **changes: str) -> Ran:
    """Run a command as a process of its own."""
    done = subprocess.run(
        command(*arguments),
        cwd=cwd,
        env=environment(**changes),
        input=stdin,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    return Ran(done.returncode, done.stdout, done.stderr)


def write(folder: Path, files: dict[str, str] | Sequence[tuple[str, str]]) -> Path:
    """Write files into a folder and return it."""
    for name, text in dict(files).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    return folder


def one_sentence(ran: Ran) -> str:
    """Return the sentence with which a command that could not run ended; anything else fails."""
    assert ran.code == 2, ran
    assert ran.err.count("\n") == 1
    assert ran.err.startswith("tailboard: ")
    assert "Traceback" not in ran.err
    return ran.err.removeprefix("tailboard: ").strip()
