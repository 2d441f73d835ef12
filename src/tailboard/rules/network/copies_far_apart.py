"""The two copies of a stream arrive further apart than the receiver can bridge.

What it finds: the difference of the least delays on the two networks against the `copy class` of the receiver's kind:
A 10 ms, B 50 ms, C 450 ms, D 150 us. Without a class the claim stays open.
Why it matters: the receiver joins the copies only while both lie in its window; beyond it a change of network is heard.
Example: the second network goes round over 40 km of fibre, and the receiver is of class D.
Fix: lead both networks over ways of like length, or use a receiver of a wider class.
Does not find: waits in queues, which come on top; see the claims on arrival.
Source: ST 2022-7:2019 table 1, streams below 270 Mb/s (second-hand); 4.9 ns a metre of cable.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copies import LIMIT_S, Copies, copies, least_delay_s
from tailboard.answers.flows_records import Missing
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.network.common import example_figures
from tailboard.units import worded

RULE = Rule("copies-far-apart", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream on two networks and receiver that gets both copies."""
    for pair in ask(copies):
        for receiver in pair.first:
            if receiver in pair.second:
                yield judged(ask.model, pair, receiver)


def judged(model: Model, pair: Copies, receiver: str) -> Claim:
    """Return the claim of one receiver."""
    stream, kind = pair.stream, model.kind_of(receiver)
    subject, says = (stream.id, receiver), f"the copies of {stream.id} arrive at {receiver} close enough together"
    limit_s = LIMIT_S.get(kind.copy_class or "")
    device = model.devices[receiver]
    if pair.frame_bytes is None:
        missing: Missing | None = Missing(
            f"the packet size of {stream.id}", stream.at.spot(), f"write 'packet time' at {stream.id}"
        )
    else:
        delays = [least_delay_s(model, hops[receiver], pair.frame_bytes) for hops in (pair.first, pair.second)]
        missing = next((delay for delay in delays if isinstance(delay, Missing)), None)
    if limit_s is None and missing is None:
        missing = Missing(
            f"the copy class of {receiver}", device.at.spot("kind"), f"write 'copy class' for the kind {device.kind}"
        )
    if missing is not None or limit_s is None:
        assert missing is not None
        return RULE.open(subject, says, spot=missing.spot, missing=f"{missing.words} is not written", fix=missing.fix)
    first_s, second_s = (delay for delay in delays if not isinstance(delay, Missing))
    apart = worded(round(abs(first_s - second_s), 9), "s")
    words = f"{apart} apart at {receiver}; class {kind.copy_class} bridges {worded(limit_s, 's')}"
    if abs(first_s - second_s) <= limit_s:
        return RULE.holds(subject, f"the copies of {stream.id} are at least {words}", assumptions=example_figures(kind))
    return RULE.broken(
        subject,
        says,
        spot=stream.at.spot("second_vlan"),
        message=f"the copies of {stream.id} are {words}",
        because=[Because(device.at.spot("kind"), f"{receiver} is a {device.kind}, class {kind.copy_class}")],
        fix=f"lead both networks to {receiver} over ways of like length, or use a receiver of a wider class",
    )
