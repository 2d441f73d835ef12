"""A stream runs on two networks, and a receiver gets it by one of them alone.

What it finds: a stream with `second vlan` of which one copy does not arrive at a receiver, or none does on the second
network.
Why it matters: nobody hears it while the first network works; when that fails, the receiver is silent, though the plan
says that it is safe.
Example: ST-1 has `second vlan: AUDIO-2`, and the second port of REC-1 has no cable.
Fix: plug the receiver into the second network, or do not count on the second copy there.
Does not find: a receiver that is set to one network alone.
Source: ST 2022-7 section 4 (second-hand): a receiver makes one stream of two identical copies.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copies import copies
from tailboard.answers.network import network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("copy-missing", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream on two networks."""
    if not ask(network).written:
        return
    for pair in ask(copies):
        stream = pair.stream
        says = f"every receiver of {stream.id} gets both copies"
        lacking = [name for name in stream.receivers or {} if (name in pair.first) != (name in pair.second)]
        if not lacking:
            if pair.first:
                yield RULE.holds(stream.id, says)
            continue
        which = "second" if lacking[0] in pair.first else "first"
        vlan = stream.second_vlan or "" if which == "second" else stream.vlan or ""
        stop = ask(network).meeting(stream.sender, lacking[0], vlan).stop
        yield RULE.broken(
            stream.id,
            says,
            spot=stop.spot if stop is not None and stop.spot.file else stream.at.spot("second_vlan"),
            message=f"{listed(lacking)} {'get' if len(lacking) > 1 else 'gets'} {stream.id} on one network alone; "
            f"the {which} copy does not arrive{f': {stop.words}' if stop else ''}",
            because=[Because(stream.at.spot("second_vlan"), f"{stream.id} runs in {stream.second_vlan} too")],
            fix=f"bring {vlan or 'the first network'} to {listed(lacking)}",
            rests_on=stop.keys if stop is not None else (),
        )
