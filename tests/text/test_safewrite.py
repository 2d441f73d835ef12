"""A write that fails, at whatever step, leaves the user's file as it was and nothing beside it."""

import errno
import os
import stat
from pathlib import Path
from typing import Any

import pytest

from tailboard.text.safewrite import ChangedOnDisk, write_beside

OLD, NEW = b"line,label\n1,A\n", b"line,label\n1,B\n"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "lines.csv"
    path.write_bytes(OLD)
    return path


def content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_the_version_before_is_kept(file: Path) -> None:
    write_beside(file, NEW, OLD)
    assert content(file.parent) == {"lines.csv": NEW, "lines.csv.before-1": OLD}
    write_beside(file, b"third", NEW)
    assert content(file.parent) == {"lines.csv": b"third", "lines.csv.before-1": OLD, "lines.csv.before-2": NEW}


def test_a_new_file(tmp_path: Path) -> None:
    write_beside(tmp_path / "feeds.csv", NEW, None)
    assert content(tmp_path) == {"feeds.csv": NEW}


def test_nothing_happens_without_a_change(file: Path) -> None:
    before = file.stat().st_mtime_ns
    write_beside(file, OLD, OLD)
    assert content(file.parent) == {"lines.csv": OLD}
    assert file.stat().st_mtime_ns == before


@pytest.mark.parametrize("expected", [None, b"", NEW])
def test_a_file_changed_by_someone_else_is_not_touched(file: Path, expected: bytes | None) -> None:
    with pytest.raises(ChangedOnDisk) as caught:
        write_beside(file, NEW, expected)
    assert caught.value.path == file.resolve()
    assert content(file.parent) == {"lines.csv": OLD}


def test_a_file_that_is_gone_is_not_made_again(tmp_path: Path) -> None:
    with pytest.raises(ChangedOnDisk):
        write_beside(tmp_path / "lines.csv", NEW, OLD)
    assert content(tmp_path) == {}


def test_a_change_while_writing_is_not_lost(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.fsync

    def meanwhile(handle: int) -> None:
        real(handle)
        file.write_bytes(b"theirs")

    monkeypatch.setattr(os, "fsync", meanwhile)
    with pytest.raises(ChangedOnDisk):
        write_beside(file, NEW, OLD)
    assert content(file.parent) == {"lines.csv": b"theirs"}


def test_rights_are_kept(file: Path) -> None:
    file.chmod(0o640)
    write_beside(file, NEW, OLD)
    assert stat.S_IMODE(file.stat().st_mode) == (0o640 if os.name == "posix" else stat.S_IMODE(file.stat().st_mode))


def test_a_link_is_followed(file: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.csv"
    try:
        link.symlink_to(file)
    except OSError:
        pytest.skip("this system makes no links without special rights")
    write_beside(link, NEW, OLD)
    assert link.is_symlink()
    assert file.read_bytes() == NEW


class FullDisk:
    """Makes the n-th call of one system function fail as on a full disk."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, where: Any, name: str, number: int) -> None:
        real = getattr(where, name)
        self.calls = 0

        def failing(*args: Any, **kwargs: Any) -> Any:
            self.calls += 1
            if self.calls == number:
                raise OSError(errno.ENOSPC, "No space left on device")
            return real(*args, **kwargs)

        monkeypatch.setattr(where, name, failing)


@pytest.mark.parametrize(
    ("where", "name", "number"), [(os, "fsync", 1), (os, "fsync", 2), (Path, "replace", 1), (Path, "open", 2)]
)
def test_a_full_disk(file: Path, monkeypatch: pytest.MonkeyPatch, where: Any, name: str, number: int) -> None:
    with monkeypatch.context() as patched:
        disk = FullDisk(patched, where, name, number)
        with pytest.raises(OSError, match="No space left"):
            write_beside(file, NEW, OLD)
        assert disk.calls == number
    assert content(file.parent) == {"lines.csv": OLD}


def test_an_interrupt_leaves_the_old_file(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: int) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_beside(file, NEW, OLD)
    assert content(file.parent) == {"lines.csv": OLD}


def test_a_folder_that_cannot_be_written(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(self: Path, *_: Any, **__: Any) -> Any:
        raise PermissionError(errno.EACCES, "Permission denied", str(self))

    with monkeypatch.context() as patched:  # root may write anywhere, so the refusal is played
        patched.setattr(Path, "open", refused)
        patched.setattr(Path, "read_bytes", lambda _: OLD)
        with pytest.raises(PermissionError):
            write_beside(file, NEW, OLD)
    assert content(file.parent) == {"lines.csv": OLD}


def test_no_older_version_is_ever_overwritten(file: Path) -> None:
    (file.parent / "lines.csv.before-1").write_bytes(b"precious")
    write_beside(file, NEW, OLD)
    assert content(file.parent)["lines.csv.before-1"] == b"precious"
    assert content(file.parent)["lines.csv.before-2"] == OLD
