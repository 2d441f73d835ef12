"""The files of a show as they stood at a revision that git keeps. Reading only."""

from __future__ import annotations

import subprocess
from pathlib import Path

GIT_TIME_MAX_S = 20.0  # own limit: reading one folder of a revision takes far less


class NoRevisionError(Exception):
    """The revision, or the folder in it, cannot be read; the sentence says why."""


class Revision:
    """The files of one folder at one revision.

    folder  a folder inside a git work tree; revision: what `git rev-parse` understands.

    Raises NoRevisionError.
    """

    def __init__(self, folder: Path, revision: str) -> None:
        self.folder, self.revision = folder, revision
        if revision.startswith("-") or not folder.is_dir():
            raise NoRevisionError(
                f"'{revision}' is no revision" if folder.is_dir() else f"there is no folder '{folder}'"
            )
        found = git(folder, "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
        if found is None:
            raise NoRevisionError(f"git knows no revision '{revision}' in {folder}")
        self.commit = found.decode().strip()
        listed = git(folder, "ls-tree", "-r", "-z", "--long", self.commit, ".")
        if not listed:
            raise NoRevisionError(f"revision '{revision}' holds no files in {folder}")
        self.objects: dict[str, tuple[str, int]] = {}
        for entry in listed.decode("utf-8", "replace").rstrip("\0").split("\0"):
            about, _, name = entry.partition("\t")
            mode, _, key, size = about.split()
            if mode.startswith("100") and name.count("/") <= 2 and not name.startswith((".", "log/", "takes/")):
                self.objects[name] = (key, int(size))

    def names(self) -> list[str]:
        """Return the names of all files, sorted."""
        return sorted(self.objects)

    def size(self, name: str) -> int:
        """Return the size in bytes. Raises OSError."""
        return self._object(name)[1]

    def read(self, name: str) -> bytes:
        """Return the content. Raises OSError."""
        data = git(self.folder, "cat-file", "blob", self._object(name)[0])
        if data is None:
            raise OSError(f"{name} cannot be read from revision {self.revision}")
        return data

    def _object(self, name: str) -> tuple[str, int]:
        """Return (object, size in bytes). Raises OSError."""
        if name not in self.objects:
            raise FileNotFoundError(name)
        return self.objects[name]


def git(folder: Path, *arguments: str) -> bytes | None:
    """Return what git answers in a folder, or None where it fails or is not there."""
    command = ["git", "-C", str(folder), "-c", "core.quotePath=false", *arguments]
    try:
        done = subprocess.run(  # noqa: S603  our own words; a revision is checked before
            command, capture_output=True, check=False, timeout=GIT_TIME_MAX_S, stdin=subprocess.DEVNULL
        )
    except (OSError, subprocess.TimeoutExpired):
        return None
    return done.stdout if done.returncode == 0 else None
