"""Sound may come back through the air, and nobody states how much.

What it finds: open microphones that stand where a feed sounds and are not in that feed but in other mixes; microphones
that feed a PA from elsewhere; open microphones beside a speaker that reach his own ear though his voice is taken out.
Why it matters: a minus in the desk does not hold in the air. It is worth knowing, and no fault.
Example: FD1 is PGM minus 6; the open microphones 1..5 stand on the same stage as the presenter of line 6.
Fix: listen at the line check; write what was found under `confirmed`, settling `FD1 coupling`.
Does not find: a coupling as such: it lists who stands together, nothing is computed.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.signal_ears import Listening, Sounding, listenings, soundings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.hearing.common import (
    feed_names,
    lines_in,
    listener,
    named,
    open_microphones,
    own_lines,
    place_words,
)

RULE = Rule("coupling-not-stated", "hearing", Severity.NOTE, __doc__)
Microphones = dict[str, tuple[int, int]]


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed, legs of one feed together, beside which open microphones can matter."""
    found, microphones = ask(hearing), open_microphones(ask)
    mixed = 0
    for mix in found.mixing.mixes.values():
        mixed |= mix.mask
    everywhere = 0
    for room, near in microphones.values():
        everywhere |= room | near
    for group in ask(listenings) if everywhere else ():
        sounding = ask(soundings).get(group.ids[0])
        if sounding is None and not group.first.own:
            continue
        parts = [
            *around_loudspeaker(ask, found, group, sounding, microphones, everywhere, mixed),
            *around_own(ask, found, group, microphones),
        ]
        ids = feed_names(group)
        says = f"the acoustic couplings of {ids} are stated, or there are none"
        if not parts or any(f"{name} coupling" in ask.model.settled for name in group.ids):
            yield RULE.holds(group.ids, says)
            continue
        yield RULE.open(
            group.ids,
            says,
            spot=group.first.at.spot("place"),
            missing=f"{'; '.join(parts)}: the coupling is not stated",
            fix=f"listen at the line check and write it under confirmed in show.yaml, with 'settles: {group.ids[0]} coupling'",
            because=[Because(group.first.at.spot("mix"), f"the mix of {ids}")],
        )


def around_loudspeaker(
    ask: Ask, found: Hearing, group: Listening, sounding: Sounding | None, microphones: Microphones,
    everywhere: int, mixed: int,
) -> Iterator[str]:  # fmt: skip
    """Yield what stands around the loudspeakers of a feed, and what feeds a PA from elsewhere."""
    if sounding is None:
        return
    model, heard, ids = ask.model, found.at(*group.points).possible, feed_names(group)
    near = together(microphones, sounding.places)
    beside = lines_in(found, model, near & ~heard & mixed)
    if beside:
        which = named(model, beside).replace("line", "microphone", 1)
        yield f"{ids} sound{'' if ' and ' in ids else 's'} at {place_words(model, sounding.places)}, where {which} stand{'' if len(beside) > 1 else 's'}"
    feeding = lines_in(found, model, heard & everywhere & ~near) if sounding.desk else ()
    if feeding:
        which = named(model, feeding).replace("line", "microphone", 1)
        yield f"{which} ({places_of(model, feeding)}) feed{'' if len(feeding) > 1 else 's'} {ids}"


def around_own(ask: Ask, found: Hearing, group: Listening, microphones: Microphones) -> Iterator[str]:
    """Yield the open microphones beside a listener's own voice that reach him."""
    own = own_lines(found, group)
    model = ask.model
    places = {model.lines[line].place for line in group.first.own if line in model.lines}
    near = together(microphones, [place for place in places if place is not None])
    beside = lines_in(found, model, near & ~own & found.at(*group.points).possible)
    if beside:
        which = named(model, beside).replace("line", "microphone", 1)
        spoken = f"the voice of {listener(group)}"
        yield f"{which} stand{'' if len(beside) > 1 else 's'} beside {spoken} and reach{'' if len(beside) > 1 else 'es'} {feed_names(group)}"


def together(microphones: Microphones, places: tuple[str, ...] | list[str]) -> int:
    """Return the open microphones of some places, those for the audience too."""
    found = 0
    for place in places:
        room, near = microphones.get(place, (0, 0))
        found |= room | near
    return found


def places_of(model: Model, lines: tuple[str, ...]) -> str:
    """Return where some lines stand."""
    return ", ".join(dict.fromkeys(place for line in lines if (place := model.lines[line].place)))
