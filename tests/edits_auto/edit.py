"""One automatic edit of a show: which values change, the text that comes out, and what is expected of the rules."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, cached_property
from typing import Any, TypeVar

import yaml

from support.draft import Draft
from support.edits_written import Writer
from tailboard.answers.ask import Ask
from tailboard.answers.wiring import Wiring, wiring
from tailboard.kinds.library import data_files
from tailboard.model.records import SwitchPort
from tailboard.model.show import Found, Model, device_of
from tailboard.text.fields import Derived, Record

T = TypeVar("T")
FOUND = "found "  # how the tables of what was found are called here: `found ports`
HEAD = "show"  # how the one entry of the table `heading` is called here
LIBRARY = ("kinds", "optics", "cable kinds", "source kinds")


@dataclass(frozen=True, slots=True)
class Change:
    """One entry that is written otherwise: its values by attribute, or None where the entry is dropped.

    like  the entry that a new one is copied from; empty where the entry is there.
    For a kind of the library (table `kinds`, `optics`, `cable kinds` or `source kinds`) the values are texts by the key
    as a user writes it, None for a key left out: the whole kind is written into kinds/ again.
    """

    table: str
    name: str
    values: Mapping[str, Any] | None
    like: str = ""


@dataclass(frozen=True, slots=True)
class Edit:
    """One edit.

    kind      what is done, in words; subject: to what.
    changes   the entries that are written otherwise.
    families  the families of rules of which one must speak.
    names     the things edited; what is said must name one of them.
    """

    kind: str
    subject: str
    changes: tuple[Change, ...]
    families: frozenset[str]
    names: tuple[str, ...]

    def __str__(self) -> str:
        """Return the edit as a test prints it."""
        return f"{self.kind}: {self.subject}"


Maker = Callable[["Case"], Iterator[Edit]]


@dataclass(frozen=True)
class Case:
    """A clean show that is edited, with what the makers of edits look up in it."""

    name: str
    model: Model = field(repr=False)

    @classmethod
    def example(cls, name: str) -> Case:
        """Return a shipped example."""
        return cls(name, Draft.example(name).read().model)

    @cached_property
    def wiring(self) -> Wiring:
        """Which cable is in which jack."""
        return wiring(Ask(self.model))

    def ends(self, cable: str) -> tuple[str, ...]:
        """Return both ends of a cable, and the devices they are at."""
        ends = [end for end in self.wiring.ends[cable] if end]
        return tuple(dict.fromkeys([*ends, *(device_of(end) for end in ends)]))

    def joined(self, cable: str) -> tuple[str, ...]:
        """Return both ends of a cable with their devices, and those behind media converters, which nobody sees."""
        found = dict.fromkeys(self.ends(cable))
        left, seen = list(found), {cable}
        while left:
            name = left.pop()
            if name in self.model.devices and self.model.kind_of(name).role == "media converter":
                for other in self.wiring.ends:
                    if other not in seen and name in self.ends(other):
                        seen.add(other)
                        left += [end for end in self.ends(other) if end not in found]
                        found.update(dict.fromkeys(self.ends(other)))
        return tuple(found)

    def hearers(self, *ears: str) -> list[str]:
        """Return who hears by some feeds or stations: rows of the hearing table, listeners and persons."""
        model = self.model
        rows = [name for name, row in model.hearing.items() if set(ears) & set(row.by)]
        people = [model.feeds[ear].listener for ear in ears if ear in model.feeds]
        people += [model.stations[ear].person for ear in ears if ear in model.stations]
        return [*rows, *(part.strip() for words in people for part in words.split(",") if part.strip())]

    def text(self, *changes: Change) -> Draft:
        """Return the show as text, some entries written otherwise."""
        tables: dict[str, dict[str, Record]] = {}
        kinds = [change for change in changes if change.table in LIBRARY]
        for change in changes:
            if change in kinds:
                continue
            table = tables.setdefault(change.table, dict(self.table(change.table)))
            if change.values is None:
                del table[change.name]
            else:
                table[change.name] = replace(entry_of(table, change), **change.values)
        found = {name.removeprefix(FOUND): table for name, table in tables.items() if name.startswith(FOUND)}
        kept: dict[str, Any] = {name: table for name, table in tables.items() if not name.startswith(FOUND)}
        if "heading" in kept:
            kept["heading"] = kept["heading"][HEAD]
        changed: Model = replace(self.model, **kept, found=replace(self.model.found, **found))  # type: ignore[arg-type]
        draft = Writer(changed).draft()
        for change in kinds:
            draft.files[f"kinds/{change.name}.yaml"] = kind_text(change)
        return draft

    def table(self, name: str) -> Mapping[str, Record]:
        """Return a table of the model; the head of the show is a table of one entry."""
        if name == "heading":
            return {HEAD: self.model.heading}
        holder: Model | Found = self.model.found if name.startswith(FOUND) else self.model
        table: Mapping[str, Record] = getattr(holder, name.removeprefix(FOUND))
        return table


def entry_of(table: Mapping[str, Record], change: Change) -> Record:
    """Return the entry to be written otherwise; a new one is a copy, a switch port that nothing was written for empty."""
    if change.like:
        return replace(table[change.like], id=change.name)
    if change.table == "ports" and change.name not in table:
        return SwitchPort(id=change.name, at=Derived("an edit writes it"))
    return table[change.name]


@cache
def built_in(section: str) -> dict[str, dict[str, Any]]:
    """Return a section of the built-in library as its files write it, every value a text."""
    found: dict[str, dict[str, Any]] = {}
    for _, text in data_files():
        found.update(yaml.load(text, Loader=yaml.BaseLoader).get(section, {}))  # noqa: S506  reads texts alone
    return found


def kind_text(change: Change) -> str:
    """Return the file that writes a built-in kind again with other values."""
    written = {**built_in(change.table)[change.name], **(change.values or {})}
    kept = {key: value for key, value in written.items() if value is not None}
    return json.dumps({change.table: {change.name: kept}}, ensure_ascii=False) + "\n"


MAKERS: dict[str, tuple[frozenset[str], Maker]] = {}


def makes(
    kind: str, families: str
) -> Callable[[Callable[[Case], Iterator[tuple[str, list[Change], list[str]]]]], Maker]:
    """Register a maker of edits of one kind: it yields (subject, changes, names)."""

    def register(make: Callable[[Case], Iterator[tuple[str, list[Change], list[str]]]]) -> Maker:
        expected = frozenset(families.split())

        def edits(case: Case) -> Iterator[Edit]:
            for subject, changes, names in make(case):
                yield Edit(kind, subject, tuple(changes), expected, tuple(names))

        assert kind not in MAKERS
        MAKERS[kind] = (expected, edits)
        return edits

    return register


def change(table: str, name: str, **values: Any) -> Change:
    """Return an entry with other values."""
    return Change(table, name, values)


def add(table: str, name: str, like: str, **values: Any) -> Change:
    """Return a new entry: a copy of another with other values."""
    return Change(table, name, values, like)


def drop(table: str, name: str) -> Change:
    """Return an entry that is no longer there."""
    return Change(table, name, None)
