"""A minus does not keep a line out.

What it finds: a line that stands under `minus` of a feed or bus and still comes in: by another line that carries the
same signal, by an outside desk that returns our feed, by a circuit or a jack in which two signals meet.
Why it matters: the listener hears himself late and stumbles, or a loudspeaker howls, though the list says he cannot.
Example: FD1 is PGM minus 6, and RXR-2 of line 6 is also plugged into the hole of line 20, which is in PGM.
Fix: put the line by which it comes back under `minus` too, or part the two signals.
Does not find: what comes back through the air; see microphone-in-own-loudspeaker. A minus that names what is not in the
mix is a guard and no fault.
Source: mix-minus, N-1: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import Mix
from tailboard.answers.signal_ears import Listening, listenings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.hearing.common import (
    excluding,
    feed_names,
    jack_keys,
    lines_in,
    listener,
    lowest,
    minus_of,
    named,
    shown,
    steps_of,
)
from tailboard.text.fields import Record

RULE = Rule("minus-open", "hearing", Severity.ERROR, __doc__)
WAYS_MAX = 4  # sources whose way is worked out; the message names them all


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed with a minus, legs of one feed together, and one a bus with a minus."""
    found = ask(hearing)
    for group in ask(listenings):
        minus = minus_of(found, group)
        if minus:
            names = (feed_names(group), listener(group))
            yield judged(ask, found, group, minus, names)
    for name, mix in found.mixing.mixes.items():
        if name.startswith("bus ") and mix.minus:
            yield judged(ask, found, mix, mix.minus, (name, name))


def judged(ask: Ask, found: Hearing, subject: Listening | Mix, minus: int, names: tuple[str, str]) -> Claim:
    """Return the claim of one feed or bus: nothing of its minus comes in by any way."""
    ids, points = (
        (subject.ids, subject.points) if isinstance(subject, Listening) else ((subject.record.id,), (subject.name,))
    )
    record: Record = subject.first if isinstance(subject, Listening) else subject.record
    heard = found.at(*points)
    says = f"the minus of {names[0]} is closed"
    offending = heard.possible & minus
    if not offending:
        return RULE.holds(ids, says, assumptions=excluding(found, heard.excluded & minus, *points))
    ways = list(found.ways(lowest(offending, WAYS_MAX), *points))
    offenders = named(ask.model, found.names(offending))
    verb = "reach" if offending & (offending - 1) else "reaches"
    return RULE.broken(
        ids,
        says,
        spot=record.at.spot("minus"),
        message=f"{offenders} still {verb} {names[1]} in spite of the minus of {names[0]}: {shown(found, ways)}",
        because=[Because(record.at.spot("minus"), f"{names[0]} is written without {offenders}"), *steps_of(ways)],
        fix=f"close the way {shown(found, ways[:1])}: put what brings it back under minus of {names[0]} too, or part the signals",
        breaks=[f"feed {name}" for name in ids] if isinstance(subject, Listening) else [subject.name],
        rests_on=jack_keys(ways),
        lines=lines_in(found, ask.model, offending),
        feeds=ids if isinstance(subject, Listening) else (),
    )
