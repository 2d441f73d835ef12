"""A device can send through a trunk into a VLAN that is not its own, by a frame with two tags.

What it finds: a port for end devices in the VLAN that a trunk carries untagged, where the port takes frames with that
VLAN's tag: the trunk takes the first tag off, and the next switch goes by the second.
Why it matters: a frame of that port gets into any VLAN of the trunk, whatever the ports are set to; no answer comes back.
Example: F-01 has `native: OFFICE`, SW-T/8 is an open OFFICE port, and SW-T takes tagged frames at access ports.
Fix: let the trunk carry a VLAN untagged that no port is in, or shut the port.
Does not find: routers and others that are meant to work with tags on the trunk; switches that read a frame's second tag themselves.
Source: IEEE 802.1Q, untagged egress and classification (clauses from memory); an empty native VLAN is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_ports import Setting, takes_tags
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.network.common import titled, titled_all

RULE = Rule("native-in-use", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN that a trunk between two switches carries untagged beside others."""
    net = ask(network)
    trunks: dict[str, list[tuple[Setting, Setting]]] = {}
    for link in net.links.values():
        near, far = (net.ports.settings.get(port) for port in link.ends)
        if link.dead is not None or not near or not far or not near.tagged & far.tagged:
            continue
        if near.untagged and near.untagged == far.untagged:
            trunks.setdefault(near.untagged, []).append((near, far))
    open_to: dict[str, list[Setting]] = {}
    for side in net.ports.settings.values() if trunks else ():
        if is_open(net, side):
            for vlan in side.vlans & trunks.keys():
                if side.classified(vlan) == vlan:
                    open_to.setdefault(vlan, []).append(side)
    for vlan, pairs in trunks.items():
        yield judged(net, vlan, pairs, open_to.get(vlan, []))


def is_open(net: Network, side: Setting) -> bool:
    """Return whether a plain end device is, or can be, plugged into a port: it is not shut and leads to no switch or router."""
    if side.port in net.ports.shut:
        return False
    ends = [net.links[cable].far(side.port) for cable in net.ports.at.get(side.port, ())]
    return not any(device_of(end) in net.frames.forwarding or takes_tags(net.model, end) for end in ends)


def tagged_from(net: Network, device: str, vlan: str) -> set[str]:
    """Return the switches to which a frame of a VLAN gets with its tag on every cable: both tags are still on it there."""
    found, waiting = {device}, [device]
    while waiting:
        for step in net.frames.trunks.get(waiting.pop(), ()):
            hop = net.frames.hop(step, vlan)
            far = device_of(step[2])
            if hop is not None and hop.tag == hop.vlan_after == vlan and far not in found:
                found.add(far)
                waiting.append(far)
    return found


def judged(net: Network, vlan: str, pairs: list[tuple[Setting, Setting]], sides: list[Setting]) -> Claim:
    """Return the claim that no end device can put frames on the trunks that carry a VLAN untagged."""
    says = f"no device sends frames with two tags through the trunks that carry {titled(net.model, vlan)} untagged"
    for side in sides:
        devices = tagged_from(net, device_of(side.port), vlan)
        for pair in pairs:
            near = next((end for end in pair if device_of(end.port) in devices), None)
            if near is None:
                continue
            cable = net.ports.at[near.port][0]
            return RULE.broken(
                vlan,
                says,
                spot=side.untagged_said.spot,
                message=f"what is plugged into {side.port} can send into {titled_all(net.model, pair[0].tagged & pair[1].tagged)}: "
                f"{cable} takes the tag {vlan} off a frame with two, and the next switch goes by the other",
                because=[Because(near.untagged_said.spot, f"{cable} carries {vlan} untagged"), side.tagged_said],
                fix=f"let {cable} carry a VLAN untagged that no port is in, or shut {side.port}",
            )
    return RULE.holds(vlan, says)
