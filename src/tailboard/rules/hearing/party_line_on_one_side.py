"""A party line has one member, nobody who talks, or nobody who listens.

What it finds: a party line that several rows of comms.csv or feeds.csv name and on which all talk and nobody hears, or
all hear and nobody talks; a party line with a single member (a warning). A circuit of show.yaml is no party line.
Why it matters: the crew calls and nobody answers, and each believes that the other is off his headset.
Example: three assistants listen to LSF, a feed that was taken out of feeds.csv.
Fix: let the members talk and listen to one name, or bring back the feed or circuit that bore it.
Does not find: a member who is on the wrong party line; state that in hearing.csv. A name that stands once only; see
station-name-unknown.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.party_lines import Channel, PartyLines, party_lines
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.hearing.comms_common import what_it_is
from tailboard.units.wording import listed

RULE = Rule("party-line-on-one-side", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a party line."""
    lines = ask(party_lines)
    if not (lines.sends and lines.hears):
        return
    for name, channel in lines.channels.items():
        if name not in ask.model.circuits and channel.namings > 1:
            yield judged(ask.model, lines, channel)


def judged(model: Model, lines: PartyLines, channel: Channel) -> Claim:
    """Return the claim of one party line."""
    name, senders, hearers = channel.name, channel.senders, lines.hearers(channel)
    says = f"several stations meet on {name}"
    members = dict.fromkeys((*senders, *hearers))
    if senders and hearers and len(members) > 1:
        return RULE.holds(name, says)
    because = places(channel)
    feeds = [feed.id for feed in channel.feeds]
    if senders and hearers:
        (only,) = members
        return RULE.broken(
            name, says, spot=because[0].spot, because=because[1:], feeds=feeds, severity=Severity.WARNING,
            message=f"{only} alone is on {name}: nobody else talks or listens there",
            fix=f"put those who are to talk with {only} on {name}, or take {name} away",
        )  # fmt: skip
    words, repair = what_it_is(model, lines, name, heard=bool(hearers))
    missing, verb = ("talks to", "hear") if hearers else ("hears", "talk to")
    who = listed(hearers or senders)
    plural = verb if len(hearers or senders) > 1 else "hears" if verb == "hear" else "talks to"
    tail = f"; {words}" if words else ", and there is no feed or circuit of that name"
    column = "talk" if hearers else "listen"
    return RULE.broken(
        name, says, spot=because[0].spot, because=because[1:], feeds=feeds,
        message=f"nobody {missing} {name}, which {who} {plural}{tail}",
        fix=repair or f"write {name} under {column} of somebody in comms.csv, or take it away",
    )  # fmt: skip


def places(channel: Channel) -> list[Because]:
    """Return where a party line is named, each cell with its words."""
    found = [Because(station.at.spot("talk"), f"{station.id} talks to {channel.name}") for station in channel.talk]
    found += [
        Because(station.at.spot("keys"), f"{station.id} has a key to {channel.name}") for station in channel.keyed
    ]
    found += [
        Because(station.at.spot("listen"), f"{station.id} listens to {channel.name}") for station in channel.listeners
    ]
    for feed in channel.feeds:
        attribute = "mix" if channel.name in feed.mix else "cues"
        found.append(Because(feed.at.spot(attribute), f"{channel.name} is in {feed.id}"))
    return found
