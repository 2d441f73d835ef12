"""The hearing table names somebody or something that is not in the show.

What it finds: a name under by, always, on key or never of hearing.csv that is no line, bus, set, feed, station, person,
circuit or party line. A name that may be a person or party line is not judged where no station is written.
Why it matters: what must never be heard is not looked for under a wrong name, and the row looks proven.
Example: the presenter must never hear S-SMM, and the station is S-SM.
Fix: write the name as its own table has it.
Does not find: a wrong name that exists.
Source: the show's own tables.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.party_lines import party_lines
from tailboard.answers.wanted import Wanted, near_wanted, wanted_rows
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model

RULE = Rule("hearing-name-unknown", "hearing", Severity.ERROR, __doc__)
TITLES = {"by": "by", "always": "always", "on_key": "on key", "never": "never"}


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a row of the hearing table."""
    for wanted in ask(wanted_rows):
        wrong = [(column, name) for column in TITLES for name in wanted.unknown.get(column, ())]
        judged = [(column, name) for column, name in wrong if can_be_judged(ask, column, name)]
        says = f"every name in the row of {wanted.row.id} is known"
        if judged:
            yield broken(ask.model, wanted, judged, says)
        elif not wrong:
            yield RULE.holds(wanted.row.id, says)


def can_be_judged(ask: Ask, column: str, name: str) -> bool:
    """Return whether a name is in no table, and the tables that could bear it are there, or a name close to it is."""
    model = ask.model
    if column == "by":
        return bool(model.feeds or model.stations)
    tables = (model.buses, model.sets, model.feeds, model.circuits, ask(party_lines).channels)
    if any(name in table for table in tables):
        return False
    return bool(model.stations and model.lines) or bool(near_wanted(model, name))


def broken(model: Model, wanted: Wanted, wrong: list[tuple[str, str]], says: str) -> Claim:
    """Return the claim of a row with unknown names: the first in the message, the others as further places."""
    row, told = wanted.row, []
    for column, name in wrong:
        near = near_wanted(model, name, ears=column == "by")
        meant = f"; did you mean {near}?" if near else ""
        sort = "feed or station" if column == "by" else "line, bus, set, feed, station, person, circuit or party line"
        told.append((column, f"'{name}' under '{TITLES[column]}' of {row.id} is no {sort}{meant}", near, name))
    column, message, near, name = told[0]
    return RULE.broken(
        row.id,
        says,
        spot=row.at.spot(column),
        message=message,
        because=[Because(row.at.spot(other), words) for other, words, _, _ in told[1:]],
        fix=f"write {near} instead of {name}"
        if near
        else f"correct {name} in {row.at.spot(column).file}, or add it to the show",
    )
