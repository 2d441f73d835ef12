"""A loudspeaker that stands where its microphones stand comes too late.

What it finds: a feed by loudspeaker, fold-back or PA, that holds open microphones of the places in which it sounds, later
than 10 ms from the microphone to the loudspeaker.
Why it matters: the player hears himself twice; above 10 to 15 ms the system cannot be used.
Example: fold-back FD1 holds the piano of the same stage and comes 12.375 ms late by a link offset of 10 ms.
Fix: shorten the way by its largest figure; or write under `latest` of the feed what the players accept.
Does not find: the air from the loudspeaker to the player, unless `air` is written in the feed's row; a feed with a
`latest`, see feed-late; sound of another place.
Source: RFC 8578 section 2.1.3: more than 10 to 15 ms from microphone to loudspeaker is noticed.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import listenings, soundings
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.delay.sound_common import FOLD_BACK, Wait, holding, is_unknown, late_claim, open_claims, wait_of
from tailboard.rules.hearing.common import feed_names, open_microphones, place_words
from tailboard.units.wording import worded

RULE = Rule("fold-back-late", "delay", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that sounds beside microphones it holds."""
    microphones, sounding = open_microphones(ask), ask(soundings)
    unknown: list[Wait] = []
    for group in ask(listenings):
        feed, heard = group.first, sounding.get(group.ids[0])
        if heard is None or feed.delay_s_max is not None:
            continue
        near = 0
        for place in heard.places:
            near |= microphones.get(place, (0, 0))[1]
        wait = wait_of(ask, group, near, FOLD_BACK.limit_s) if near else None
        if wait is None:
            continue
        where = place_words(ask.model, heard.places)
        says = f"the microphones of {where} come there by {feed_names(group)} within {worded(wait.limit_s, 's')}"
        if wait.late:
            yield late_claim(RULE, ask, wait, says, FOLD_BACK, feed.at.spot("mix"))
        elif is_unknown(wait):
            unknown.append(wait)
        else:
            yield holding(RULE, wait, says)
    yield from open_claims(RULE, ask, unknown, FOLD_BACK.use)
