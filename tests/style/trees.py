"""The project's own files and their syntax trees, for the tests of style."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "tailboard"
OUR_PYTHON = ("src", "tests", "bench", "tools")


@cache
def project_files() -> tuple[Path, ...]:
    """Return the files that are, or may become, part of the repository; outside a repository every file but built ones."""
    asked = subprocess.run(
        ["git", "-C", str(ROOT), "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        capture_output=True,
        check=False,
    )
    if asked.returncode == 0:
        names = [name for name in asked.stdout.decode().split("\0") if name]
        return tuple(sorted(path for path in (ROOT / name for name in names) if path.is_file()))
    built = {".git", ".venv", "__pycache__", "dist", "build"}
    return tuple(sorted(path for path in ROOT.rglob("*") if path.is_file() and not built & set(path.parts)))


def python_files(*folders: str) -> list[Path]:
    """Return the Python files of some folders of the project, sorted."""
    return [
        path
        for path in project_files()
        if path.suffix == ".py" and path.relative_to(ROOT).parts[0] in (folders or OUR_PYTHON)
    ]


@cache
def tree(path: Path) -> ast.Module:
    """Return the syntax tree of a file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


@cache
def text_lines(path: Path) -> tuple[str, ...]:
    """Return the lines of a file; index 0 is line 1."""
    return tuple(path.read_text(encoding="utf-8").splitlines())


def shown(path: Path, line: int = 0) -> str:
    """Return a file's name as a reader and an editor write it."""
    name = path.relative_to(ROOT).as_posix()
    return f"{name}:{line}" if line else name


def module_name(path: Path) -> str:
    """Return the dotted name of a module of the package."""
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(source: ast.AST) -> Iterator[tuple[ast.stmt, str]]:
    """Yield every import of a syntax tree, wherever it stands, as (statement, dotted name)."""
    for node in ast.walk(source):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node, alias.name
        elif isinstance(node, ast.ImportFrom):
            module = "." * node.level + (node.module or "")
            for alias in node.names:
                yield node, f"{module}.{alias.name}" if module == "tailboard" else module


def functions(path: Path) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Yield every function and method of a file, nested ones too."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def listed(found: list[str]) -> str:
    """Return what a failed test says: one line a place."""
    return "\n" + "\n".join(found)
