"""A listener does not get what the hearing table promises him.

What it finds: a source under `always` or `on key` of a row of hearing.csv that has no working way to any of the
listener's feeds and stations: not in the mix, or the way there breaks off. Where a row hears by several feeds of one
sort (ears, loudspeakers), a source that one of them brings and another, which brings part of the same, does not: an error
if their listeners are different persons, else a warning. What a minus keeps out is not missed.
Why it matters: he waits for a cue that never comes.
Example: the stage manager must always hear line 7, and FD6 is a mix without SPK.
Fix: put the source into the mix, mend the way that the message names, or correct the row.
Does not find: a source that is too soft to be heard.
Source: the show's own hearing table.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import bits, union
from tailboard.answers.signal_edges import Stop
from tailboard.answers.signal_ways import evidence
from tailboard.answers.wanted import Wanted, unknown_words, wanted_rows
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed
from tailboard.model.show import Model
from tailboard.rules.hearing.common import feed_mixes, lines_in, named

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
        elif (apart := one_apart(found, wanted)) is not None:
            yield one_misses(model, found, wanted, apart)
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
        stop = stopped(found, wanted.ears, bit)
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


def stopped(found: Hearing, ears: tuple[str, ...], bit: int) -> Stop | None:
    """Return where the planned way of a source to one of some ears breaks off; None where no way is planned."""
    label = found.mixing.labels[bit]
    for point in ears:
        way = evidence(found.planned, label, point)
        if way is not None and way.stop is not None:
            return way.stop
    return None


@dataclass(frozen=True, slots=True)
class Apart:
    """A feed of a row that brings less of what is promised than another of its sort: which two, and what it lacks."""

    feed: Feed
    other: Feed
    missing: int


def one_apart(found: Hearing, wanted: Wanted) -> Apart | None:
    """Return the first feed of a row that another one shows up; feeds that share out what is promised are as they should."""
    feeds = [found.graph.model.feeds[name] for name in wanted.feeds]
    if len(feeds) < 2:
        return None
    promised = wanted.sets["always"] | wanted.sets["on_key"]
    brought: dict[str, int] = {}
    for feed in feeds:
        heard = found.at(f"ear {feed.id}")
        brought[feed.id] = (heard.always | heard.on_key) & promised
    for feed in feeds:
        own = brought[feed.id]
        mix = found.mixing.mixes.get(f"feed {feed.id}")
        kept = union((*feed.minus, *feed.minus_in_use, *feed.own), found.mixing.mixes, found.mixing.masks) if mix else 0
        for other in feeds:
            missing = brought[other.id] & ~own & ~kept
            if missing and not own & ~brought[other.id] and other.by == feed.by:
                return Apart(feed, other, missing)
    return None


def one_misses(model: Model, found: Hearing, wanted: Wanted, apart: Apart) -> Claim:
    """Return the claim of a row of which one feed brings less than another."""
    row, feed, other = wanted.row, apart.feed, apart.other
    names = named(model, found.names(apart.missing))
    stops = [stop for bit in bits(apart.missing) if (stop := stopped(found, (f"ear {feed.id}",), bit)) is not None]
    parted = feed.listener != other.listener
    whole = not stops or len(stops) < apart.missing.bit_count()
    words = (
        f"{feed.listener or row.id} does not get {names} by {feed.id}; {other.listener or row.id} does by {other.id}"
    )
    return RULE.broken(
        row.id,
        f"{row.id} gets what the hearing table promises",
        spot=feed.at.spot("mix"),
        message=words if whole else f"{words}: {stops[0].words}",
        because=[
            Because(row.at.spot("always"), f"{row.id} hears by {', '.join(wanted.by)}"),
            *feed_mixes(model, (feed.id, other.id)),
            *(Because(stop.spot, stop.words) for stop in stops[:1]),
        ],
        fix=f"put {names} into the mix of {feed.id}, or give {feed.id} a row of its own in {row.at.spot('always').file}"
        if whole
        else f"mend the way: {stops[0].words}",
        severity=None if parted else Severity.WARNING,
        rests_on=() if whole else {key for stop in stops for key in stop.keys},
        lines=lines_in(found, model, apart.missing),
        feeds=[feed.id],
    )
