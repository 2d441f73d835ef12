"""The commands of the project: locks, the environment that `make` builds, what continuous integration calls."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOCKS = ("run", "test")
PIN = re.compile(r"^(?P<name>[a-z0-9-]+)==(?P<version>\S+)", re.MULTILINE)


def lock(name: str) -> str:
    """Return a lock file."""
    return (ROOT / "requirements" / f"{name}.txt").read_text(encoding="utf-8")


def normal(requirement: str) -> str:
    """Return the name of a requirement as lock files write it."""
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=!~ ;\[]", requirement)[0]).lower()


@pytest.mark.parametrize("name", LOCKS)
def test_every_entry_of_a_lock_has_its_hashes_and_no_host(name: str) -> None:
    entries = re.split(r"\n(?=\S)", lock(name).strip())
    assert all(PIN.match(entry) and "--hash=sha256:" in entry for entry in entries)
    assert not re.search(r"https?:|--index|--find-links|--extra", lock(name))


def test_the_locks_hold_what_the_project_names() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    run = {match["name"] for match in PIN.finditer(lock("run"))}
    assert {normal(entry) for entry in project["project"]["dependencies"]} <= run
    assert {normal(entry) for entry in project["build-system"]["requires"]} <= run
    wanted = (ROOT / "requirements" / "test.in").read_text(encoding="utf-8").split("\n")
    test = {match["name"] for match in PIN.finditer(lock("test"))}
    assert {normal(entry) for entry in wanted if entry and not entry.startswith("#")} <= test


def test_the_tests_run_with_the_versions_that_users_get() -> None:
    assert set(PIN.findall(lock("run"))) <= set(PIN.findall(lock("test")))


def test_continuous_integration_calls_make_test() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert script.startswith("#!/usr/bin/env bash\n")
    assert "set -euo pipefail" in script
    assert script.rstrip().endswith("\nmake test")
    assert os.access(ROOT / ".ci" / "run", os.X_OK)


@pytest.mark.parametrize("script", sorted((ROOT / "tools").glob("*.sh")), ids=lambda path: path.name)
def test_the_shell_scripts_can_be_parsed(script: Path) -> None:
    assert subprocess.run(["sh", "-n", str(script)], check=False).returncode == 0


def make_venv(folder: Path, python: str, path: str) -> subprocess.CompletedProcess[str]:
    """Run tools/make_venv.sh in a folder of its own, with only some programs to be found."""
    return subprocess.run(
        ["/bin/sh", str(ROOT / "tools" / "make_venv.sh"), ".venv", python],
        cwd=folder,
        env={"PATH": path, "HOME": str(folder / "no-home")},
        capture_output=True,
        text=True,
        check=False,
        timeout=100,
    )


def program(folder: Path, name: str, text: str) -> None:
    """Write a small program."""
    path = folder / name
    path.write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    path.chmod(0o755)


def test_an_old_python_is_refused_in_a_sentence(tmp_path: Path) -> None:
    program(tmp_path, "python3", "case $1 in --version) echo Python 3.9.2 ;; *) exit 1 ;; esac")
    program(tmp_path, "cat", "exit 1")
    made = make_venv(tmp_path, "python3", str(tmp_path))
    assert made.returncode == 1
    assert "No Python of 3.11 or newer is here (python3 is Python 3.9.2)" in made.stderr
    assert not (tmp_path / ".venv").exists()


def test_a_newer_python_is_found_beside_an_old_one(tmp_path: Path) -> None:
    program(tmp_path, "python3", "exit 1")
    program(tmp_path, "python3.12", f'exec "{sys.executable}" "$@"')
    made = make_venv(tmp_path, "python3", f"{tmp_path}:/usr/bin:/bin")
    assert made.returncode == 0, made.stderr
    assert (tmp_path / ".venv" / "made-in").read_text(encoding="utf-8").strip() == str(tmp_path)
    again = make_venv(tmp_path, "none", "/usr/bin:/bin")
    assert again.returncode == 0, "an environment that works is kept"


def test_without_ensurepip_and_apt_the_one_command_is_named(tmp_path: Path) -> None:
    program(tmp_path, "python3.11", "case $2 in *ensurepip*) exit 1 ;; *) exit 0 ;; esac")
    program(tmp_path, "cat", "exit 1")
    program(tmp_path, "id", "echo 1000")
    made = make_venv(tmp_path, "python3.11", str(tmp_path))
    assert made.returncode == 1
    assert "apt-get install python3.11-venv" in made.stderr


SKIPPING = """
import pytest

def test_skips():
    pytest.skip("no root")

def test_passes():
    pass
"""


@pytest.mark.parametrize(("ci", "code"), [("true", 1), ("", 0)])
@pytest.mark.parametrize("workers", ["0", "2"])
def test_a_skip_fails_under_continuous_integration_only(tmp_path: Path, ci: str, code: int, workers: str) -> None:
    (tmp_path / "test_it.py").write_text(SKIPPING, encoding="utf-8")
    (tmp_path / "conftest.py").write_text(
        (ROOT / "tests" / "conftest.py").read_text(encoding="utf-8"), encoding="utf-8"
    )
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-n", workers, "-p", "no:cacheprovider", "test_it.py"],
        cwd=tmp_path,
        env={"PATH": "", "CI": ci},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == code, ran.stdout
    assert "1 x no root" in ran.stdout
    assert "1 passed, 1 skipped" in ran.stdout
