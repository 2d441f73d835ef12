"""A listener gets his own voice back.

What it finds: a line written under `own voice` of a feed that reaches the listener of that feed by any way.
Why it matters: his own voice in the ear, a little late, makes a speaker stumble; on a loudspeaker it howls.
Example: FD1 has own voice 6 and the mix PGM, which holds 6 by way of SPK.
Fix: put the line under `minus` of the feed.
Does not find: own voice that is not written in the column; what comes back through the air.
Source: mix-minus, N-1: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.signal_ears import listenings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.hearing.common import (
    excluding,
    feed_names,
    lines_in,
    listener,
    minus_of,
    named,
    own_lines,
    shown,
    steps_of,
)

RULE = Rule("own-voice-in-feed", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that says whose voice is the listener's own."""
    found, model = ask(hearing), ask.model
    for group in ask(listenings):
        own = own_lines(found, group)
        if not own:
            continue
        heard = found.at(*group.points)
        ids, who = feed_names(group), listener(group)
        says = f"{who} does not get {named(model, found.names(own))}, his own voice, in {ids}"
        offending = heard.possible & own
        if not offending:
            yield RULE.holds(group.ids, says, assumptions=excluding(found, heard.excluded & own, *group.points))
            continue
        ways = list(found.ways(offending, *group.points))
        names = named(model, found.names(offending))
        in_minus = not offending & ~minus_of(found, group)
        record = group.first
        yield RULE.broken(
            group.ids,
            says,
            spot=record.at.spot("minus"),
            message=f"{who} gets {names}, his own voice, in {ids}: {shown(found, ways)}",
            because=[Because(record.at.spot("own"), f"own voice of {who}: {names}"), *steps_of(ways)],
            fix=f"put {', '.join(lines_in(found, model, offending))} under minus of {ids}"
            if not in_minus
            else f"close the way {shown(found, ways[:1])}; the minus alone does not",
            breaks=() if in_minus else [f"feed {name}" for name in group.ids],
            rests_on=[f"feed {name}" for name in group.ids] if in_minus else (),
            lines=lines_in(found, model, offending),
            feeds=group.ids,
        )
