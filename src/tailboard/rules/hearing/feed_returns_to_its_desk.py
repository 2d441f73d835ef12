"""A feed brings an outside desk its own signals back.

What it finds: lines that come from an outside desk, a telephone hybrid or a codec, in a feed that goes to that same
device. What its owner says it leaves out of its outputs does not change this: what it sent us must not go back.
Why it matters: a howl as soon as a fader is up there, a long echo, or the house hears itself twice.
Example: lines 8, 9 come from HD-1; the feed FD4 to HD-1 is PGM, which holds 8 and 9.
Fix: give the feed a mix without those lines, or put them under `minus`.
Does not find: a desk reached by a way that no cable, row or stream says.
Source: mix-minus, N-1: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.signal_ears import Listening, leads, listenings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.hearing.common import feed_names, lines_in, named, returned_lines, shown, steps_of
from tailboard.units.wording import listed

RULE = Rule("feed-returns-to-its-desk", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed, legs of one feed together, that goes to an outside device from which lines come."""
    found, model, returned = ask(hearing), ask.model, returned_lines(ask)
    for group in ask(listenings) if returned else ():
        desks = desks_of(ask, group, returned)
        if not desks:
            continue
        theirs = 0
        for desk in desks:
            theirs |= returned[desk]
        desk, ids = listed(desks), feed_names(group)
        offending = found.at(*group.points).possible & theirs
        says = f"nothing that comes from {desk} goes back to it in {ids}"
        if not offending:
            yield RULE.holds(group.ids, says)
            continue
        ways = list(found.ways(offending, *(f"ear {name}" for name in group.ids)))
        lines = lines_in(found, model, offending)
        names, verb = named(model, lines), "go" if len(lines) > 1 else "goes"
        yield RULE.broken(
            group.ids,
            says,
            spot=group.first.at.spot("mix"),
            message=f"{names} from {desk} {verb} back to {desk} in {ids}: {shown(found, ways, '')}",
            because=[
                *(Because(model.lines[line].at.spot("gear"), f"line {line} comes from {desk}") for line in lines[:2]),
                Because(group.first.at.spot("gear"), f"{group.ids[0]} goes to {desk}"),
                *steps_of(ways),
            ],
            fix=f"give {ids} a mix without {names}, or put {', '.join(lines)} under minus",
            breaks=[f"feed {name}" for name in group.ids],
            lines=lines,
            feeds=group.ids,
        )


def desks_of(ask: Ask, group: Listening, returned: dict[str, int]) -> list[str]:
    """Return the outside devices that a feed goes to and from which lines come."""
    devices = ask(hearing).graph.device_of
    reached = {devices.get(node, "") for name in group.ids for node in ask(leads)[name]}
    reached |= {device_of(gear) for feed in group.feeds for gear in feed.gear}
    return [desk for desk in returned if desk in reached]
