"""The shape of the code: short functions and files, a first line that says what a file is for, nothing left behind."""

from __future__ import annotations

import ast
import re
from pathlib import Path

from style.trees import functions, listed, project_files, python_files, shown, text_lines, tree

FUNCTION_LINES_MAX = 40  # docs/decisions.md: what fits one screen beside its test
FILE_LINES_MAX = 500
REASON = "# long:"

# Spelled in two halves, so that this file does not hold them.
LEFTOVERS = re.compile(
    r"\b("
    + "|".join(("TO" + "DO", "FIX" + "ME", "XX" + "X", "HA" + "CK", "W" + "IP", "TB" + "D"))
    + r")\b|raise NotImpl"
    + "emented"
)
HOSTS_AND_PATHS = re.compile(
    "|".join(
        (
            r"py" + r"pi\.(org|python)", r"pythonhosted" + r"\.org", r"npm" + r"js\.(org|com)", r"debian" + r"\.(org|net)/",
            r"crates" + r"\.io", r"/wo" + r"rk/", r"/ro" + r"ot/", r"/ho" + r"me/[a-z]", r"/Us" + r"ers/[A-Za-z]", r"[A-Z]:\\Us" + r"ers",
        )
    )
)  # fmt: skip


def has_reason(lines: tuple[str, ...]) -> bool:
    """Return whether one of the lines gives a reason of at least two words for being long."""
    return any(len(line.partition(REASON)[2].split()) >= 2 for line in lines)


def test_functions_fit_one_screen_or_say_why_not() -> None:
    found = []
    for path in python_files():
        for function in functions(path):
            first, last = function.lineno, function.end_lineno or function.lineno
            count = last - first + 1
            if count > FUNCTION_LINES_MAX and not has_reason(text_lines(path)[first - 1 : last]):
                found.append(
                    f"{shown(path, first)}: {function.name} has {count} lines; shorten it or say '{REASON} why'"
                )
    assert not found, listed(found)


def test_files_are_short_or_say_why_not() -> None:
    found = [
        f"{shown(path)} has {len(text_lines(path))} lines; part it or say '{REASON} why' in its first lines"
        for path in python_files()
        if len(text_lines(path)) > FILE_LINES_MAX and not has_reason(text_lines(path)[:10])
    ]
    assert not found, listed(found)


def test_each_file_says_in_its_first_line_what_it_is_for() -> None:
    found = []
    for path in python_files():
        document = ast.get_docstring(tree(path)) or ""
        if len(document.partition("\n")[0].split()) < 3:
            found.append(f"{shown(path)}: no first line that says what the file is for")
    for path in project_files():
        if path.suffix in {".sh", ".yaml"} and not is_user_text(path):
            lines = [line for line in text_lines(path) if not line.startswith("#!")]
            if not lines or not lines[0].startswith("# "):
                found.append(f"{shown(path)}: no first line that says what the file is for")
    assert not found, listed(found)


def is_user_text(path: Path) -> bool:
    """Return whether a file is a show as a user writes it."""
    return "examples" in path.parts or "tests" in path.parts


def test_nothing_is_left_behind() -> None:
    found = [
        f"{shown(path, number)}: {line.strip()}"
        for path in text_files()
        for number, line in enumerate(text_lines(path), 1)
        if LEFTOVERS.search(line)
    ]
    assert not found, listed(found)


def test_no_file_names_a_registry_or_a_machine() -> None:
    found = [
        f"{shown(path, number)}: {line.strip()[:120]}"
        for path in text_files()
        for number, line in enumerate(text_lines(path), 1)
        if HOSTS_AND_PATHS.search(line)
    ]
    assert not found, listed(found)


def test_the_searches_see_what_they_look_for() -> None:
    assert LEFTOVERS.search("# " + "TO" + "DO later")
    assert LEFTOVERS.search("raise NotImpl" + "ementedError")
    assert HOSTS_AND_PATHS.search("see https://py" + "pi.org/simple")
    assert HOSTS_AND_PATHS.search("open('/ho" + "me/ann/show.yaml')")
    assert not has_reason(("    # long:",))
    assert has_reason(("def f():  # long: one table, read top to bottom",))


def text_files() -> list[Path]:
    """Return the project's files that are text."""
    return [path for path in project_files() if b"\0" not in path.read_bytes()[:4096] and is_utf_8(path)]


def is_utf_8(path: Path) -> bool:
    """Return whether a file is UTF-8."""
    try:
        path.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return False
    return True
