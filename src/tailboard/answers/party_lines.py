"""The names that stations talk and listen to: party lines and circuits, each with who sends to it and who hears it."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.model.records import Feed, Station
from tailboard.model.show import Model


@dataclass(slots=True)
class Channel:
    """One name under talk, keys or listen that is no line, feed or station; most are party lines or circuits.

    talk, keyed, listeners  the stations that talk to it always, on key, and that hear it.
    feeds                   the feeds that hold it, all the time or on cue; none where it is a bus or a set of lines.
    """

    name: str
    talk: list[Station] = field(default_factory=list)
    keyed: list[Station] = field(default_factory=list)
    listeners: list[Station] = field(default_factory=list)
    feeds: list[Feed] = field(default_factory=list)

    @property
    def senders(self) -> tuple[str, ...]:
        """The stations that talk to it, always or on key."""
        return tuple(dict.fromkeys(station.id for station in (*self.talk, *self.keyed)))

    @property
    def namings(self) -> int:
        """In how many cells it stands, those under talk and keys of one station counted once."""
        return len(self.senders) + len(self.listeners) + len(self.feeds)


@dataclass(frozen=True, slots=True)
class PartyLines:
    """All channels by name, and what the table of stations holds at all.

    by_feed   feed: the station that hears by it.
    sends, hears  whether any station is written with somebody to talk to, or to listen to.
    people    person: his stations.
    """

    channels: dict[str, Channel]
    by_feed: dict[str, str]
    sends: bool
    hears: bool
    people: dict[str, tuple[str, ...]]

    def hearers(self, channel: Channel) -> tuple[str, ...]:
        """Return the stations that hear a channel, and the feeds that hold it and are no station's ear."""
        feeds = (self.by_feed.get(feed.id, feed.id) for feed in channel.feeds)
        return tuple(dict.fromkeys([*(station.id for station in channel.listeners), *feeds]))


def party_lines(ask: Ask) -> PartyLines:
    """Return the channels of the show."""
    model = ask.model
    channels: dict[str, Channel] = {}
    sends = hears = False
    people: dict[str, list[str]] = {}
    for station in model.stations.values():
        sends = sends or bool(station.talk or station.keys)
        hears = hears or bool(station.listen)
        for names, who in ((station.talk, "talk"), (station.keys, "keyed"), (station.listen, "listeners")):
            for name in dict.fromkeys(names):
                if is_channel(model, name, heard=who == "listeners"):
                    getattr(channels.setdefault(name, Channel(name)), who).append(station)
        for person in (part.strip() for part in station.person.split(",")):
            if person:
                people.setdefault(person, []).append(station.id)
    for feed in model.feeds.values():
        for name in dict.fromkeys((*feed.mix, *feed.cues)):
            if name in channels and name not in model.buses and name not in model.sets:
                channels[name].feeds.append(feed)
    by_feed = {station.feed: name for name, station in model.stations.items() if station.feed}
    return PartyLines(channels, by_feed, sends, hears, {person: tuple(names) for person, names in people.items()})


def is_channel(model: Model, name: str, *, heard: bool) -> bool:
    """Return whether a name is neither feed nor station; a line can be heard, and nobody can talk to one."""
    return name not in model.feeds and name not in model.stations and not (heard and name in model.lines)
