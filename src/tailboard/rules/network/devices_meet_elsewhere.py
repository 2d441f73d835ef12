"""Two devices meet on another VLAN than planned, or do not meet on the one planned.

What it finds: a device with `meets only on` that meets the other on a further VLAN, through a router, or that no frame
gets to on the VLAN written.
Why it matters: two boxes that talk by a second way keep talking when the first is shut, and nobody knows over what.
Example: ICM-1 says `meets only on: {PNL-1: COMMS}`, and both have an address in AUDIO too.
Fix: take the other VLAN from one of the two, or write the VLAN on which they are to meet.
Does not find: a way by radio or a network that is not in the plan.
Source: the plan's own word, followed frame by frame after IEEE 802.1Q (clauses from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.network.common import titled

RULE = Rule("devices-meet-elsewhere", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a pair of devices that says where it meets."""
    net = ask(network)
    for name, device in ask.model.devices.items():
        for other, vlan in (device.meets_only_on or {}).items():
            if net.written and other != name and other in ask.model.devices and vlan in ask.model.vlans:
                yield judged(net, (name, other), vlan)


def judged(net: Network, pair: tuple[str, str], vlan: str) -> Claim:
    """Return the claim that two devices meet on one VLAN alone."""
    one, other = pair
    says = f"{one} and {other} meet on {titled(net.model, vlan)} alone"
    spot = net.model.devices[one].at.spot("meets_only_on")
    for name in net.shared_vlans(one, other):
        way = net.meeting(one, other, name)
        if name != vlan and way.arrives:
            return RULE.broken(
                pair,
                says,
                spot=spot,
                message=f"{one} and {other} are to meet on {vlan} alone, but they meet on {titled(net.model, name)}",
                because=[Because(net.model.cables[hop.cable].at.spot(), hop.words) for hop in way.hops],
                fix=f"take {name} from {one} or {other}, or write {name} under 'meets only on'",
                rests_on=[f"{hop.cable}~{name}" for hop in way.hops],
            )
    routed = net.routed(one, other)
    if routed is not None:
        return RULE.broken(
            pair,
            says,
            spot=spot,
            message=f"{one} and {other} are to meet on {vlan} alone, but a router passes packets between them",
            because=[Because(net.model.cables[hop.cable].at.spot(), hop.words) for hop in routed.hops],
            fix="take one of their VLANs out of what the router forwards",
        )
    there = net.meeting(one, other, vlan)
    if there.arrives and {one, other} <= net.frames.forwarding | {d for d in pair if vlan in net.vlans_of_device(d)}:
        return RULE.holds(pair, says)
    reason = there.stop.words if there.stop else f"{one} or {other} has no address in it"
    return RULE.broken(
        pair,
        says,
        spot=spot,
        message=f"{one} and {other} are to meet on {titled(net.model, vlan)}, but do not: {reason}",
        because=[Because(there.stop.spot, there.stop.words)] if there.stop else (),
        fix=f"give both an address in {vlan} and let the ports and cables between them carry it",
        rests_on=there.stop.keys if there.stop else (),
    )
