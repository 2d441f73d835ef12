"""A listener gets only on key what he must always hear.

What it finds: a source under `always` of a row of hearing.csv all of whose working ways to the listener need a key
pressed: an intercom key, a talkback button, an off-air key.
Why it matters: he hears it in the test, when somebody holds the key, and not in the show.
Example: the director must always hear the producer, who talks to him by a key and not on their party line.
Fix: give a steady way, such as a party line, or move the source to `on key` in the row.
Does not find: a source that is not heard at all; see listener-misses-source.
Source: the show's own hearing table.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.wanted import wanted_rows
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.hearing.common import feed_mixes, lines_in, lowest, named, shown, steps_of

RULE = Rule("heard-only-on-key", "hearing", Severity.ERROR, __doc__)
WAYS_MAX = 4  # sources whose way is worked out; the message names them all


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a row of the hearing table that promises something always."""
    found, model = ask(hearing), ask.model
    for wanted in ask(wanted_rows):
        row = wanted.row
        if not wanted.sets["always"] or not wanted.ears:
            continue
        says = f"{row.id} needs nobody's key for what must always be heard"
        offending = wanted.sets["always"] & found.at(*wanted.ears).on_key
        if not offending:
            yield RULE.holds(row.id, says)
            continue
        ways = list(found.ways(lowest(offending, WAYS_MAX), *wanted.ears))
        names, by = named(model, found.names(offending)), ", ".join(wanted.by)
        yield RULE.broken(
            row.id,
            says,
            spot=row.at.spot("always"),
            message=f"{row.id} gets {names} by {by} only on key, which must always be heard: {shown(found, ways)}",
            because=[*feed_mixes(model, wanted.feeds), *steps_of(ways)],
            fix=f"give {names} a way to {by} that needs no key, or move the name to 'on key' in {row.at.spot('always').file}",
            lines=lines_in(found, model, offending),
            feeds=wanted.feeds,
        )
