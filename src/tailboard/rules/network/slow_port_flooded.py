"""Multicast that nobody asked for reaches a port of 100 Mb/s.

What it finds: groups of a VLAN that go to a slow port whose device takes none of them, because the VLAN does not snoop, has
no querier, the group is one that switches always flood, or a switch in between floods. It says how many such streams
fill the port to the limit of the show.
Why it matters: packs, panels and small converters at 100 Mb/s drop out while all faster devices play on; with each stream
more it gets worse.
Example: COMMS carries nine streams of 8 channels by multicast, does not snoop, and BPK-1 has a port of 100 Mb/s.
Fix: switch IGMP snooping on in the VLAN and name a querier, or put the device into a VLAN without multicast.
Does not find: groups that a switch floods because its table is full.
Source: RFC 4541 section 2.1.2; 85 % is common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.flows import Flow
from tailboard.answers.load import SLOW_BIT_PER_S, PortLoad, loads
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.network.load_common import assumptions, flow_spot, rate
from tailboard.units.wording import counted, listed

RULE = Rule("slow-port-flooded", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a port of 100 Mb/s or less that a group reaches."""
    for load in ask(loads).values():
        speed = load.hop.speed_bit_per_s
        groups = [flow for flow in load.flows if flow.multicast] if speed and speed <= SLOW_BIT_PER_S else []
        if not groups or groups[0].sender == load.hop.port.partition("/")[0]:
            continue
        unasked = [flow for flow in groups if load.hop.port in flow.flooded]
        if unasked:
            yield broken(ask.model, load, unasked)
        else:
            says = f"{load.hop.port} at {rate(speed)} gets only the groups that were asked for: {names(groups)}{filling(load, groups)}"
            yield RULE.holds(load.hop.port, says, assumptions=assumptions(ask.model, load.hop, ()))


def names(flows: list[Flow]) -> str:
    """Return flows by name."""
    return listed([flow.id for flow in flows])


def filling_count(limit_bit_per_s: float, each_bit_per_s: float) -> int:
    """Return how many streams of one rate together exceed a limit.

        floor(limit / rate) + 1

    Check (job.md F18, computed there): 85 Mb/s of a 100 Mb/s port, 9.872 Mb/s -> 9; 14.464 Mb/s -> 6.
    >>> filling_count(85e6, 9.872e6), filling_count(85e6, 14.464e6)
    (9, 6)
    """
    return math.floor(limit_bit_per_s / each_bit_per_s) + 1


def filling(load: PortLoad, groups: list[Flow]) -> str:
    """Return at how many streams like the largest a port is full, in words; empty where no rate is known."""
    known = [flow.rate_bit_per_s for flow in groups if flow.rate_bit_per_s]
    if not known or load.hop.speed_bit_per_s is None:
        return ""
    fills = filling_count(load.hop.speed_bit_per_s * load.share_max / 100, max(known))
    return f"; {counted(fills, 'stream')} like the largest fill it over {load.share_max} %"


def broken(model: Model, load: PortLoad, unasked: list[Flow]) -> Claim:
    """Return the claim of a slow port that gets groups nobody asked for."""
    hop, speed = load.hop, load.hop.speed_bit_per_s or 0.0
    known = [flow.rate_bit_per_s for flow in unasked if flow.rate_bit_per_s is not None]
    total = f"{rate(sum(known))} of " if known else ""
    vlan = unasked[0].vlan
    record = model.vlans.get(vlan)
    snoops = record is not None and record.snooping and record.querier
    fix = (
        f"give the streams groups that switches can keep apart, or take the switch that floods out of the way to {hop.port}"
        if snoops
        else f"switch snooping on for {vlan} and name a querier, or take {hop.into} out of {vlan}"
    )
    return RULE.broken(
        hop.port,
        f"{hop.port} at {rate(speed)} gets only the groups that were asked for",
        spot=record.at.spot("snooping") if record is not None and not snoops else model.cables[hop.cable].at.spot(),
        message=f"{hop.port} at {rate(speed)} gets {total}multicast that {hop.into} does not take: {names(unasked)}{filling(load, unasked)}",
        because=[Because(flow_spot(model, flow), f"{flow.id} {rate(flow.rate_bit_per_s)}") for flow in unasked[:8]],
        fix=fix,
        rests_on=[f"vlan {vlan}", *(f"stream {flow.stream}" for flow in unasked)],
    )
