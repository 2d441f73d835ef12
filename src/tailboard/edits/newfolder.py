"""A new folder with its files: made whole, or not at all; a folder that holds anything is refused."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path


class FolderTakenError(Exception):
    """The folder holds something already; nothing was written."""


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a new or empty folder.

    files  name with '/' between its parts: content.

    Raises FolderTakenError when the folder holds anything, OSError when it cannot be written; then what was written so
    far is taken away again.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FolderTakenError(str(folder))
    made: list[Path] = []
    try:
        for name, data in files.items():
            path = folder / name
            for parent in reversed(path.parents):
                if not parent.exists():
                    parent.mkdir()
                    made.append(parent)
            with path.open("xb") as file:  # fails rather than touch a file that is there
                made.append(path)
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
    except BaseException:
        for path in reversed(made):
            path.rmdir() if path.is_dir() else path.unlink(missing_ok=True)
        raise
