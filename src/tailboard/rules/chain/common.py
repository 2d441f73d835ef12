"""What several rules of this family share: the order of names, spares, and figures that are not written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from tailboard.answers.paths import Chain
from tailboard.answers.signal_edges import Edge
from tailboard.findings import Because, Claim, Rule, Spot
from tailboard.kinds.records import Kind, SourceKind
from tailboard.model.records import Line
from tailboard.text.fields import Record
from tailboard.text.ranges import compress

NUMBERS = re.compile(r"(\d+)")


def natural(name: str) -> tuple[tuple[int, str], ...]:
    """Return a sorting key by which line 9 stands before line 10, whatever the order of rows."""
    return tuple((int(part), "") if part.isdecimal() else (-1, part) for part in NUMBERS.split(name) if part)


def is_spare(line: Line) -> bool:
    """Return whether a row is a spare: it says so, or its source or label begins with the word."""
    if line.spare is not None:
        return line.spare
    return line.source.casefold().startswith("spare") or line.label.casefold().startswith("spare")


def titled(line: Line) -> str:
    """Return a line as people call it: 'line 7 (LECT)'."""
    return f"line {line.id} ({line.label})" if line.label else f"line {line.id}"


def many(noun: str, names: Iterable[str]) -> str:
    """Return 'line 7' or 'lines 1..5, 7'."""
    found = sorted(names, key=natural)
    return f"{noun} {found[0]}" if len(found) == 1 else f"{noun}s {compress(found)}"


def steps_shown(steps: Iterable[Edge]) -> list[Because]:
    """Return the steps of a chain as evidence: where each is written, and what carries it from where to where."""
    return [Because(edge.record.at.spot(edge.attribute), f"{edge.start} - {edge.end}: {edge.words}") for edge in steps]


def onward_fix(chain: Chain, start: str, ends: str) -> str:
    """Return the repair of a chain that breaks off: where it stops, and what is written there."""
    last = chain.steps[-1].end if chain.steps else start
    where = f"; see {chain.stop.spot}" if chain.stop is not None and chain.stop.spot.file else ""
    return f"lead {last} on to {ends}{where}"


def example_figures(kind: Kind | SourceKind) -> tuple[str, ...]:
    """Return the assumption that a kind's figures are example values, if they are."""
    if not kind.figures.startswith("example value"):
        return ()
    return (f"kind {kind.id}",) if isinstance(kind, Kind) else (f"source kind {kind.id}",)


def unwritten(
    rule: Rule, noun: str, column: str, attribute: str, records: Mapping[str, Record], names: list[str], need: str
) -> Iterator[Claim]:
    """Yield one open claim for all the rows in which a figure is not written; `need` says what waits for it."""
    if not names:
        return
    names = sorted(names, key=natural)
    spot = records[names[0]].at.spot(attribute)
    yield rule.open(
        (f"{noun}s", column),
        f"{column} is written for every {noun}",
        spot=spot,
        missing=f"{column} is not written for {many(noun, names)}, so {need}",
        fix=f"write {column} in {spot.file}",
    )


def box_unknown(rule: Rule, box: str, figure: str, lines: list[str], spot: Spot, need: str) -> Claim:
    """Return the open claim for a box whose figure is not known, with the lines that wait for it."""
    return rule.open(
        (box, figure),
        f"the {figure} of {box} is known",
        spot=spot,
        missing=f"the {figure} of {box} is not known, so {need} for {many('line', lines)}",
        fix=f"write {box} under devices in show.yaml, with a kind that gives its {figure}",
    )
