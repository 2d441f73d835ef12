"""A spot as a reader sees it: file, line, column and the text that stands there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TypedDict

from tailboard.findings import Because, Spot

Sources = Mapping[str, list[str]]


class PlaceView(TypedDict):
    """Where something is written. Lines and columns count from 1; 0 means the whole file, the whole line, no width.

    at    the spot as people and editors write it: `lines.csv:7:14`.
    text  the line as it stands in the file; empty for a workbook and for what the tool brings itself.
    """

    at: str
    file: str
    line: int
    column: int
    width: int
    sheet: str
    text: str


class ReasonView(TypedDict):
    """Another place, with a few words that say what stands there."""

    place: PlaceView
    words: str


def place_view(spot: Spot, sources: Sources) -> PlaceView:
    """Return a spot with the line of text it lies in."""
    lines = () if spot.sheet else sources.get(spot.file, ())
    text = lines[spot.line - 1] if 0 < spot.line <= len(lines) else ""
    return {
        "at": str(spot),
        "file": spot.file,
        "line": spot.line,
        "column": spot.column,
        "width": spot.width,
        "sheet": spot.sheet,
        "text": text,
    }


def reason_views(reasons: Iterable[Because], sources: Sources) -> list[ReasonView]:
    """Return the other places of a finding or the steps of an evidence, in order."""
    return [{"place": place_view(reason.spot, sources), "words": reason.words} for reason in reasons]
