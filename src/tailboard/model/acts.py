"""Acts: what is patched otherwise in one part of a show, as small tables of the cells that differ."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from tailboard.findings import Rule, Severity, Spot
from tailboard.model.records import Act, Feed, Line
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Row, Table
from tailboard.text.recordreader import Report

FOLDER = "acts"
OVERLAID_TABLES = ("lines", "feeds")
OUT = "out"  # the column that takes a row out of an act
YES = frozenset({"yes", "on", "true", "x"})
ACTS_MAX = 60  # own limit: each act is proven whole; a night has fewer

ACT_LEADS_NOWHERE = Rule(
    "act-leads-nowhere",
    "reading",
    Severity.ERROR,
    """An act's table names what there is not.

What it finds: a table in acts/NAME/ whose act stands in no row of acts.csv, a row or a column that the show's own table
does not have, a row that stands twice, more acts than are read.
Why it matters: what was to be otherwise in that act is not, and nobody was told.
Example: acts/half time/lines.csv changes line 55 of a show whose lines end at 48.
Fix: correct the name; a line that only one act has stands in lines.csv as well, and is `out: yes` in the others.
Does not find: a change that names the wrong row, if that row is there.
Source: the format of this project, docs/format.md.
""",
)
RULES = (ACT_LEADS_NOWHERE,)


@dataclass(frozen=True, slots=True)
class Differing:
    """One cell that an act changes: what stood and what stands; `after` is `out` where the whole row is taken out."""

    table: str
    row: str
    column: str
    before: str
    after: str
    spot: Spot


@dataclass(frozen=True)
class ActPlan:
    """One act: its lines and feeds as they are then, and every cell that is otherwise than in the show's own tables."""

    record: Act
    lines: dict[str, Line]
    feeds: dict[str, Feed]
    changes: tuple[Differing, ...] = field(default_factory=tuple)


Lost = Callable[[Spot, str, str, str], None]


def laid(
    base: Table, act: Table, id_name: str, lost: Lost
) -> tuple[Table, list[Differing]]:  # long: one pass over the rows of an act
    """Return a table with an act's cells in place, and what they change; the base is left as it is.

    An empty cell is unchanged, a hyphen clears it, `out: yes` takes the row out of the act. `lost` is told of names that
    lead nowhere: spot, subject, words, repair.
    """
    table = replace(base, rows=[], lines=list(base.lines), moved=dict(base.moved))
    table.rows = [Row(list(row.texts), table, row.index) for row in base.rows]
    places = {cell.text.casefold(): index for index, cell in reversed(list(enumerate(base.header)))}
    heads = [cell.text.casefold() for cell in act.header]
    if id_name not in heads or id_name not in places:
        lost(Spot(act.file), id_name, f"{act.file} has no column '{id_name}'", f"name its first column '{id_name}'")
        return table, []
    own = heads.index(id_name)
    by_name = {row.texts[places[id_name]]: row for row in reversed(table.rows)}
    for cell in act.header:
        if cell.text and cell.text.casefold() not in (*places, OUT):
            near = nearest(cell.text, places)
            fix = f"did you mean '{near}'?" if near else f"add the column to {base.file}"
            lost(cell.spot, cell.text, f"{base.name} has no column '{cell.text}'", fix)
    changes: list[Differing] = []
    done: set[str] = set()
    gone: set[str] = set()
    for change in act.rows:
        name = change.texts[own]
        row = by_name.get(name)
        if row is None or name in done:
            near = nearest(name, by_name) if row is None else ""
            words = f"{base.name} has no row '{name}'" if row is None else f"'{name}' stands twice in {act.file}"
            lost(change[own].spot, name, words, f"did you mean '{near}'?" if near else "correct or delete the row")
            continue
        done.add(name)
        if OUT in heads and change.texts[heads.index(OUT)].casefold() in YES:
            gone.add(name)
            changes.append(Differing(base.name, name, id_name, name, OUT, change[own].spot))
            continue
        for index, head in enumerate(heads):
            text = change.texts[index]
            if index == own or not text or head not in places or text == row.texts[places[head]]:
                continue
            changes.append(Differing(base.name, name, head, row.texts[places[head]], text, change[index].spot))
            row.texts[places[head]] = text
            table.moved[row.index, places[head]] = change[index].spot
    table.rows = [row for row in table.rows if row.texts[places[id_name]] not in gone]
    return table, changes


def reporting(report: Report, act: str) -> Lost:
    """Return what reports names that lead nowhere in one act."""

    def lost(spot: Spot, subject: str, words: str, fix: str) -> None:
        report.add(ACT_LEADS_NOWHERE.finding((act, subject), spot, f"act {act}: {words}", fix))

    return lost
