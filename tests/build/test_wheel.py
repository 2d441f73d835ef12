"""The wheel: built without a network, installed beside nothing of ours, used from another folder."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path

import pytest

import tailboard

ROOT = Path(__file__).parents[2]
SOURCES = ("src", "examples", "docs", "pyproject.toml", "README.md", "LICENSE", "CHANGELOG.md")


def run(*words: str | Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a program with nothing of ours in its environment."""
    plain = {"PATH": "", "HOME": str(folder), "NO_COLOR": "1", "PYTHONUTF8": "1", "SYSTEMROOT": "/"}
    return subprocess.run(
        [str(word) for word in words], cwd=folder, env=plain, capture_output=True, text=True, check=False, timeout=100
    )


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a wheel built from a copy of the tree."""
    copy = tmp_path_factory.mktemp("tree")
    for name in SOURCES:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy(source, copy / name)
    built = run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", copy / "dist", folder=copy)
    assert built.returncode == 0, built.stderr
    (made,) = (copy / "dist").glob("*.whl")
    return made


@pytest.fixture(scope="module")
def program(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the program installed from the wheel into a fresh environment; its libraries are those of this one."""
    home = tmp_path_factory.mktemp("fresh")
    fresh = home / "venv"
    made = run(sys.executable, "-m", "venv", "--without-pip", fresh, folder=home)
    assert made.returncode == 0, made.stderr
    scripts = fresh / ("Scripts" if sys.platform == "win32" else "bin")
    into = ("--python", str(scripts / "python"), "install", "--no-deps", "--no-index", "--quiet", "--no-cache-dir")
    installed = run(sys.executable, "-m", "pip", *into, wheel, folder=home)
    assert installed.returncode == 0, installed.stderr
    (site,) = fresh.glob("**/site-packages")
    (site / "libraries.pth").write_text(sysconfig.get_paths()["purelib"] + "\n", encoding="utf-8")
    return scripts / "tailboard"


def test_the_wheel_holds_the_package_and_its_data(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert "tailboard/kinds/data/devices.yaml" in names
    assert any(name.endswith("licenses/LICENSE") for name in names)
    assert not [name for name in names if name.startswith(("tests", "bench", "tools")) or "__pycache__" in name]
    assert "py3-none-any" in wheel.name


def test_the_program_says_its_version(program: Path, tmp_path: Path) -> None:
    said = run(program, "--version", folder=tmp_path)
    assert said.stdout.split() == ["tailboard", tailboard.__version__], said.stderr
    asked = run(program.parent / "python", "-c", "import tailboard; print(tailboard.__file__)", folder=tmp_path)
    assert Path(asked.stdout.strip()).is_relative_to(program.parents[1])


def test_the_program_proves_a_copied_show_from_another_folder(program: Path, tmp_path: Path) -> None:
    shutil.copytree(ROOT / "examples" / "small", tmp_path / "show")
    checked = run(program, "check", tmp_path / "show", "--json", folder=tmp_path)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    claims = json.loads(checked.stdout)["claims"]
    assert claims["holds"] > 0
    assert claims["broken"] == 0


def test_the_demo_runs_without_the_tree(program: Path, tmp_path: Path) -> None:
    shown = run(program, "demo", folder=tmp_path)
    assert shown.returncode in {0, 1}, shown.stderr
    assert "SB-1" in shown.stdout
    assert not shown.stderr
    assert not list(tmp_path.iterdir()), "the demo leaves nothing behind"
