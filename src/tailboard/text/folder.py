"""Where files come from: a folder on disk, or texts in memory. Reading only."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Protocol

SKIPPED_FOLDERS = frozenset({".git", "takes", "log"})


class Files(Protocol):
    """A set of files by path relative to the show folder, '/' between the parts."""

    def names(self) -> list[str]:
        """Return the names of all files, sorted."""

    def size(self, name: str) -> int:
        """Return the size in bytes. Raises OSError."""

    def read(self, name: str) -> bytes:
        """Return the content. Raises OSError."""


class Folder:
    """Files of a folder on disk; hidden files and the tool's own records are left out."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def names(self) -> list[str]:
        """Return the names of all files, at most two folders deep, sorted."""
        found: list[str] = []
        for parent, folders, files in os.walk(self.path):
            depth = len(Path(parent).relative_to(self.path).parts)
            folders[:] = sorted(name for name in folders if not name.startswith(".") and name not in SKIPPED_FOLDERS)
            if depth >= 2:
                folders.clear()
            found.extend(Path(parent, name).relative_to(self.path).as_posix() for name in files)
        return sorted(found)

    def size(self, name: str) -> int:
        """Return the size in bytes. Raises OSError."""
        return (self.path / name).stat().st_size

    def read(self, name: str) -> bytes:
        """Return the content. Raises OSError."""
        return (self.path / name).read_bytes()


class Texts:
    """Files held in memory: what tests and generators read."""

    def __init__(self, files: Mapping[str, str | bytes]) -> None:
        self.files = {name: data.encode() if isinstance(data, str) else data for name, data in files.items()}

    def names(self) -> list[str]:
        """Return the names of all files, sorted."""
        return sorted(self.files)

    def size(self, name: str) -> int:
        """Return the size in bytes. Raises OSError."""
        return len(self.read(name))

    def read(self, name: str) -> bytes:
        """Return the content. Raises OSError."""
        try:
            return self.files[name]
        except KeyError:
            raise FileNotFoundError(name) from None
