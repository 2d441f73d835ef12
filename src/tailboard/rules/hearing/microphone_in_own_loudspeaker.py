"""How far a microphone is from feedback in its own loudspeaker is not stated.

What it finds: open microphones in a feed that sounds in the place where they stand: fold-back, a PA over its own stage.
That is often meant, so it is no fault: it is a margin that somebody has to state. Audience microphones are another rule.
Why it matters: without a margin known, the first open fader decides.
Example: FD2 is the fold-back of the stage and holds 1, 2, 5 of the stage.
Fix: try it at the line check, and write what was found under `confirmed`, settling `FD2 margin`.
Does not find: a howl; what a microphone picks up from another place.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.signal_ears import listenings, soundings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.hearing.common import feed_names, lines_in, named, open_microphones, place_words
from tailboard.units.wording import listed

RULE = Rule("microphone-in-own-loudspeaker", "hearing", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed, legs of one feed together, that sounds where open microphones stand."""
    found, model, microphones = ask(hearing), ask.model, open_microphones(ask)
    for group in ask(listenings):
        sounding = ask(soundings).get(group.ids[0])
        near = 0
        for place in sounding.places if sounding else ():
            near |= microphones.get(place, (0, 0))[1]
        if sounding is None or not near:
            continue
        places, ids = place_words(model, sounding.places), feed_names(group)
        own = lines_in(found, model, found.at(*group.points).possible & near)
        if not own or any(f"{name} margin" in model.settled for name in group.ids):
            says = f"the margin of {ids} is stated" if own else f"{ids} plays no microphone that stands in {places}"
            yield RULE.holds(group.ids, says)
            continue
        which = named(model, own).replace("line", "microphone", 1)
        yield RULE.open(
            group.ids,
            f"{which} stay below feedback in {ids}",
            spot=group.first.at.spot("mix"),
            missing=f"{which} in {ids} stand at {places}, where that feed sounds: the margin is not stated",
            fix=f"try it at the line check and write it under confirmed in show.yaml, with 'settles: {group.ids[0]} margin'",
            because=[
                Because(model.lines[own[0]].at.spot("place"), f"line {own[0]} stands in {model.lines[own[0]].place}"),
                Because(
                    group.first.at.spot("place"), f"{ids} sounds by {listed(sounding.loudspeakers) or 'loudspeaker'}"
                ),
            ],
        )
