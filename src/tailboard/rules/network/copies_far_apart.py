"""The two copies of a stream may arrive further apart than the receiver can bridge.

What it finds: the latest arrival on one network less the earliest on the other, whichever way is more, against the
`copy class` of the receiver's kind: A 10 ms, B 50 ms, C 450 ms, D 150 us. Without a class, or without a bound of the
arrival, the claim stays open; ways whose least delays lie too far apart are broken without one.
Why it matters: the receiver joins the copies only while both lie in its window; beyond it a change of network is heard.
Example: the second network goes round over 40 km of fibre, and the receiver is of class D.
Fix: lead both networks over ways of like length and load, or use a receiver of a wider class.
Does not find: the path of a copy through somebody else's network.
Source: ST 2022-7:2019 table 1, streams below 270 Mb/s (second-hand); 4.9 ns a metre of cable; arrivals as in packet-late.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copies import LIMIT_S, Copies, copies, least_delay_s
from tailboard.answers.delay import Arrival, arrivals
from tailboard.answers.flows_records import Missing
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.network.common import example_figures
from tailboard.units import worded

RULE = Rule("copies-far-apart", "network", Severity.ERROR, __doc__)
Arrived = dict[tuple[str, str, bool], Arrival]  # stream, receiver, whether on the second network


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream on two networks and receiver that gets both copies."""
    pairs = ask(copies)
    arrived = {(one.flow.stream, one.receiver, one.flow.second): one for one in ask(arrivals)} if pairs else {}
    for pair in pairs:
        for receiver in pair.first:
            if receiver in pair.second:
                yield judged(ask.model, pair, receiver, arrived)


def judged(model: Model, pair: Copies, receiver: str, arrived: Arrived) -> Claim:
    """Return the claim of one receiver."""
    stream, kind = pair.stream, model.kind_of(receiver)
    subject, says = (stream.id, receiver), f"the copies of {stream.id} arrive at {receiver} close enough together"
    limit_s = LIMIT_S.get(kind.copy_class or "")
    device = model.devices[receiver]
    apart = least_apart_s(model, pair, receiver)
    if limit_s is None and not isinstance(apart, Missing):
        fix = f"write 'copy class' for the kind {device.kind}"
        apart = Missing(f"the copy class of {receiver}", device.at.spot("kind"), fix)
    if isinstance(apart, Missing):
        return RULE.open(subject, says, spot=apart.spot, missing=f"{apart.words} is not written", fix=apart.fix)
    assert limit_s is not None
    both = [arrived.get((stream.id, receiver, second)) for second in (False, True)]
    worst = worst_apart_s(both)
    if apart <= limit_s and isinstance(worst, Missing):
        return RULE.open(subject, says, spot=worst.spot, missing=worst.words, fix=worst.fix)
    apart_s = apart if isinstance(worst, Missing) else max(apart, worst)
    words = f"up to {worded(round(apart_s, 9), 's')} apart at {receiver}; class {kind.copy_class} bridges {worded(limit_s, 's')}"
    if apart_s <= limit_s:
        kinds = dict.fromkeys(name for one in both if one is not None for name in one.kinds)
        assumed = [note for name in kinds for note in example_figures(model.library.kinds[name])]
        return RULE.holds(
            subject, f"the copies of {stream.id} are {words}", assumptions=[*example_figures(kind), *assumed]
        )
    return RULE.broken(
        subject,
        says,
        spot=stream.at.spot("second_vlan"),
        message=f"the copies of {stream.id} are {words}",
        because=[Because(device.at.spot("kind"), f"{receiver} is a {device.kind}, class {kind.copy_class}")],
        fix=f"lead both networks to {receiver} over ways of like length and load, or use a receiver of a wider class",
    )


def least_apart_s(model: Model, pair: Copies, receiver: str) -> float | Missing:
    """Return by how much the ways of the copies differ over empty ports, or the figure that is missing. [s]"""
    stream = pair.stream
    if pair.frame_bytes is None:
        return Missing(f"the packet size of {stream.id}", stream.at.spot(), f"write 'packet time' at {stream.id}")
    found = [least_delay_s(model, hops[receiver], pair.frame_bytes) for hops in (pair.first, pair.second)]
    known = [delay for delay in found if not isinstance(delay, Missing)]
    return (
        abs(known[0] - known[1]) if len(known) == len(found) else next(one for one in found if isinstance(one, Missing))
    )


def worst_apart_s(both: list[Arrival | None]) -> float | Missing:
    """Return the latest arrival of one copy less the earliest of the other, the greater of the two; or what is missing. [s]"""
    first, second = both
    for one in (first, second):
        if one is None or one.worst_s is None or one.best_s is None:
            missing = next(iter(one.missing), None) if one is not None else None
            if missing is not None:
                return Missing(f"{missing.words} is not written", missing.spot, missing.fix)
            return Missing(
                "one of the copies has no bound of its arrival", fix="see the claims packet-late of this stream"
            )
    assert first is not None
    assert second is not None
    assert first.worst_s is not None
    assert second.worst_s is not None
    return max(first.worst_s - (second.best_s or 0.0), second.worst_s - (first.best_s or 0.0))
