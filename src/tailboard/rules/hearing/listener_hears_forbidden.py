"""A listener gets what the hearing table forbids him.

What it finds: a source under `never` of a row of hearing.csv that has a way to one of the listener's feeds or stations,
with or without a key; a source under `on key` that he gets all the time.
Why it matters: the presenter hears the director talk to somebody else, or the audience hears the crew.
Example: the presenter must never hear the stage manager, and the circuit of the stage manager's key interrupts FD1.
Fix: close the way that the message shows, or correct the row.
Does not find: what is heard through the air; what a listener hears by feeds that his row does not name.
Source: the show's own hearing table.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import label_of
from tailboard.answers.signal_ears import listenings
from tailboard.answers.wanted import Wanted, unknown_words, wanted_rows
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.hearing.common import (
    excluding,
    jack_keys,
    lines_in,
    lowest,
    minus_of,
    named,
    own_lines,
    returned_lines,
    shown,
    steps_of,
)

RULE = Rule("listener-hears-forbidden", "hearing", Severity.ERROR, __doc__)
WAYS_MAX = 4  # sources whose way is worked out; the message names them all


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a row of the hearing table that forbids something."""
    found = ask(hearing)
    explained = explained_by_feed(ask, found) if ask.model.hearing else {}
    for wanted in ask(wanted_rows):
        if wanted.row.never or wanted.row.on_key:
            yield judged(ask.model, found, wanted, explained)


def judged(model: Model, found: Hearing, wanted: Wanted, explained: dict[str, int]) -> Claim:
    """Return the claim of one row."""
    row, heard = wanted.row, found.at(*wanted.points)
    says = f"{row.id} gets nothing that the hearing table forbids"
    never = heard.possible & wanted.sets["never"]
    steady = heard.steady & wanted.sets["on_key"]
    if never or steady:
        return broken(model, found, wanted, (never, steady), explained)
    for column, words in unknown_words(model, wanted, ("by", "never", "on_key")):
        return RULE.open(
            row.id, says, spot=row.at.spot(column), missing=words, fix=f"correct the name in {row.at.spot(column).file}"
        )
    return RULE.holds(row.id, says, assumptions=excluding(found, heard.excluded & wanted.sets["never"], *wanted.points))


def broken(
    model: Model, found: Hearing, wanted: Wanted, offending: tuple[int, int], explained: dict[str, int]
) -> Claim:
    """Return the claim of a row with what is heard against it."""
    row, (never, steady) = wanted.row, offending
    ways = list(found.ways(lowest(never, WAYS_MAX), *wanted.points)) + list(
        found.ways(lowest(steady, 1), *wanted.points)
    )
    by, parts = ", ".join(wanted.by), []
    if never:
        parts.append(f"{row.id} can hear {named(model, found.names(never))} by {by}, which must never be")
    if steady:
        parts.append(
            f"{row.id} hears {named(model, found.names(steady))} by {by} all the time, which must be on key only"
        )
    column = "never" if never else "on_key"
    feeds = [model.feeds[name] for name in wanted.feeds]
    return RULE.broken(
        row.id,
        f"{row.id} gets nothing that the hearing table forbids",
        spot=row.at.spot(column),
        message=f"{'; '.join(parts)}: {shown(found, ways)}",
        because=[
            *(Because(feed.at.spot("mix"), f"{feed.id}: {', '.join(feed.mix)}") for feed in feeds),
            *steps_of(ways),
        ],
        fix=f"close the way {shown(found, ways[:1])}, or correct the row of {row.id} in {row.at.spot(column).file}",
        rests_on=filed_under(model, wanted, never | steady, explained, found) | jack_keys(ways),
        lines=lines_in(found, model, never | steady),
        feeds=wanted.feeds,
    )


def explained_by_feed(ask: Ask, found: Hearing) -> dict[str, int]:
    """Return for each feed what other rules speak of when it is in it: its minus, own voice, and what it would return."""
    returned = 0
    for lines in returned_lines(ask).values():
        returned |= lines
    sets: dict[str, int] = {}
    for group in ask(listenings):
        for name in group.ids:
            sets[name] = minus_of(found, group) | own_lines(found, group) | returned
    return sets


def filed_under(model: Model, wanted: Wanted, offending: int, explained: dict[str, int], found: Hearing) -> set[str]:
    """Return the keys of the feeds under whose findings this one is filed: where the mix as a whole is the wrong one."""
    known = 0
    for name in wanted.feeds:
        known |= explained.get(name, 0)
    stations = found.mixing.set_of(*(label_of(model, name) for name in model.stations))
    return {f"feed {name}" for name in wanted.feeds} if offending & known and not offending & stations else set()
