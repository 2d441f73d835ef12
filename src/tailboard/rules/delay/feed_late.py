"""A feed comes later than its row allows.

What it finds: a feed with `latest` in its row, and a source that comes to its listener later than that, by ways of ours and
without a key pressed.
Why it matters: somebody wrote the figure because the listener cannot work with more.
Example: FD1 says `latest` 2 ms, and line 1 takes 2.75 ms to its loudspeaker.
Fix: shorten the way by its largest figure, or ask whether the listener takes more.
Does not find: feeds without `latest`, see own-voice-late and fold-back-late; what comes back through a desk that is not ours.
Source: the show's own figure.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import listenings
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.delay.sound_common import Budget, Wait, holding, is_unknown, late_claim, open_claims, wait_of
from tailboard.rules.hearing.common import feed_names, listener
from tailboard.units.wording import worded

RULE = Rule("feed-late", "delay", Severity.WARNING, __doc__)
RAISE = "raise 'latest' of the feed, if its listener takes more"


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed whose row says how late it may be; of the legs of a feed the strictest counts."""
    unknown: list[Wait] = []
    for group in ask(listenings):
        written = [feed for feed in group.feeds if feed.delay_s_max is not None]
        if not written:
            continue
        feed = min(written, key=lambda one: one.delay_s_max or 0.0)
        limit_s = feed.delay_s_max or 0.0
        wait = wait_of(ask, group, -1, limit_s)
        if wait is None:
            continue
        says = f"what {listener(group)} gets by {feed_names(group)} is at most {worded(limit_s, 's')} late, as its row says"
        if wait.late:
            budget = Budget("its listener", f"{feed.id}: latest {worded(limit_s, 's')}", RAISE, limit_s)
            yield late_claim(RULE, ask, wait, says, budget, feed.at.spot("delay_s_max"))
        elif is_unknown(wait):
            unknown.append(wait)
        else:
            yield holding(RULE, wait, says)
    yield from open_claims(RULE, ask, unknown, "what their rows say")
