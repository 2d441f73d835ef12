"""A VLAN is on a switch where it may not be.

What it finds: a VLAN with `stays on` that a port of another switch is a member of, or that a trunk carries towards one.
Why it matters: what was kept apart on purpose, such as control, can be reached from the stage.
Example: CTRL stays on SW-T, and F-01 carries it to SW-B.
Fix: take the VLAN out of the trunk, or name the other switch under `stays on`.
Does not find: a VLAN that leaves by a router; see router-joins-vlans.
Source: the plan's own word; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_ports import Setting
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.network.common import titled
from tailboard.units.wording import listed

RULE = Rule("vlan-leaves-its-switch", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN that has `stays on`."""
    net = ask(network)
    for vlan, record in ask.model.vlans.items():
        if record.stays_on and net.written:
            yield judged(net, vlan, record.stays_on)


def judged(net: Network, vlan: str, allowed: tuple[str, ...]) -> Claim:
    """Return the claim that a VLAN stays on its switches."""
    says = f"{titled(net.model, vlan)} stays on {listed(allowed)}"
    outside = [side for side in net.ports.settings.values() if is_outside(net, side, vlan, allowed)]
    if not outside:
        return RULE.holds(vlan, says)
    cables = tuple(dict.fromkeys(cable for side in outside for cable in net.ports.at[side.port]))
    where = listed([f"{side.port} ({', '.join(net.ports.at[side.port])})" for side in outside])
    first = outside[0]
    said = first.untagged_said if first.untagged == vlan else first.tagged_said
    return RULE.broken(
        vlan,
        says,
        spot=said.spot,
        message=f"{titled(net.model, vlan)} may only be on {listed(allowed)}, but it leaves by {where}",
        because=[net_said for side in outside if (net_said := side.tagged_said).spot != said.spot],
        fix=f"take {vlan} out of {listed(cables)}, or name the other switch under 'stays on'",
        breaks=[f"{cable}~{vlan}" for cable in cables],
    )


def is_outside(net: Network, side: Setting, vlan: str, allowed: tuple[str, ...]) -> bool:
    """Return whether a port brings a VLAN to a switch where it may not be: it is on one, or its cable leads to one."""
    cables = net.ports.at.get(side.port, ())
    if not side.written or vlan not in side.vlans or not cables:
        return False
    if device_of(side.port) not in allowed:
        return True
    far = [device_of(net.links[cable].far(side.port)) for cable in cables]
    return any(device in net.frames.forwarding and device not in allowed for device in far)
