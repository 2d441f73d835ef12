"""Nobody wrote how far a mix falls when it is interrupted.

What it finds: a feed for an ear that somebody may interrupt, without a `dip`.
Why it matters: who falls silent when the producer speaks, and by how much, is agreed with the listener: too little and he
does not understand the cue, muted and he loses his place.
Example: CW-1 interrupts FD1, the presenter's ear, and the column `dip` of FD1 is empty.
Fix: agree it with the listener and write `12 dB`, `mute`, or `mix` where the mix stays as it is.
Does not find: a matrix that is set otherwise; the comms check listens for it.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import listenings
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.hearing.common import feed_names
from tailboard.units.wording import listed

RULE = Rule("dip-not-written", "hearing", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed for an ear that is interrupted, legs of one feed together."""
    for group in ask(listenings):
        feed = group.first
        if feed.by != "ear" or not feed.interrupts:
            continue
        ids = feed_names(group)
        says = f"how far the mix of {ids} falls when it is interrupted is written"
        if feed.dip:
            yield RULE.holds(group.ids, says)
            continue
        yield RULE.open(
            group.ids,
            says,
            spot=feed.at.spot("interrupts"),
            missing=f"how far {ids} falls while {listed(list(feed.interrupts), 4)} speaks is not written",
            fix=f"agree it with {feed.listener or 'the listener'} and write 'dip' of {ids}: 12 dB, mute or mix",
        )
