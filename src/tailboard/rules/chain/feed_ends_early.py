"""A feed does not reach its listener through exactly one chain.

What it finds: a feed without an output, without a listener, or whose way from the desk to its output or gear breaks off
(stream, VLAN, switch port, box, cable); one that arrives by several ways.
Why it matters: somebody sits in silence, and on air it is found by his face.
Example: FD1 leaves by SB-1/o1, and no stream brings it to SB-1.
Fix: mend the step that the message names; the list of feeds is not always the place.
Does not find: what the listener hears; the rules on hearing do. A spare feed needs no gear.
Source: each feed has a listener and one chain to him, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.paths import Chain, chains
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed
from tailboard.rules.chain.common import onward_fix, steps_shown, unwritten

RULE = Rule("feed-ends-early", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed."""
    feeds = ask.model.feeds
    outputs = any(feed.outputs for feed in feeds.values())
    listeners = any(feed.listener for feed in feeds.values())
    if not outputs:
        yield from unwritten(RULE, "feed", "output", "outputs", feeds, list(feeds), "they leave by nothing yet")
        return
    for name, chain in ask(chains).of_feed.items():
        yield judged(feeds[name], chain, listeners=listeners)


def judged(feed: Feed, chain: Chain, *, listeners: bool) -> Claim:
    """Return the claim of one feed."""
    whom = feed.listener or "its listener"
    says = f"feed {feed.id} reaches {whom} through one chain"
    if not chain.complete:
        return broken(feed, chain, says)
    if chain.count > 1:
        return RULE.broken(
            feed.id,
            says,
            spot=feed.at.spot("outputs"),
            message=f"{titled(feed)} reaches {whom} by {chain.count} ways; which of them is patched is not said",
            because=steps_shown(chain.steps),
            fix=f"take one of the ways of feed {feed.id} out: one cable or stream to one listener",
            severity=Severity.WARNING,
            rests_on={key for step in chain.steps for key in step.depends} | {f"hole {port}" for port in feed.outputs},
            feeds=[feed.id],
        )
    if listeners and not feed.listener:
        return RULE.broken(
            feed.id,
            says,
            spot=feed.at.spot("listener"),
            message=f"{titled(feed)} has no listener, though other feeds have",
            fix=f"write who gets feed {feed.id}; write 'spare' if nobody does yet",
            severity=Severity.WARNING,
            feeds=[feed.id],
        )
    return RULE.holds(feed.id, says)


def titled(feed: Feed) -> str:
    """Return a feed as people call it: 'feed FD1 (PRES EAR)'."""
    return f"feed {feed.id} ({feed.label})" if feed.label else f"feed {feed.id}"


def broken(feed: Feed, chain: Chain, says: str) -> Claim:
    """Return the claim of a feed whose chain breaks off."""
    stop = chain.stop
    keys = {f"hole {output}" for output in feed.outputs}
    missing = stop is None or bool(stop.lacks) or not stop.spot.file
    reached = f"does not reach {feed.listener or 'its listener'}"
    own = stop is not None and (bool(stop.lacks) or stop.spot.file == feed.at.spot().file)
    return RULE.broken(
        feed.id,
        says,
        spot=feed.at.spot("outputs") if missing or stop is None else stop.spot,
        message=f"{titled(feed)} {reached}{': ' + stop.words if stop else ''}",
        because=[]
        if missing
        else [
            Because(feed.at.spot("outputs"), f"feed {feed.id} leaves by {', '.join(feed.outputs)}"),
            *steps_shown(chain.steps),
        ],
        fix=f"{'write an' if stop is not None and stop.lacks else 'correct the gear or'} output of feed {feed.id}"
        if own
        else onward_fix(chain, f"feed {feed.id}", feed.listener or "its listener"),
        breaks=[f"feed {feed.id}"] if own else (),
        rests_on=keys if stop is None else keys | stop.keys,
        feeds=[feed.id],
    )
