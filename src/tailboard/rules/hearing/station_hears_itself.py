"""An intercom station gets its own talk back.

What it finds: a way from a station's microphone to its own ear: through a feed it listens to, a circuit whose return
carries what it sent, or a desk that sends back what it gets.
Why it matters: every word comes back late; on an open station it howls, and the party line is unusable.
Example: S-DIR talks on CW-1, which interrupts FD11, and FD11 comes back to the port by which S-DIR listens to CW-1.
Fix: take the circuit out of the feed that comes back, or give the station another ear.
Does not find: what an open microphone picks up from a station's loudspeaker.
Source: common practice, no source. That a base gives no station its own talk back is a fact of its kind.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import label_of
from tailboard.answers.signal_comms import base_of
from tailboard.answers.signal_edges import example
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Station
from tailboard.rules.hearing.common import excluding, jack_keys, shown, steps_of

RULE = Rule("station-hears-itself", "hearing", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a station that listens to something."""
    found = ask(hearing)
    for name, station in ask.model.stations.items():
        if not station.listen:
            continue
        ear, own = f"ear {name}", found.mixing.set_of(label_of(ask.model, name))
        says = f"{name} does not get its own talk back"
        heard = found.at(ear)
        if not heard.possible & own:
            facts = {*excluding(found, heard.excluded & own, ear), *base_facts(ask, station)}
            yield RULE.holds(name, says, assumptions=facts)
            continue
        yield broken(found, station, says, own)


def base_facts(ask: Ask, station: Station) -> tuple[str, ...]:
    """Return the fact about the base's kind on which a station rests that hears what it talks to."""
    base = base_of(ask, station) if {*station.talk, *station.keys} & {*station.listen} else None
    kind = example(ask.model.kind_of(base)) if base is not None else ""
    return (kind,) if kind else ()


def broken(found: Hearing, station: Station, says: str, own: int) -> Claim:
    """Return the claim of a station that gets itself back."""
    ear = f"ear {station.id}"
    ways = list(found.ways(own, ear))
    return RULE.broken(
        station.id,
        says,
        spot=station.at.spot("listen"),
        message=f"{station.id} gets its own talk back: {shown(found, ways)} - {station.id}",
        because=[Because(station.at.spot("talk"), f"{station.id} talks here"), *steps_of(ways)],
        fix=f"close the way {shown(found, ways)}, or let {station.id} listen to something else",
        rests_on=jack_keys(ways),
    )
