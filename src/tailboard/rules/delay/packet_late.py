"""A packet may reach its receiver too late for its play-out.

What it finds: the longest time that a packet of a stream can take (packet time, release, every queue on its way with all
streams, one large frame of other traffic and the clock messages, forwarding, cable) against the receiver's link offset,
less what it needs before play-out. Too late is an error; in time, but with less than the show's `arrival reserve`, a warning.
Why it matters: a late packet is silence for its length: a click now and then, worst when the network is busy.
Example: a recorder with a link offset of 0.2 ms, two switches behind a box whose packets take up to 0.222 ms.
Fix: set a longer link offset, one that the receiver offers; or take switches or streams off the way, or use a faster link.
Does not find: switches that do not trust the marking or send pause frames; traffic marked like audio that nobody wrote;
receivers without a network way (see stream-ends-early).
Source: staircase curves of network calculus, checked against single packets in the bench (docs/decisions.md); one frame of
1542 bytes and non-preemption: RFC 9320 section 6.4.1; example figures of kinds as listed.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock_streams import carried_feeds
from tailboard.answers.delay import ROUNDING_S, Arrival, arrivals, offered_s
from tailboard.answers.delay_network import queues
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.delay.packet_ledger import dearest, keys, ledger, time
from tailboard.rules.network.common import example_figures
from tailboard.units.wording import listed

RULE = Rule("packet-late", "delay", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream and receiver that its frames get to, twice where it runs on two networks."""
    least_s = ask.model.heading.arrival_reserve_s or 0.0
    for found in ask(arrivals):
        says = f"{name_of(found)} reaches {found.receiver} in time"
        if found.missing or found.offset_s is None:
            yield unwritten(found, says)
        elif found.refused is not None:
            yield unbounded(ask, found, says)
        elif found.reserve_s is not None and found.worst_s is not None:
            says += f": after {time(found.worst_s)} at most, {time(found.reserve_s)} to spare"
            if found.reserve_s < least_s - ROUNDING_S:
                yield broken(ask, found, says, found.reserve_s)
            else:
                kinds = [ask.model.library.kinds.get(kind) for kind in found.kinds]
                yield RULE.holds(found.subject, says, assumptions=example_figures(*kinds))


def name_of(found: Arrival) -> str:
    """Return the stream as a reader knows it."""
    return f"the second copy of {found.flow.stream}" if found.flow.second else found.flow.stream


def unwritten(found: Arrival, says: str) -> Claim:
    """Return the open claim of an arrival for which figures are not written."""
    gaps = [(item.words, item.spot, item.fix) for item in found.missing]
    if found.offset_s is None:
        words = f"the link offset of {found.offset_of}"
        gaps.append((words, found.offset_at, f"write 'link offset' at {found.receiver}"))
    return RULE.open(
        found.subject,
        says,
        spot=gaps[0][1],
        missing=f"whether {name_of(found)} reaches {found.receiver} in time is not known; "
        f"not written: {listed([words for words, _, _ in gaps])}",
        fix="; ".join(dict.fromkeys(fix for _, _, fix in gaps if fix)),
    )


def unbounded(ask: Ask, found: Arrival, says: str) -> Claim:
    """Return the open claim of an arrival that has no bound."""
    assert found.refused is not None
    port, why = found.refused
    circle = ask(queues).bounds.circle
    more = f": {' - '.join((*circle, circle[0]))}" if circle else ""
    hop = next(hop for hop in found.hops if hop.port == port)
    return RULE.open(
        found.subject,
        says,
        spot=ask.model.cables[hop.cable].at.spot(),
        missing=f"how late {name_of(found)} may reach {found.receiver} has no bound: at {port} {why.value}{more}",
        fix=f"take streams off {hop.cable}, or lead them so that no way comes back to where it was",
    )


def broken(ask: Ask, found: Arrival, says: str, reserve_s: float) -> Claim:
    """Return the claim of an arrival that is late, or nearly so."""
    model = ask.model
    late = reserve_s < -ROUNDING_S
    stated_s = model.heading.arrival_reserve_s or 0.0
    port, cost_s = dearest(ask, found)
    assert found.worst_s is not None
    assert found.needed_s is not None
    assert found.offset_s is not None
    how = f"{time(-reserve_s)} too late" if late else f"{time(reserve_s)} to spare, {time(stated_s)} wanted"
    return RULE.broken(
        found.subject,
        says,
        spot=found.offset_at,
        message=f"{name_of(found)} may reach {found.receiver} as late as {time(found.worst_s)}, "
        f"{how} for its link offset of {time(found.offset_s)}; {port} costs most, {time(cost_s)}",
        because=ledger(ask, found),
        fix=mended(ask, found, max(stated_s, 0.0), port),
        severity=Severity.ERROR if late else Severity.WARNING,
        rests_on=keys(found),
        feeds=carried_feeds(ask, [found.flow.stream]) if late else (),
    )


def mended(ask: Ask, found: Arrival, reserve_s: float, port: str) -> str:
    """Return what to change: the smallest link offset that holds, if the receiver offers one, or what else."""
    offset_s = offered_s(ask.model, found, (found.needed_s or 0.0) + reserve_s)
    if offset_s is None:
        return f"{found.receiver} offers no link offset that is long enough: take switches or streams off the way, {port} first"
    listed_ones = ask.model.kind_of(found.receiver).link_offsets_s
    which = "it offers" if listed_ones else "multiple of the packet time"
    return f"set the link offset of {found.offset_of} to {time(offset_s)}, the smallest {which} that holds"
