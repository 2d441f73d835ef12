"""A VLAN with IGMP snooping has no querier.

What it finds: snooping on and no querier named; a querier that is no switch of ours, or a switch that the VLAN does not
reach; only one querier, so that nothing takes over.
Why it matters: all is well for some minutes; then the memberships run out, 260 s after the last report, and multicast
stops or floods.
Example: AUDIO has `snooping: on` and no `querier`.
Fix: name the switch in the middle that is always powered, with its address in the VLAN, and a second.
Does not find: a querier that is planned and not set on the switch; a second system's querier.
Source: RFC 4541 section 2.1.1; RFC 3376 section 8.4 (2 x 125 s + 10 s = 260 s).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Vlan
from tailboard.model.show import device_of
from tailboard.physics.ip import membership_time_s
from tailboard.units import worded
from tailboard.units.wording import listed

RULE = Rule("querier-missing", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN with snooping."""
    for vlan in ask.model.vlans.values():
        if vlan.snooping:
            yield judged(ask(network), vlan)


def judged(net: Network, vlan: Vlan) -> Claim:
    """Return the claim that a VLAN has queriers."""
    says = f"{vlan.id} has a querier, and a second"
    queriers = list(vlan.querier or {})
    known = [name for name in queriers if name in net.model.devices]
    strangers = [name for name in known if net.model.kind_of(name).role not in {"switch", "router"}]
    absent = [name for name in known if name not in strangers and not is_on(net, name, vlan.id)]
    if not queriers:
        message = f"{vlan.id} has IGMP snooping and no querier: groups die {lifetime()} after they are joined"
        return broken(
            vlan, says, message, f"name two switches with their addresses: 'querier: {{SWITCH: ADDRESS}}' at {vlan.id}"
        )
    if strangers:
        verb, noun = ("is", "is no switch") if len(strangers) == 1 else ("are", "are no switches")
        message = f"{listed(strangers)} {verb} named as querier of {vlan.id} but {noun}"
        return broken(vlan, says, message, f"name a switch as querier of {vlan.id}")
    if absent:
        message = f"{listed(absent)} {'is' if len(absent) == 1 else 'are'} to query {vlan.id}, but no port there is in {vlan.id}"
        return broken(vlan, says, message, f"let {absent[0]} carry {vlan.id}, or name another switch")
    spot = vlan.at.spot("querier")
    if len(queriers) == 1 and len(net.model.switches) > 1:
        message = f"{queriers[0]} is the only querier of {vlan.id}: without it groups die after {lifetime()}"
        fix = "name a second switch with the next higher address"
        return RULE.broken(vlan.id, says, spot=spot, severity=Severity.NOTE, message=message, fix=fix)
    return RULE.holds(vlan.id, says, evidence=(Because(spot, f"queriers {listed(queriers)}"),))


def is_on(net: Network, switch: str, vlan: str) -> bool:
    """Return whether a switch has a port in a VLAN; where no port of it is written, nobody can say, and it counts as on."""
    sides = [side for side in net.ports.settings.values() if device_of(side.port) == switch]
    return not sides or any(vlan in side.vlans for side in sides)


def lifetime() -> str:
    """Return how long a group lives without queries, in words."""
    return worded(membership_time_s(), "s")


def broken(vlan: Vlan, says: str, message: str, fix: str) -> Claim:
    """Return the claim of a VLAN without a querier that works; without multicast in it, it is a warning."""
    spot = vlan.at.spot("querier" if vlan.querier else "snooping")
    return RULE.broken(
        vlan.id,
        says,
        spot=spot,
        message=message,
        fix=fix,
        severity=Severity.ERROR if vlan.multicast else Severity.WARNING,
    )
