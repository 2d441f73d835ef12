"""A mix that goes to air holds what must never be on air.

What it finds: an intercom station, a keyed source such as an off-air key, or the oscillator with a way into a bus marked
`on air`, directly, through other buses, or through a desk that returns our feed.
Why it matters: talk that was meant for the crew, or tone, is heard by everybody at home.
Example: PGM is on air and holds TBK, which holds the off-air key of line 15.
Fix: take the name out of the bus, or out of the bus inside it that the message names.
Does not find: a bus that goes to air and is not marked; words spoken into an open programme microphone.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.mixing import OSCILLATOR, label_of
from tailboard.answers.signal import on_air
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.hearing.common import excluding, jack_keys, lines_in, named, shown, steps_of

RULE = Rule("never-on-programme", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a bus that goes to air."""
    found, model = ask(hearing), ask.model
    keyed = [name for name in model.lines if (kind := model.source_kind(name)) is not None and kind.keyed]
    never = found.mixing.set_of(
        *(f"line {name}" for name in keyed), *(label_of(model, name) for name in model.stations), OSCILLATOR
    )
    for bus in on_air(model):
        node = f"bus {bus.id}"
        heard = found.at(node)
        says = f"no station, keyed source or tone has a way into {bus.id}"
        offending = heard.possible & never
        if not offending:
            yield RULE.holds(bus.id, says, assumptions=excluding(found, heard.excluded & never, node))
            continue
        ways = list(found.ways(offending, node))
        names = named(model, found.names(offending))
        yield RULE.broken(
            bus.id,
            says,
            spot=bus.at.spot("members"),
            message=f"{names} {'have' if offending & (offending - 1) else 'has'} a way into {bus.id}, which goes to air: {shown(found, ways)}",
            because=[Because(bus.at.spot("on_air"), f"{bus.id} is on air"), *steps_of(ways)],
            fix=f"take {names} out of {bus.id}; the way in is {shown(found, ways[:1])}",
            breaks=[node],
            rests_on=jack_keys(ways),
            lines=lines_in(found, model, offending),
        )
