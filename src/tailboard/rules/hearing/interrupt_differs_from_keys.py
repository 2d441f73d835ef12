"""The list of feeds and the list of stations do not agree on who interrupts a feed.

What it finds: a station or person under interrupt of feeds.csv without a key to that feed in comms.csv; a station with a
key to a feed that does not name it; a circuit that is to interrupt a feed and to which no station has a key. Where only
one of the two lists says who interrupts feeds at all, that one counts and there is nothing to compare.
Why it matters: somebody has no key to the ear he must reach, or a key to an ear that is not his.
Example: IFB1 is to be interrupted by KP-1 and KP-2, and only KP-1 has a key to IFB1.
Fix: add the key in comms.csv, or take the name out of interrupt in feeds.csv.
Does not find: a key that both lists have and nobody wants; state that in hearing.csv.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.party_lines import PartyLines, party_lines
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Station
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("interrupt-differs-from-keys", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that somebody interrupts, by one of the two lists."""
    model, lines = ask.model, ask(party_lines)
    keys: dict[str, list[Station]] = {}
    for station in model.stations.values():
        for name in dict.fromkeys((*station.keys, *station.talk)):
            if name in model.feeds:
                keys.setdefault(name, []).append(station)
    named = {name: stations_of(model, lines, feed) for name, feed in model.feeds.items() if feed.interrupts}
    both = bool(keys) and any(named.values())
    for name, feed in model.feeds.items():
        lost = [circuit for circuit in feed.interrupts if lines.sends and keyless(model, lines, circuit)]
        compared = both and (named.get(name) or keys.get(name))
        if not compared and not any(circuit in model.circuits for circuit in feed.interrupts):
            continue
        says = f"those who are to interrupt {name} have its key, and nobody else"
        having = [station.id for station in keys.get(name, ())] if compared else []
        wanted = named.get(name, []) if compared else []
        less = [station for station in wanted if station not in having]
        more = [station for station in having if station not in wanted]
        yield broken(model, feed, (less, more, lost), says) if less or more or lost else RULE.holds(name, says)


def stations_of(model: Model, lines: PartyLines, feed: Feed) -> list[str]:
    """Return the stations under interrupt of a feed, a person standing for the first of his that has the key, or his first."""
    found: list[str] = []
    for name in feed.interrupts:
        if name in model.circuits:
            continue
        own = (name,) if name in model.stations else lines.people.get(name, ())
        holding = [
            station for station in own if feed.id in (*model.stations[station].keys, *model.stations[station].talk)
        ]
        found += holding or own[:1]
    return list(dict.fromkeys(found))


def keyless(model: Model, lines: PartyLines, name: str) -> bool:
    """Return whether a name is a circuit to which no station talks."""
    return name in model.circuits and (name not in lines.channels or not lines.channels[name].senders)


def broken(model: Model, feed: Feed, differences: tuple[list[str], list[str], list[str]], says: str) -> Claim:
    """Return the claim of a feed on which the lists differ."""
    less, more, lost = differences
    parts, fixes = [], []
    if less:
        has, have = ("has", "it") if len(less) == 1 else ("have", "them")
        parts.append(f"{listed(less)} {has} no key to {feed.id}, and interrupt of {feed.id} names {have}")
        fixes.append(f"write {feed.id} under keys of {listed(less)}, or take {have} out of interrupt of {feed.id}")
    if more:
        has, have = ("has", "it") if len(more) == 1 else ("have", "them")
        parts.append(f"{listed(more)} {has} a key to {feed.id}, and interrupt of {feed.id} does not name {have}")
        fixes.append(
            f"add {listed(more)} to interrupt of {feed.id}, or take {feed.id} out of the keys of {listed(more)}"
        )
    if lost:
        parts.append(f"{listed(lost)} is to interrupt {feed.id}, and no station has a key to {listed(lost)}")
        fixes.append(
            f"write {listed(lost)} under keys of the station that is to talk, or take it out of interrupt of {feed.id}"
        )
    because = [
        Because(
            model.stations[name].at.spot("keys"), f"keys of {name}: {', '.join(model.stations[name].keys) or 'none'}"
        )
        for name in (*less, *more)
    ]
    return RULE.broken(
        feed.id,
        says,
        spot=feed.at.spot("interrupts"),
        message="; ".join(parts),
        because=because,
        fix="; ".join(fixes),
        feeds=[feed.id],
    )
