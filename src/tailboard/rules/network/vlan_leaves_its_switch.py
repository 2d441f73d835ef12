"""A VLAN is on a switch where it may not be.

What it finds: a VLAN with `stays on` that a port of another switch is a member of, or that a trunk carries towards one,
or to a router or other end that takes tags and is not meant to be in it.
Why it matters: what was kept apart on purpose, such as control, can be reached from the stage.
Example: CTRL stays on SW-T, and F-01 carries it to SW-B.
Fix: take the VLAN out of the trunk, or name the device at the other end under `stays on`.
Does not find: packets that a router passes on from it, for the router's address says it belongs there; see
router-joins-vlans.
Source: the plan's own word; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_ports import Setting, takes_tags
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
        fix=f"take {vlan} out of {listed(cables)}, or name the device at the other end under 'stays on'",
        breaks=[f"{cable}~{vlan}" for cable in cables],
    )


def is_outside(net: Network, side: Setting, vlan: str, allowed: tuple[str, ...]) -> bool:
    """Return whether a port brings a VLAN where it may not be: it is on another switch, or its cable leads to one."""
    cables = net.ports.at.get(side.port, ())
    if not side.written or vlan not in side.vlans or not cables:
        return False
    if device_of(side.port) not in allowed:
        return True
    far_ends = [net.links[cable].far(side.port) for cable in cables]
    return any(device_of(far) not in allowed and may_not_take(net, side, vlan, far) for far in far_ends)


def may_not_take(net: Network, side: Setting, vlan: str, far: str) -> bool:
    """Return whether the far end of a cable gets a VLAN that is not for it: another switch, or a router not in the VLAN."""
    if device_of(far) in net.frames.forwarding:
        return True
    return vlan in side.tagged and takes_tags(net.model, far) and vlan not in net.ports.vlans.get(far, ())
