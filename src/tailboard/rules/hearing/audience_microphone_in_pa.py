"""A loudspeaker plays the audience microphones of its own place.

What it finds: a microphone for the room or the crowd in a feed that sounds in the place where it stands, through buses
and outside desks; places of one PA zone count as one.
Why it matters: it is the shortest acoustic loop there is; the PA howls with the first open fader.
Example: the PA feed FD4 is PGM, PGM holds AMB, AMB holds the audience microphones 12, 13 of the auditorium.
Fix: give the PA a mix without them, or put them under `minus`.
Does not find: other microphones in front of a loudspeaker; see microphone-in-own-loudspeaker.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.signal_ears import Listening, Sounding, leads, listenings, soundings
from tailboard.answers.signal_edges import trail
from tailboard.answers.signal_ways import Way
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.hearing.common import (
    feed_names,
    lines_in,
    named,
    open_microphones,
    place_words,
    shown,
    steps_of,
)

RULE = Rule("audience-microphone-in-pa", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed, legs of one feed together, that sounds where audience microphones stand."""
    found, model, microphones = ask(hearing), ask.model, open_microphones(ask)
    for group in ask(listenings):
        sounding = ask(soundings).get(group.ids[0])
        room = 0
        for place in sounding.places if sounding else ():
            room |= microphones.get(place, (0, 0))[0]
        if sounding is None or not room:
            continue
        places, ids = place_words(model, sounding.places), feed_names(group)
        says = f"{ids} plays no audience microphone of {places}, where it sounds"
        offending = found.at(*group.points).possible & room
        if not offending:
            yield RULE.holds(group.ids, says)
            continue
        lines = lines_in(found, model, offending)
        ways = [to_loudspeaker(ask, found, f"line {line}", group, sounding) for line in lines]
        names = named(model, lines).removeprefix("lines ").removeprefix("line ")
        loops = "; ".join(f"{shown(found, [way])} - {line}" for line, way in zip(lines[:2], ways, strict=False))
        yield RULE.broken(
            group.ids,
            says,
            spot=group.first.at.spot("mix"),
            message=f"audience microphone{'s' if len(lines) > 1 else ''} {names} reach{'' if len(lines) > 1 else 'es'} "
            f"the loudspeakers of {ids} at their own place, {places}: {loops}",
            because=[
                *(
                    Because(model.lines[line].at.spot("place"), f"line {line} stands in {model.lines[line].place}")
                    for line in lines[:2]
                ),
                *steps_of(ways),
            ],
            fix=f"give {ids} a mix without {names}, or put {', '.join(lines)} under minus",
            breaks=[f"feed {name}" for name in group.ids],
            lines=lines,
            feeds=group.ids,
        )


def to_loudspeaker(ask: Ask, found: Hearing, source: str, group: Listening, sounding: Sounding) -> Way:
    """Return the way of a source into a feed and on to the loudspeaker."""
    feed = group.ids[0]
    came = ask(leads)[feed]
    into = found.way(found.mixing.index[source], f"feed {feed}", f"ear {feed}")
    beyond = next((trail(came, point) for point in sounding.points if point in came), ())
    return Way((*(into.steps if into is not None else ()), *beyond))
