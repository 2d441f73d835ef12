"""A station talks or listens to a name that nothing else bears.

What it finds: a name under talk, keys or listen of comms.csv that is no circuit, feed, line or station and that no other
station or feed names: misspelt, or a party line that nobody else is on. A bus or a person in such a cell. A party line
is known by those who use it, so a name both sides misspell alike is not seen.
Why it matters: the key is there and talks to nobody; it is found when somebody is needed.
Example: KP-1 has a key to TLE, and the feed is TEL.
Fix: write the name the others use; put the others on the party line.
Does not find: a wrong name that exists.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.party_lines import Channel, PartyLines, party_lines
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Station
from tailboard.model.show import Model
from tailboard.rules.hearing.comms_common import what_it_is

RULE = Rule("station-name-unknown", "hearing", Severity.ERROR, __doc__)
WORDS = {"talk": "talks to", "keys": "has a key to", "listen": "listens to"}


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a station that talks or listens."""
    lines = ask(party_lines)
    if not (lines.sends and lines.hears):
        return
    alone = {name for name, channel in lines.channels.items() if is_alone(ask.model, channel)}
    for name, station in ask.model.stations.items():
        if station.talk or station.keys or station.listen:
            says = f"what {name} talks and listens to is known"
            wrong = unknown(ask.model, station, alone)
            yield broken(ask.model, lines, station, wrong, says) if wrong else RULE.holds(name, says)


def is_alone(model: Model, channel: Channel) -> bool:
    """Return whether a name stands in one cell only, or is a line to which somebody is to talk."""
    if channel.name in model.circuits:
        return False
    return channel.namings < 2 or channel.name in model.lines


def unknown(model: Model, station: Station, alone: set[str]) -> list[tuple[str, str]]:
    """Return the (column, name) of a station that nothing else bears; what it hears of a line is known."""
    if not alone:
        return []
    return [
        (column, name)
        for column in WORDS
        for name in getattr(station, column)
        if name in alone and not (column == "listen" and name in model.lines)
    ]


def broken(model: Model, lines: PartyLines, station: Station, wrong: list[tuple[str, str]], says: str) -> Claim:
    """Return the claim of a station with unknown names, the first in the message, the others as further places."""
    told = []
    for column, name in wrong:
        words, repair = what_it_is(model, lines, name, heard=column == "listen")
        reason = words or "there is no circuit, feed, line or station of that name, and nobody else is on it"
        told.append((column, f"{station.id} {WORDS[column]} {name}: {reason}", repair, name))
    column, message, repair, name = told[0]
    return RULE.broken(
        station.id,
        says,
        spot=station.at.spot(column),
        message=message,
        because=[Because(station.at.spot(other), words) for other, words, _, _ in told[1:]],
        fix=repair or f"correct {name}, or put the others on it too",
    )
