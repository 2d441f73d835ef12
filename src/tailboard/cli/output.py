"""Where answers go: the page as the stream can show it, or JSON. A stream that is gone is said in one sentence."""

from __future__ import annotations

import argparse
import contextlib
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TextIO

from tailboard.cli.problem import CannotRun
from tailboard.term.page import WIDTH, WIDTH_MIN, Style
from tailboard.term.signs import SIGNS

WIDTH_MAX = 100  # longer lines are hard to follow with the eye, common practice, no source


@dataclass(slots=True)
class Output:
    """A stream with the look it can show."""

    stream: TextIO
    style: Style
    json: bool = False

    @classmethod
    def of(cls, stream: TextIO | None, options: argparse.Namespace) -> Output:
        """Return the output for a stream. Raises CannotRun when the stream is closed."""
        if stream is None:
            raise CannotRun("there is no output to write to; it was closed before the command began")
        with contextlib.suppress(AttributeError, ValueError):  # a test's stream in memory has no encoding to change
            stream.reconfigure(errors="replace")  # type: ignore[attr-defined]  # the standard streams have it
        plain = getattr(options, "plain", False) or not shows_signs(stream)
        style = Style(columns(stream, getattr(options, "width", None)), plain, shows_colour(stream))
        return cls(stream, style, getattr(options, "json", False))

    def show(self, document: Mapping[str, Any], page: Callable[[Style], str]) -> None:
        """Write an answer: the document as JSON if that was asked for, else its page."""
        if self.json:
            self.document(document)
        else:
            self.text(page(self.style))

    def document(self, document: Mapping[str, Any]) -> None:
        """Write a document as JSON."""
        import json  # noqa: PLC0415  a check on the terminal does without it

        wide = (self.stream.encoding or "").lower().replace("-", "") == "utf8"
        self.text(json.dumps(document, indent=1, ensure_ascii=not wide) + "\n")

    def text(self, text: str) -> None:
        """Write text. Raises CannotRun when it cannot be written."""
        try:
            self.stream.write(text)
            self.stream.flush()
        except OSError as problem:
            self.forget()
            raise CannotRun(f"the answer could not be written: {problem.strerror or problem}") from None

    def close(self) -> None:
        """Write what is still held back. Raises CannotRun when it cannot be written."""
        self.text("")

    def forget(self) -> None:
        """Point the stream at nothing, so that nothing is written to it when the interpreter ends."""
        if self.stream is sys.stdout:
            with contextlib.suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), self.stream.fileno())


def shows_signs(stream: TextIO) -> bool:
    """Return whether the stream's encoding has our signs."""
    try:
        "".join(SIGNS.values()).encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def shows_colour(stream: TextIO) -> bool:
    """Return whether to use colour: only on a terminal that knows it, and where nobody has asked for none."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM", "dumb") != "dumb"


def columns(stream: TextIO, wanted: int | None) -> int:
    """Return the width of a page: as asked for, else that of the terminal within limits, else 80."""
    if wanted is not None:
        if wanted < WIDTH_MIN:
            raise CannotRun(f"--width {wanted} is too narrow; a page needs {WIDTH_MIN} columns")
        return wanted
    try:
        own = os.get_terminal_size(stream.fileno()).columns if stream.isatty() else WIDTH
    except (OSError, ValueError):
        own = WIDTH
    return max(WIDTH_MIN, min(own or WIDTH, WIDTH_MAX))
