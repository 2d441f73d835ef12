"""The reference part of docs/format.md: a table a section, made from the same columns that the reader uses."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.kinds.records import CableKind, Kind, Optic, PortKind, SourceKind
from tailboard.model.found import ReadHead
from tailboard.model.records import (
    Accepted,
    Act,
    Bus,
    Clock,
    Feed,
    FoundAnswer,
    FoundHouse,
    FoundLabel,
    FoundPort,
    Heading,
    Hearing,
    Line,
    Station,
    SwitchPort,
)  # fmt: skip
from tailboard.model.sections import BY_NAME
from tailboard.text.fields import Column, Record, columns_of
from tailboard.units import worded


@dataclass(frozen=True, slots=True)
class Chapter:
    """One table of the reference.

    heading   its heading.
    record    the record whose fields it lists.
    identity  where the name of a record stands: a column of the table, or words in brackets.
    """

    heading: str
    record: type[Record]
    identity: str = ""


KIND_SECTIONS: dict[str, type[Record]] = {
    "kinds": Kind, "optics": Optic, "cable kinds": CableKind, "source kinds": SourceKind,
}  # fmt: skip
TABLES = (
    Chapter("lines.csv", Line, "line"),
    Chapter("buses.csv", Bus, "bus"),
    Chapter("feeds.csv", Feed, "feed"),
    Chapter("comms.csv", Station, "station"),
    Chapter("hearing.csv", Hearing, "listener"),
    Chapter("acts.csv", Act, "act"),
)
FOUND = (
    Chapter("found: read", ReadHead),
    Chapter("found: ports", FoundPort, "(SWITCH: PORT)"),
    Chapter("found: labels", FoundLabel, "(BOX: JACK)"),
    Chapter("found: house", FoundHouse),
    Chapter("found: answers", FoundAnswer, "(QUESTION)"),
)


def chapters() -> Iterator[Chapter]:
    """Yield the tables of the reference in their order."""
    yield Chapter("head of show.yaml", Heading)
    for section, record in BY_NAME.items():
        if section not in KIND_SECTIONS:
            yield Chapter(section, record, "(NAME)")
    yield Chapter("devices: clock", Clock)
    yield Chapter("switches", SwitchPort, "(SWITCH: PORT)")
    yield Chapter("accepted", Accepted, "claim")
    yield from TABLES
    yield from FOUND
    for section, record in KIND_SECTIONS.items():
        yield Chapter(section, record, "(NAME)")
    yield Chapter("kinds: ports", PortKind, "(JACK)")


def format_document() -> str:
    """Return the reference of the format as Markdown."""
    return "\n".join(line for chapter in chapters() for line in chapter_lines(chapter))


def chapter_lines(chapter: Chapter) -> Iterator[str]:
    """Yield the Markdown of one table."""
    yield f"### {chapter.heading}\n"
    yield f"{inspect.cleandoc(chapter.record.__doc__ or '')}\n"
    yield "| key | what may be written | if nothing is written | meaning |"
    yield "|---|---|---|---|"
    if chapter.identity:
        yield row(
            chapter.identity, "a name, ranges allowed" if "(" in chapter.identity else "a name", "needed", "its name"
        )
    for column in columns_of(chapter.record):
        yield row(column.name, written_as(column), default_of(column), column.meaning)
    if chapter.record is Kind:
        yield row("ports", "JACK: its keys, ranges allowed", "none", "its jacks, ports and cages; see 'kinds: ports'")
    yield ""


def row(*cells: str) -> str:
    """Return a row of a Markdown table."""
    texts = [cell.replace("|", "\\|").replace("\n", " ") for cell in cells]
    return f"| `{texts[0]}` | {' | '.join(texts[1:])} |"


def written_as(column: Column) -> str:
    """Return what may be written for a column, in words."""
    if column.shape is None:
        return f"keys of its own; see '{column.name}'"
    return f"a mapping of {column.shape.words}" if column.shape.mapped else column.shape.words


def default_of(column: Column) -> str:
    """Return what counts where nothing is written."""
    if column.required:
        return "needed"
    match column.default:
        case None | () | "":
            return "none"
        case bool():
            return "yes" if column.default else "no"
        case float() if column.shape is not None and column.shape.base:
            return worded(column.default, column.shape.base)
        case _:
            return str(column.default)
