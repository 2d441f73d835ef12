"""The house: imports only go down the rows of the design, outside libraries stay in their rows, `check` stays light."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

from style.trees import PACKAGE, functions, imports, listed, module_name, python_files, shown, text_lines, tree

ROWS = (
    ("units", "findings"),
    ("text", "physics", "wire"),
    ("kinds",),
    ("model", "signal"),
    ("answers", "live", "record"),
    ("rules", "plan"),
    ("views", "edits"),
    ("draw",),
    ("book",),
    ("term", "web"),
    ("cli",),
)
ROW_OF = {folder: number for number, folders in enumerate(ROWS) for folder in folders}

# Outside libraries by folder; everything else has the standard library alone.
OUTSIDE = {
    "text": {"yaml", "python_calamine", "xlsxwriter", "ruamel"},
    "edits": {"ruamel"},
    "signal": {"numpy", "scipy"},
    "record": {"sqlalchemy"},
    "draw": {"segno"},
    "book": {"xlsxwriter", "typst", "fontpkg"},
    "web": {"fastapi", "starlette", "uvicorn", "jinja2", "markupsafe", "pydantic"},
    "cli": {"shtab"},
}
HEAVY = {
    "numpy",
    "scipy",
    "xlsxwriter",
    "python_calamine",
    "ruamel",
    "jinja2",
    "fastapi",
    "uvicorn",
    "typst",
    "shtab",
    "segno",
    "sqlalchemy",
    "fontpkg",
}
PORTABLE_ONLY = {"fcntl", "pwd", "grp", "resource", "termios", "tty", "pty", "crypt", "nis", "spwd", "syslog", "posix"}
POSIX_CALLS = {
    "os.fork",
    "os.getuid",
    "os.geteuid",
    "os.getgid",
    "os.chown",
    "os.mkfifo",
    "os.setsid",
    "os.killpg",
    "os.getpgid",
    "os.uname",
}

SOURCES = python_files("src")


def folder_of(path: Path) -> str:
    """Return the folder of the house that a file stands in; empty for the package's own files."""
    parts = path.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else ""


def upward(source: ast.AST, own: str) -> list[tuple[int, str]]:
    """Return (line, what is wrong) for each import of a file in the folder `own` that does not go down."""
    found = []
    for node, name in imports(source):
        if name.startswith("."):
            found.append((node.lineno, "relative import; write the full name"))
        if not name.startswith("tailboard."):
            continue
        other = name.split(".")[1]
        if other not in ROW_OF:
            found.append((node.lineno, f"'{other}' stands in no row of the design"))
        elif own and other != own and ROW_OF[other] >= ROW_OF[own]:
            found.append((node.lineno, f"{own} (row {ROW_OF[own]}) may not import {other} (row {ROW_OF[other]})"))
    return sorted(found)


def test_every_folder_stands_in_a_row() -> None:
    folders = {folder_of(path) for path in SOURCES} - {""}
    assert folders <= set(ROW_OF), f"no row for {sorted(folders - set(ROW_OF))}"


def test_imports_only_go_down() -> None:
    found = [f"{shown(path, line)}: {words}" for path in SOURCES for line, words in upward(tree(path), folder_of(path))]
    assert not found, listed(found)


def test_an_upward_import_is_seen_wherever_it_stands() -> None:
    source = ast.parse(
        "import tailboard.units\ndef f():\n    if 1:\n        from tailboard.model import show\n    from . import x\n"
    )
    assert [line for line, _ in upward(source, "text")] == [4, 5]
    assert not upward(ast.parse("from tailboard.model import show\n"), "answers")


def test_outside_libraries_stay_in_their_rows() -> None:
    found = []
    for path in SOURCES:
        allowed = OUTSIDE.get(folder_of(path), set()) | sys.stdlib_module_names | {"tailboard"}
        found += [
            f"{shown(path, node.lineno)}: {name} is not for {folder_of(path) or 'the package itself'}"
            for node, name in imports(tree(path))
            if not name.startswith(".") and name.split(".")[0] not in allowed
        ]
    assert not found, listed(found)


def test_an_import_inside_a_function_says_why() -> None:
    found = {
        f"{shown(path, node.lineno)}: an import inside a function without a comment that says why"
        for path in SOURCES
        for function in functions(path)
        for node, _ in imports(function)
        if not said(path, node.lineno)
    }
    assert not found, listed(sorted(found))


def said(path: Path, line: int) -> bool:
    """Return whether a comment stands on the line or on the one before it."""
    lines = text_lines(path)
    return "#" in lines[line - 1] or lines[line - 2].lstrip().startswith("#")


def test_modules_are_not_loaded_by_name_outside_the_command_line() -> None:
    found = []
    for path in SOURCES:
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Call) and folder_of(path) != "cli":
                name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                if name in {"import_module", "__import__", "exec", "eval"}:
                    found.append(f"{shown(path, node.lineno)}: {name}")
    assert not found, listed(found)


def at_once(path: Path) -> set[str]:
    """Return the modules that a file loads as soon as it is loaded itself."""
    inside = {
        id(inner)
        for node in ast.walk(tree(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) or is_typing_only(node)
        for inner in ast.walk(node)
    }
    names: set[str] = set()
    for node in ast.walk(tree(path)):
        if id(node) in inside:
            continue
        if isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
    return names


def is_typing_only(node: ast.AST) -> bool:
    """Return whether a statement is `if TYPE_CHECKING:`."""
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def reachable(starts: list[str]) -> dict[str, str]:
    """Return every module loaded at once from the starts, with the module that loads it."""
    files = {module_name(path): path for path in SOURCES}
    loaded: dict[str, str] = dict.fromkeys(starts, "")
    waiting = list(starts)
    while waiting:
        current = waiting.pop()
        if current not in files:
            continue
        names = at_once(files[current]) | {current.rpartition(".")[0]}
        for name in names - {""} - loaded.keys():
            if name in files or not name.startswith("tailboard"):
                loaded[name] = current
                waiting.append(name)
    return loaded


CHECK_STARTS = [
    "tailboard.cli.main",
    "tailboard.cli.run",
    "tailboard.cli.commands.check",
    "tailboard.model.reading",
    "tailboard.rules.run",
]


@pytest.mark.parametrize("start", CHECK_STARTS)
def test_what_check_loads_is_light(start: str) -> None:
    assert any(module_name(path) == start for path in SOURCES), f"{start} is gone; name the module that took its place"
    loaded = reachable([start])
    heavy = {name: loaded[name] for name in loaded if name.split(".")[0] in HEAVY}
    assert not heavy, f"loaded by {heavy}"


def test_nothing_needs_a_posix_system() -> None:
    found = [
        f"{shown(path, node.lineno)}: {name}"
        for path in SOURCES
        for node, name in imports(tree(path))
        if name.split(".")[0] in PORTABLE_ONLY
    ]
    found += [
        f"{shown(path, node.lineno)}: {ast.unparse(node)}"
        for path in SOURCES
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Attribute) and ast.unparse(node) in POSIX_CALLS
    ]
    assert not found, listed(found)


def test_only_the_faces_print() -> None:
    found = []
    for path in SOURCES:
        if folder_of(path) in {"cli", "term"}:
            continue
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print":
                found.append(f"{shown(path, node.lineno)}: print")
            if isinstance(node, ast.Attribute) and ast.unparse(node) in {"sys.stdout", "sys.stderr"}:
                found.append(f"{shown(path, node.lineno)}: sys.{node.attr}")
    assert not found, listed(found)
