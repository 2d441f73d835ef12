"""Two devices exchange a stream but run in different clock domains.

What it finds: a device whose clock domain is not that of the devices it exchanges streams with; of two that differ, the
one that most of the others do not agree with.
Why it matters: clocks of different domains do not hear each other; samples are lost in a steady beat, or the receiver
never locks and stays silent.
Example: `SB-1` is in domain 1 and sends ST-1 to `CON-1` in domain 0.
Fix: give all devices that exchange streams one domain, or put a gateway with a rate converter between.
Does not find: streams of devices whose kind `converts rate`, such as gateways and intercom panels.
Source: domains are separate, IEEE 1588-2008 7.1 (from memory); samples lost: arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock_streams import carried_feeds, domains, exchanges, rate_hz
from tailboard.answers.streams import streams
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.clock import slip_interval_s
from tailboard.rules.clock.common import lines_at
from tailboard.units.wording import counted, listed, worded

RULE = Rule("clock-domain-differs", "clock", Severity.ERROR, __doc__)
APART_PPM = 10.0  # two free clocks, for the example in the message: common practice, no source
USUAL_RATE_HZ = 48e3  # television's sample rate, for the same example: common practice, no source


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device that exchanges streams: its domain is that of the others."""
    found = ask(domains)
    for node, domain in found.values.items():
        says = f"{node[1]} runs in the clock domain of the devices it exchanges streams with"
        against = found.odd.get(node)
        if against is None:
            yield RULE.holds(node[1], says)
        else:
            yield apart(ask, node[1], domain, [other[1] for other in against], says)


def apart(ask: Ask, device: str, domain: int, others: list[str], says: str) -> Claim:
    """Return the claim on a device in another domain than `others`."""
    model = ask.model
    joined = [e.stream for e in ask(exchanges) if {e.sender, e.receiver} in [{device, other} for other in others]]
    names = list(dict.fromkeys(joined))
    first = ask(streams).plans[names[0]]
    records = {name: record for name in (device, *others) if (record := model.devices[name].clock) is not None}
    beat = slip_interval_s(rate_hz(model, device) or USUAL_RATE_HZ, APART_PPM)
    theirs = sorted({records[name].domain for name in others})
    word = "domain" if len(theirs) == 1 else "domains"
    numbers = listed([str(number) for number in theirs])
    return RULE.broken(
        device,
        says,
        spot=records[device].at.spot("domain"),
        message=f"{device} runs in clock domain {domain}, {listed(others)} in {word} {numbers}: {listed(names)} "
        f"{'has' if len(names) == 1 else 'have'} no common clock; "
        f"{APART_PPM:g} ppm apart, a sample is lost every {worded(round(beat, 1), 's')}",
        because=[Because(records[name].at.spot("domain"), f"{name}: domain {records[name].domain}") for name in others]
        + [Because(first.record.at.spot(first.attribute), f"{first.words} joins them")],
        fix=f"write domain: {theirs[0]} at {device}, or lead {counted(len(names), 'stream')} through a gateway that "
        "converts the rate",
        breaks=[f"device {device}"],
        lines=lines_at(model, {device}),
        feeds=carried_feeds(ask, names),
    )
