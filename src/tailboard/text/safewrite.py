"""Writing a user's file without ever losing what stood in it."""

import itertools
import os
import shutil
from pathlib import Path


class ChangedOnDisk(Exception):  # noqa: N818 - the name says what happened
    """The file no longer holds what its writer had read; nothing was written. `path` is the file."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} was changed by someone else; nothing was written")
        self.path = path


def write_beside(path: Path, data: bytes, expected: bytes | None, kept_in: Path | None = None) -> None:
    """Replace the content of a file; the version before is kept as `NAME.before-1`, `-2` and so on.

    path      the file; a link is followed.
    data      the new content.
    expected  what the writer believes to stand in the file; None when it believes that there is no file.
    kept_in   the folder for the version before, made where there is none; None: beside the file.

    The new text is written under another name and moved into place once it is on the disk, so that at every moment the
    old file or the new one stands there whole. Nothing happens when the file holds `data` already.

    Raises ChangedOnDisk when the file holds something else than expected, OSError when the folder cannot be written or
    the disk is full. After either the file is as it was, and nothing is left beside it.
    """
    path = path.resolve()
    _require(path, expected)
    if expected == data:
        return
    made: list[Path] = []
    try:
        new = _write_new(path, f".{path.name}.new-", data, made)
        if expected is not None:
            if kept_in is not None:
                kept_in.mkdir(parents=True, exist_ok=True)
            _write_new((kept_in or path.parent) / path.name, f"{path.name}.before-", expected, made)
            shutil.copymode(path, new)
        _require(path, expected)  # once more: someone may have written while we did
        new.replace(path)
    except BaseException:
        for file in made:
            file.unlink(missing_ok=True)
        raise


def _require(path: Path, expected: bytes | None) -> None:
    """Raise ChangedOnDisk unless the file holds what is expected."""
    present = path.read_bytes() if path.exists() else None
    if present != expected:
        raise ChangedOnDisk(path)


def _write_new(path: Path, begin: str, data: bytes, made: list[Path]) -> Path:
    """Write `data` beside `path` under the first free name `begin`1, 2, ..., force it to the disk, and note it in `made`."""
    for number in itertools.count(1):
        file = path.with_name(f"{begin}{number}")
        try:
            stream = file.open("xb")  # fails rather than touch a file that is there
        except FileExistsError:
            continue
        made.append(file)
        with stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        return file
    raise AssertionError("unreachable: there is always a next number")
