"""The two copies of a stream pass the same cable or device.

What it finds: a stream with `second vlan` of which both copies go over one cable, or through one switch, on the way to
a receiver.
Why it matters: the two networks are there so that one fault does no harm; what they share takes both copies at once.
Example: AUDIO and AUDIO-2 both cross F-01.
Fix: give the second network a cable and a switch of its own.
Does not find: two cables on one drum or route, two switches on one supply.
Source: ST 2022-7 (second-hand); networks that share nothing are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copies import copies
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("copies-share-way", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream on two networks of which both copies arrive somewhere."""
    model = ask.model
    for pair in ask(copies):
        both = [name for name in pair.first if name in pair.second]
        if not both:
            continue
        stream = pair.stream
        says = f"the copies of {stream.id} share no cable and no switch"
        shared = dict.fromkeys(name for receiver in both for name in pair.shared(receiver))
        if not shared:
            yield RULE.holds(stream.id, says)
            continue
        places = [model.cables[name] if name in model.cables else model.devices[name] for name in shared]
        yield RULE.broken(
            stream.id,
            says,
            spot=stream.at.spot("second_vlan"),
            message=f"both copies of {stream.id} pass {listed(list(shared))}: one fault takes both",
            because=[Because(item.at.spot(), f"{item.id} carries both copies") for item in places[:8]],
            fix=f"lead {stream.second_vlan} past {listed(list(shared))}",
        )
