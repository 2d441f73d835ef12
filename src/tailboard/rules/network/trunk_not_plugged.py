"""Two parts of the network are joined only by a cable that is not plugged.

What it finds: a cable between two switches that is laid or capped, where no plugged cable joins the two and devices of one
VLAN, or the two ends of a stream, are parted by it.
Why it matters: everything behind it is cut off at once, and each of the devices there looks like a fault of its own.
Example: F-01 from SW-T to SW-B is `laid`, and F-02 beside it is capped.
Fix: plug the cable, here and on the floor.
Does not find: a cable that is plugged and carries nothing, for a shut port or its optics; rules of their own do.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_links import Link
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model, device_of
from tailboard.units.wording import listed

RULE = Rule("trunk-not-plugged", "network", Severity.ERROR, __doc__)


class Islands:
    """Devices joined by plugged cables: `of` gives the first device of an island, `devices` all of it."""

    def __init__(self, net: Network) -> None:
        self.root: dict[str, str] = {}
        for link in net.links.values():
            if net.model.cables[link.cable].state == "plugged":
                self.join(link)

    def of(self, device: str) -> str:
        """Return the device by which an island is known."""
        while self.root.setdefault(device, device) != device:
            self.root[device] = self.root[self.root[device]]
            device = self.root[device]
        return device

    def join(self, link: Link) -> None:
        """Join the islands at both ends of a cable."""
        self.root[self.of(device_of(link.port_a))] = self.of(device_of(link.port_b))

    def devices(self, device: str) -> list[str]:
        """Return the devices of an island."""
        first = self.of(device)
        return [name for name in list(self.root) if self.of(name) == first]


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a cable between two switches that is not plugged; those only laid are taken before the capped spares."""
    net = ask(network)
    cables = ask.model.cables
    idle = [link for link in net.links.values() if cables[link.cable].state != "plugged" and is_trunk(net, link)]
    if not idle:
        return
    islands = Islands(net)
    for link in sorted(idle, key=lambda link: cables[link.cable].state == "capped"):
        devices = [device_of(port) for port in link.ends]
        says = f"the network does not need {link.cable}, which is {cables[link.cable].state}"
        if islands.of(devices[0]) == islands.of(devices[1]):
            yield RULE.holds(link.cable, says)
            continue
        sides = [islands.devices(device) for device in devices]
        apart = parted(net, sides[0], sides[1])
        yield broken(ask.model, link, says, sides, apart) if apart else RULE.holds(link.cable, says)
        islands.join(link)


def is_trunk(net: Network, link: Link) -> bool:
    """Return whether a cable joins two devices that pass frames on."""
    return all(device_of(port) in net.frames.forwarding for port in link.ends)


def parted(net: Network, side: list[str], other: list[str]) -> str:
    """Return in words what the two sides exchange: the VLANs they share, else the first stream between them."""
    vlans = [{vlan for device in devices for vlan in net.vlans_of_device(device)} for devices in (side, other)]
    shared = [vlan for vlan in net.model.vlans if vlan in vlans[0] & vlans[1]]
    if shared:
        return listed(shared)
    for name, stream in net.model.streams.items():
        far = other if stream.sender in side else side if stream.sender in other else []
        if any(device in far for device in stream.receivers or {}):
            return name
    return ""


def broken(model: Model, link: Link, says: str, sides: list[list[str]], apart: str) -> Claim:
    """Return the claim on a cable without which the network falls apart."""
    cable = model.cables[link.cable]
    lesser = min(sides, key=len)
    return RULE.broken(
        link.cable,
        says,
        spot=cable.at.spot("state"),
        message=f"{link.cable} is {cable.state}, not plugged, and nothing else joins {link.port_a} and {link.port_b}: "
        f"{listed(lesser)} {'is' if len(lesser) == 1 else 'are'} cut off in {apart}",
        because=[Because(cable.at.spot("end_a"), f"{link.cable} goes from {link.port_a} to {link.port_b}")],
        fix=f"plug {link.cable} and write it as plugged, or lead another cable between the two",
        breaks=[f"cable {link.cable}"],
    )
