"""The table of fields: one entry says name, shape, default, need and meaning of a field of the user's files.

A record class lists its fields with `column(...)`; reader, documentation and JSON Schema all walk that list.
"""

import dataclasses
from dataclasses import MISSING, dataclass, field
from typing import Any, Protocol

from tailboard.findings import NOWHERE, Spot
from tailboard.text.shapes import Shape


class Origin(Protocol):
    """Where a record came from."""

    def spot(self, attribute: str = "") -> Spot:
        """Return where the attribute was written; for one that was not, where the record begins."""

    def how(self, attribute: str) -> str:
        """Return 'written', 'default' or 'derived: ...'."""


@dataclass(frozen=True, slots=True)
class Derived:
    """Origin of a record that the tool derived; `reason` says from what."""

    reason: str
    from_spot: Spot = NOWHERE

    def spot(self, attribute: str = "") -> Spot:  # noqa: ARG002  every attribute comes from the same text
        """Return the text it was derived from."""
        return self.from_spot

    def how(self, attribute: str) -> str:  # noqa: ARG002
        """Return 'derived: ...'."""
        return f"derived: {self.reason}"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Record:
    """Base of everything that is read: a name and where it came from."""

    id: str
    at: Origin = dataclasses.field(repr=False)


@dataclass(frozen=True, slots=True)
class Column:
    """One field of a record.

    attribute  name in the record; name: name in the file.
    shape      what may be written; required: a record without it is a fault.
    default    value where nothing is written.
    meaning    one sentence; part: class of a nested record, or None.
    rest       attribute that takes what stands behind the word minus, or nothing.
    """

    attribute: str
    name: str
    shape: Shape | None
    default: Any
    required: bool
    meaning: str
    part: type[Record] | None = None
    rest: str = ""


def column(
    name: str, shape: Shape, meaning: str, *, default: Any = None, required: bool = False, rest: str = ""
) -> Any:
    """Declare a field of a record."""
    told = {"name": name, "shape": shape, "meaning": meaning, "required": required, "rest": rest}
    return field(default=default, metadata=told)


def part(name: str, kind: type[Record], meaning: str) -> Any:
    """Declare a nested record; its value is None where it is not written."""
    return field(default=None, metadata={"name": name, "part": kind, "meaning": meaning})


COLUMNS: dict[Any, tuple[Column, ...]] = {}
REQUIRED: dict[Any, tuple[Column, ...]] = {}
BY_KEY: dict[Any, dict[str, Column]] = {}
RESTS: dict[Any, tuple[Column, ...]] = {}


def columns_of(record: type[Record]) -> tuple[Column, ...]:
    """Return the fields of a record class, in the order declared."""
    known = COLUMNS.get(record)
    if known is None:
        known = tuple(described(entry) for entry in dataclasses.fields(record) if "name" in entry.metadata)
        COLUMNS[record] = known
    return known


def required_columns(record: type[Record]) -> tuple[Column, ...]:
    """Return the fields that a record cannot do without."""
    known = REQUIRED.get(record)
    if known is None:
        known = REQUIRED[record] = tuple(column for column in columns_of(record) if column.required)
    return known


def columns_with_rest(record: type[Record]) -> tuple[Column, ...]:
    """Return the fields of which another takes what stands behind the word minus."""
    known = RESTS.get(record)
    if known is None:
        known = RESTS[record] = tuple(column for column in columns_of(record) if column.rest)
    return known


def columns_by_key(record: type[Record]) -> dict[str, Column]:
    """Return the fields of a record class by their names as keys are compared. The dictionary is shared: read it only."""
    known = BY_KEY.get(record)
    if known is None:
        known = {plain_key(column.name): column for column in columns_of(record)}
        BY_KEY[record] = known
    return known


def plain_key(text: str) -> str:
    """Return a key as it is compared: lower case, blanks for underscores."""
    if text.isalnum() and text.islower():
        return text
    return " ".join(text.lower().replace("_", " ").split())


def described(entry: dataclasses.Field[Any]) -> Column:
    """Return the column that a dataclass field declares."""
    return Column(
        attribute=entry.name,
        name=entry.metadata["name"],
        shape=entry.metadata.get("shape"),
        default=None if entry.default is MISSING else entry.default,
        required=entry.metadata.get("required", False),
        meaning=entry.metadata["meaning"],
        part=entry.metadata.get("part"),
        rest=entry.metadata.get("rest", ""),
    )
