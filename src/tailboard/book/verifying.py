"""A check sum from a page in the hand, held against the show folder: is this paper still true, and what has changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypedDict

from tailboard.book.register import Entry

SCHEMA = "tailboard/book-sum/1"
BOOK = "the whole book"


class SumView(TypedDict):
    """What a check sum is of.

    state    'current', 'superseded', 'unknown'.
    sheet    the key of its sheet; book, made, version: the last registered book that had it, 0 and empty where none had.
    now      the check sum of that sheet as the folder stands, empty where there is no such sheet any more.
    changed  keys of the sheets that differ between that book and the folder, gone and new ones too.
    says     one sentence.
    """

    schema: str
    sum: str
    state: str
    sheet: str
    book: int
    made: str
    version: str
    now: str
    changed: list[str]
    says: str


def sum_view(
    wanted: str, current: Mapping[str, str], content: str, single: Mapping[str, str], entries: Sequence[Entry]
) -> SumView:
    """Return what a check sum is of.

    current  sheet key: check sum, as the folder stands now; content: the sum of the whole book.
    single   the same for the single sheets that the command `sheet` prints.
    """
    text = wanted.strip().lower()
    held = [entry for entry in entries if text == entry.sum or text in entry.sheets.values()]
    last = max(held, key=lambda entry: entry.number, default=None)
    now = {**{f"sheet of {name}": value for name, value in single.items()}, **current, BOOK: content}
    here = next((key for key, value in reversed(now.items()) if value == text), "")
    view: SumView = {
        "schema": SCHEMA, "sum": text, "state": "current" if here else "unknown", "sheet": here,
        "book": last.number if last else 0, "made": last.made if last else "", "version": last.version if last else "",
        "now": text if here else "", "changed": changed(last.sheets, current) if last else [], "says": "",
    }  # fmt: skip
    if here:
        view["says"] = f"{text} is {named(here)} as the folder stands now: this paper is true."
    elif last is not None:
        was = next((key for key, value in last.sheets.items() if value == text), BOOK)
        view |= {"state": "superseded", "sheet": was, "now": now.get(was, "")}
        fate = f"it now has the check sum {view['now']}" if view["now"] else "there is no such sheet any more"
        view["says"] = (
            f"{text} is {named(was)} of book {last.number}, {last.version}, made {last.made}. The folder has changed since: {fate}."
        )
    else:
        view["says"] = f"{text} is no sheet of this folder as it stands, nor of a book that its register knows."
    return view


def named(key: str) -> str:
    """Return what a check sum is of, in words."""
    return key if key == BOOK else f"the {key}" if key.startswith("sheet of ") else f"the sheet '{key}'"


def changed(before: Mapping[str, str], now: Mapping[str, str]) -> list[str]:
    """Return the sheets that differ, in the order of the book, those that are gone last."""
    found = [key for key, value in now.items() if before.get(key) != value]
    return [*found, *(key for key in before if key not in now)]
