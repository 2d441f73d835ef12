"""A receiver is to play packets out before they are full.

What it finds: a link offset that is not longer than the packet time of a stream which the device, or one of its ports, takes.
Why it matters: the first sample of a packet waits in the sender until the last is there; no network is quick enough, and
every packet is late.
Example: `REC-1` with a link offset of 0.5 ms is to take ST-4 with its 1 ms packets.
Fix: set a longer link offset, or a shorter packet time at the stream.
Does not find: what the network adds; see packet-late.
Source: packet time and link offset as AES67 has them (second-hand): the offset counts from the packet's first sample.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock_streams import carried_feeds
from tailboard.answers.delay import Arrival, arrivals, link_offset_s, offered_s, offset_name
from tailboard.answers.flows import Flow, flows
from tailboard.answers.flows_records import AUDIO
from tailboard.answers.streams import streams
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.show import Model
from tailboard.rules.delay.packet_ledger import time
from tailboard.units.wording import listed

RULE = Rule("link-offset-short", "delay", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a link offset: one for the device, one for each port with its own."""
    for name, taken in taken_by(ask).items():
        offset_s, spot = link_offset_s(ask.model, name)
        if offset_s is None:
            continue
        says = f"{name} plays its packets out after they are full"
        late = [flow for flow in taken if flow.period_s is not None and flow.period_s >= offset_s]
        yield broken(ask, name, offset_s, spot, late, says) if late else RULE.holds(name, says)


def taken_by(ask: Ask) -> dict[str, list[Flow]]:
    """Return the streams that each link offset counts for: by device, or by DEVICE/PORT where the port has its own."""
    model, plans = ask.model, ask(streams).plans
    found: dict[str, list[Flow]] = {}
    for flow in ask(flows).all:
        if flow.feature != AUDIO:
            continue
        ends = {receiver: hops[-1].into for receiver, hops in flow.hops.items()}
        for receiver in flow.hops or plans[flow.stream].receivers:
            if receiver in model.devices:
                found.setdefault(offset_name(model, ends.get(receiver, receiver)), []).append(flow)
    return found


def broken(ask: Ask, name: str, offset_s: float, spot: Spot, late: list[Flow], says: str) -> Claim:
    """Return the claim of a link offset that is too short."""
    model = ask.model
    names = list(dict.fromkeys(flow.stream for flow in late))
    longest = max(late, key=lambda flow: flow.period_s or 0.0)
    needed = [found for found in ask(arrivals) if found.flow in late and found.offset_of == name]
    return RULE.broken(
        name,
        says,
        spot=spot,
        message=f"{name} plays out {time(offset_s)} after the first sample, but the packets of {listed(names)} "
        f"are full only after {time(longest.period_s or 0.0)}",
        because=[
            Because(model.streams[flow.stream].at.spot("packet_time_s"), f"{flow.stream}: {time(flow.period_s or 0.0)}")
            for flow in late
            if flow.stream in model.streams
        ],
        fix=mended(model, name, longest, needed),
        breaks=[f"link offset {name}"],
        feeds=carried_feeds(ask, names),
    )


def mended(model: Model, name: str, longest: Flow, needed: list[Arrival]) -> str:
    """Return the link offset to set: the smallest offered with which every packet arrives, where that is known."""
    known = [offered_s(model, found, found.needed_s) for found in needed if found.needed_s is not None]
    offsets_s = [offset_s for offset_s in known if offset_s is not None]
    if offsets_s:
        return f"set the link offset of {name} to {time(max(offsets_s))}"
    return f"set the link offset of {name} to more than {time(longest.period_s or 0.0)}, or use shorter packets"
