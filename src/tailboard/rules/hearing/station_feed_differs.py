"""A station that hears by a feed is to listen to something else than the feed holds.

What it finds: a name under listen of a station with by feed that is not in the mix of that feed nor on cue in it; a name
in that mix that the station is not to listen to. A station with a blank listen hears what the feed holds.
Why it matters: the two lists promise two things; the one of the intercom is what the crew reads.
Example: FM-FLD hears by FMR1, a mix of PL-E, and is to listen to PL-E and PL-A.
Fix: write the same in listen of comms.csv and in mix or on cue of feeds.csv.
Does not find: what both lists lack; state that in hearing.csv.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import mixing, union
from tailboard.answers.party_lines import party_lines
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Station
from tailboard.units.wording import listed

RULE = Rule("station-feed-differs", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a station that hears by a feed and has something to listen to."""
    for name, station in ask.model.stations.items():
        feed = ask.model.feeds.get(station.feed or "")
        if feed is None or not station.listen:
            continue
        mixes = ask(mixing)
        says = f"what {name} listens to is what {feed.id} holds"
        written = (*feed.mix, *feed.cues)
        mix = mixes.mixes.get(f"feed {feed.id}")
        held = mix.mask | mix.cue if mix is not None else 0
        lost = absent(ask, station.listen, written, held)
        unsaid = absent(ask, written, station.listen, union(station.listen, mixes.mixes, mixes.masks))
        yield broken(station, feed, lost, unsaid, says) if lost or unsaid else RULE.holds(name, says)


def absent(ask: Ask, names: tuple[str, ...], among: tuple[str, ...], there: int) -> list[str]:
    """Return the names that are not among others: a party line by its name, anything else by all that it holds."""
    mixes, channels = ask(mixing), ask(party_lines).channels
    found = []
    for name in names:
        if name not in among:
            held = 0 if name in channels else union((name,), mixes.mixes, mixes.masks)
            if not held or held & ~there:
                found.append(name)
    return found


def broken(station: Station, feed: Feed, lost: list[str], unsaid: list[str], says: str) -> Claim:
    """Return the claim of a station whose two lists differ."""
    parts = []
    if lost:
        parts.append(f"{station.id} is to listen to {listed(lost)}, not in {feed.id}, by which it hears")
    if unsaid:
        parts.append(f"{feed.id} holds {listed(unsaid)}, which {station.id} is not to listen to")
    held = ", ".join((*feed.mix, *feed.cues))
    fixes = [f"put {listed(lost)} into the mix of {feed.id}, or take it out of listen of {station.id}"] if lost else []
    fixes += [f"add {listed(unsaid)} to listen of {station.id}, or take it out of {feed.id}"] if unsaid else []
    return RULE.broken(
        station.id,
        says,
        spot=station.at.spot("listen"),
        message="; ".join(parts),
        because=[Because(feed.at.spot("mix"), f"{feed.id} holds {held}")],
        fix="; ".join(fixes),
        feeds=[feed.id],
    )
