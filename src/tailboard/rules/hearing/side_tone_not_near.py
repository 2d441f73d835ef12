"""A listener cannot hear himself by the device that is written.

What it finds: a `side tone` at a device that the listener's own line does not pass, or that does not bring him the feed; one
that takes longer than 5 ms from input to output; and one of a feed that no own voice is written for.
Why it matters: who hears only others in closed earpieces shouts, and who hears himself late stumbles. Side tone is made near
the mouth: by the commentary unit, the belt-pack or the headset amplifier.
Example: FD1 of the commentator has the side tone CON-1, and his line 33 is heard in FD1 by CU-1.
Fix: write the device beside the listener into which his microphone is plugged, or none.
Does not find: side tone that is turned down.
Source: 5 ms as in own-voice-late; the rest is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.signal import Signal, signal
from tailboard.answers.signal_edges import example, onward
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed
from tailboard.model.show import device_of
from tailboard.rules.hearing.common import OWN_VOICE_S
from tailboard.units.wording import listed, worded

RULE = Rule("side-tone-not-near", "hearing", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed with a side tone."""
    graph = ask(signal)
    for feed in ask.model.feeds.values():
        if feed.side_tone in ask.model.devices:
            yield judged(graph, feed, feed.side_tone or "")


def judged(graph: Signal, feed: Feed, device: str) -> Claim:
    """Return the claim of one feed."""
    says = f"{feed.listener or feed.id} hears himself by {device}"
    kind = graph.model.kind_of(device)
    far = [line for line in feed.own if device not in passed(graph, f"line {line}")]
    late_s = kind.process_delay_s or 0.0
    why = ""
    if not feed.own:
        why = f"no own voice is written for {feed.id}, so {device} has nothing to give back"
    elif far:
        why = f"line {listed(far)} does not pass {device}"
    elif device not in {*map(device_of, feed.gear), *passed(graph, f"feed {feed.id}")}:
        why = f"{feed.id} does not come to its listener by {device}"
    elif late_s > OWN_VOICE_S:
        why = f"{device} takes {worded(late_s, 's')}, and {worded(OWN_VOICE_S, 's')} is the most"
    if not why:
        assumed = example(kind)
        return RULE.holds(feed.id, says, assumptions=[assumed] if assumed else ())
    return RULE.broken(
        feed.id,
        says,
        spot=feed.at.spot("side_tone"),
        message=f"{feed.listener or feed.id} cannot hear himself by {device}: {why}",
        because=[
            Because(feed.at.spot("own"), f"own voice of {feed.id}: {', '.join(feed.own) or 'none'}"),
            Because(feed.at.spot("gear"), f"gear of {feed.id}: {', '.join(feed.gear) or 'none'}"),
            Because(graph.model.devices[device].at.spot("kind"), f"{device} is a {kind.id}"),
        ],
        fix=f"write the device beside {feed.listener or 'the listener'} that his microphone is plugged into, or leave 'side tone' empty",
        rests_on=[f"feed {feed.id}", f"device {device}"],
        lines=far,
        feeds=[feed.id],
    )


def passed(graph: Signal, start: str) -> set[str]:
    """Return the devices that a signal passes on fixed ways."""
    return {graph.device_of.get(node, "") for node in onward([start], lambda node: graph.out.get(node, ()))}
