"""A listener hears his own voice too late in his ear.

What it finds: a feed for the ear of somebody whose own line is in it (the source of the line is named like the listener,
or stands under `own voice`), later than 5 ms from his mouth or instrument to his ear. Above 30 ms it is an error.
Why it matters: a few milliseconds colour the voice he hears through his own head, more make him stumble.
Example: the singer's earpiece FD1 holds his line 1, and two radio ways of 4 ms make 10.75 ms.
Fix: shorten the way by its largest figure; or write under `latest` of the feed what the listener accepts.
Does not find: a voice that should not be there at all, see own-voice-in-feed; a feed with a `latest`, see feed-late; what
comes back through a desk that is not ours.
Source: under 5 ms from microphone to ear: a course on monitoring, second-hand. Acceptable from 42 down to less than 1.4 ms
by instrument and way of listening: Lester and Boley, AES Convention Paper 7198 (2007), from memory. Disturbing above about
30 ms: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import mixing
from tailboard.answers.signal_ears import Listening, listenings
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.delay.sound_common import OWN_VOICE, Wait, holding, is_unknown, late_claim, open_claims, wait_of
from tailboard.rules.hearing.common import feed_names, listener
from tailboard.units.wording import worded

RULE = Rule("own-voice-late", "delay", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed for the ear that holds its listener's own voice."""
    said, index = said_by(ask.model), ask(mixing).index
    unknown: list[Wait] = []
    for group in ask(listenings):
        feed = group.first
        if feed.by != "ear" or feed.delay_s_max is not None:
            continue
        own = sum(1 << index[f"line {name}"] for name in own_lines(said, group) if f"line {name}" in index)
        wait = wait_of(ask, group, own, OWN_VOICE.limit_s) if own else None
        if wait is None:
            continue
        says = f"{listener(group)} hears his own voice by {feed_names(group)} within {worded(wait.limit_s, 's')}"
        if wait.late:
            yield late_claim(RULE, ask, wait, says, OWN_VOICE, feed.at.spot("mix"))
        elif is_unknown(wait):
            unknown.append(wait)
        else:
            yield holding(RULE, wait, says)
    yield from open_claims(RULE, ask, unknown, OWN_VOICE.use)


def said_by(model: Model) -> dict[str, list[str]]:
    """Return the lines of each source, as a listener of that name would be written."""
    found: dict[str, list[str]] = {}
    for name, line in model.lines.items():
        if line.source:
            found.setdefault(line.source.casefold(), []).append(name)
    return found


def own_lines(said: dict[str, list[str]], group: Listening) -> set[str]:
    """Return the lines that are the voice of a feed's listener."""
    whole = group.first.listener.casefold()
    people = {whole, *(part.strip() for part in whole.split(","))}
    return {*group.first.own, *(name for person in people for name in said.get(person, ()))}
