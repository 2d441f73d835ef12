"""Ranges as people write them: `1..13`, `6-9`, `M-01..04`, `SB-1/o4-5`, and the way back."""

import re
from collections.abc import Container, Iterable

RANGE_MAX = 4096  # own limit: more than any device has ports; a longer range is a slip of the finger

_DOTS = re.compile(r"(?P<prefix>.*?)(?P<first>[0-9]+)\s*(?:\.{2,}|…)\s*(?P<again>.*?)(?P<last>[0-9]+)", re.DOTALL)
_HYPHEN = re.compile(
    r"(?P<prefix>(?:.*[/A-Za-z])?)(?P<first>[0-9]+)\s*[-‐‑–—−]\s*(?P<again>[A-Za-z]*)(?P<last>[0-9]+)", re.DOTALL
)
_MAYBE = re.compile(r"[,\n…]|\.\.|[0-9]\s*[-‐‑–—−]")  # a text without any of these is a single name
_DIGITS = "0123456789"


def is_single(text: str) -> bool:
    """Return whether a text, or none of many joined by '|', can be a list or a range."""
    return _MAYBE.search(text) is None


def expand(text: str, known: Container[str] | None = None) -> tuple[list[str], list[str]]:
    """Return the names that `text` stands for, in order and without doubles, and the problems in words.

    text   a list parted by commas or line breaks; each part a name or a range.
    known  names that exist: a part that is one of them is never split ('SB-1', '6-9' as a device).

    `a..b` is always a range; `a-b` only between whole numbers, bare or after a prefix that ends in '/' or a letter.
    >>> expand("M-01..03, 6-8")
    (['M-01', 'M-02', 'M-03', '6', '7', '8'], [])
    """
    if is_single(text):
        return ([text.strip()] if text.strip() else []), []
    problems: list[str] = []
    names: dict[str, None] = {}
    parts = [text] if known is not None and text.strip() in known else re.split(r"[,\n]", text)
    for part in map(str.strip, parts):
        if part and (known is None or part not in known):
            names.update(dict.fromkeys(_expand_part(part, problems)))
        elif part:
            names[part] = None
    return list(names), problems


def _expand_part(part: str, problems: list[str]) -> list[str]:
    """Return the names of one part; an unreadable range gives none and adds a problem."""
    found = _DOTS.fullmatch(part)
    if found is None and (".." in part or "…" in part):
        problems.append(f"'{part}' is no range: both ends need a number, as in 1..4")
        return []
    if found is None:
        found = _HYPHEN.fullmatch(part)
        if found is None or not _same_prefix(found["prefix"], found["again"]):
            return [part]
    elif not _same_prefix(found["prefix"], found["again"]):
        problems.append(f"'{part}' is no range: '{found['prefix']}' and '{found['again']}' differ")
        return []
    problem = _problem(part, found["prefix"], found["first"], found["last"])
    if problem:
        problems.append(problem)
        return []
    width = len(found["first"]) if found["first"].startswith("0") else 0
    numbers = range(int(found["first"]), int(found["last"]) + 1)
    return [f"{found['prefix']}{number:0{width}}" if width else f"{found['prefix']}{number}" for number in numbers]


def _same_prefix(prefix: str, again: str) -> bool:
    """Return whether the second end repeats the prefix, its last letters ('SB-1/o1..o4'), or leaves it out."""
    if again in ("", prefix):
        return True
    before = prefix.removesuffix(again)
    return before != prefix and again[0].isalpha() and not before[-1:].isalpha()


def _problem(part: str, prefix: str, first: str, last: str) -> str:
    """Return what is wrong with a range, or nothing."""
    if len(first) > 9 or len(last) > 9:
        return f"'{part}' has numbers that are too long"
    if int(first) > int(last):
        return f"'{part}' runs downwards; write {prefix}{last}..{first}"
    if int(last) - int(first) >= RANGE_MAX:
        return f"'{part}' stands for {int(last) - int(first) + 1:,} names; at most {RANGE_MAX:,} are read"
    if last.startswith("0") and len(last) > 1 and len(last) != len(first):
        return f"'{part}' has different numbers of zeros at its ends"
    return ""


def compress(names: Iterable[str]) -> str:
    """Return names as a short list, three or more in a row as a range: `1..5, 7`. `expand` reads it back.

    >>> compress(["1", "2", "3", "7"])
    '1..3, 7'
    """
    runs: list[list[str]] = []
    stem_before, digits_before = "", ""
    for name in dict.fromkeys(names):
        stem = name.rstrip(_DIGITS)
        digits = name[len(stem) :]
        if stem == stem_before and runs and len(runs[-1]) < RANGE_MAX and _follows(digits, digits_before):
            runs[-1].append(name)
        else:
            runs.append([name])
        stem_before, digits_before = stem, digits
    return ", ".join(", ".join(run) if len(run) < 3 else f"{run[0]}..{_number(run[-1])}" for run in runs)


def _follows(digits: str, before: str) -> bool:
    """Return whether a number is one more than another, zeros kept."""
    if not (digits and before) or int(digits) != int(before) + 1:
        return False
    return len(digits) == len(before) or (len(digits) > len(before) and digits[0] != "0")


def _number(name: str) -> str:
    """Return the number at the end of a name."""
    return name[len(name.rstrip(_DIGITS)) :]
