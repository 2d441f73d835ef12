"""A listener does not get what the hearing table promises him.

What it finds: a source under `always` or `on key` of a row of hearing.csv that has no working way to any of the
listener's feeds and stations: not in the mix, or the way there breaks off.
Why it matters: he waits for a cue that never comes.
Example: the stage manager must always hear line 7, and FD6 is a mix without SPK.
Fix: put the source into the mix, mend the way that the message names, or correct the row.
Does not find: a source that is too soft to be heard.
Source: the show's own hearing table.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import bits
from tailboard.answers.signal_edges import Stop
from tailboard.answers.signal_ways import evidence
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.hearing.common import feed_mixes, lines_in, named
from tailboard.rules.hearing.rows import Wanted, unknown_words, wanted_rows

RULE = Rule("listener-misses-source", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a row of the hearing table that promises something."""
    found, model = ask(hearing), ask.model
    for wanted in ask(wanted_rows):
        row = wanted.row
        if not (row.always or row.on_key):
            continue
        says = f"{row.id} gets what the hearing table promises"
        heard = found.at(*wanted.ears)
        missing = (wanted.sets["always"] | wanted.sets["on_key"]) & ~(heard.always | heard.on_key)
        unknown = next(unknown_words(model, wanted, ("by", "always", "on_key")), None)
        if missing:
            yield broken(model, found, wanted, missing)
        elif unknown is not None:
            column, words = unknown
            spot = row.at.spot(column)
            yield RULE.open(row.id, says, spot=spot, missing=words, fix=f"correct the name in {spot.file}")
        else:
            yield RULE.holds(row.id, says)


def broken(model: Model, found: Hearing, wanted: Wanted, missing: int) -> Claim:
    """Return the claim of a row with what is missing, and the first place where a way breaks off."""
    row, stops, unplanned = wanted.row, [], 0
    for bit in bits(missing):
        stop = stopped(found, wanted, bit)
        if stop is None:
            unplanned |= 1 << bit
        else:
            stops.append(stop)
    by = ", ".join(wanted.by) or ", ".join(row.by)
    parts = [f"{row.id} does not get {named(model, found.names(missing))} by {by}"]
    if stops:
        parts.append(stops[0].words)
    if unplanned and stops:
        parts.append(f"{named(model, found.names(unplanned))} not in the mix at all")
    absent = named(model, found.names(unplanned or missing))
    keys = {key for stop in stops for key in stop.keys} if not unplanned else set()
    column = "always" if missing & wanted.sets["always"] else "on_key"
    spot = row.at.spot(column)
    return RULE.broken(
        row.id,
        f"{row.id} gets what the hearing table promises",
        spot=spot,
        message=": ".join(parts),
        because=[*feed_mixes(model, wanted.feeds), *(Because(stop.spot, stop.words) for stop in stops[:1])],
        fix=f"put {absent} into the mix of {by}, or correct the row of {row.id} in {spot.file}"
        if unplanned or not stops
        else f"mend the way: {stops[0].words}",
        rests_on=keys,
        lines=lines_in(found, model, missing),
        feeds=wanted.feeds,
    )


def stopped(found: Hearing, wanted: Wanted, bit: int) -> Stop | None:
    """Return where the planned way of a source to a listener breaks off; None where no way is planned."""
    label = found.mixing.labels[bit]
    for point in wanted.ears:
        way = evidence(found.planned, label, point)
        if way is not None and way.stop is not None:
            return way.stop
    return None
