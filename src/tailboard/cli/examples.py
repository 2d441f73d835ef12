"""The example show: shipped inside the package, or standing in the repository's own folder."""

from __future__ import annotations

from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

import tailboard
from tailboard.cli.problem import CannotRun

NAME = "small"


def example_files() -> dict[str, bytes]:
    """Return the files of the example by name. Raises CannotRun when it was not installed."""
    places: tuple[Traversable, ...] = (
        resources.files("tailboard") / "examples" / NAME,
        Path(tailboard.__file__).parents[2] / "examples" / NAME,
    )
    for place in places:
        if place.is_dir():
            return dict(sorted(files_below(place, "")))
    raise CannotRun("the example show is missing from this installation")


def files_below(folder: Traversable, before: str) -> list[tuple[str, bytes]]:
    """Return the files of a folder and those below it, by name with '/' between its parts."""
    found: list[tuple[str, bytes]] = []
    for entry in folder.iterdir():
        if entry.is_dir():
            found += files_below(entry, f"{before}{entry.name}/")
        elif not entry.name.startswith("."):
            found.append((f"{before}{entry.name}", entry.read_bytes()))
    return found
