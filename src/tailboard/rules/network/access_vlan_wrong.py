"""A device is plugged into a switch port of another VLAN.

What it finds: a device whose VLAN, by its address or its `ports`, is not the one its switch port puts it into; a port that
sends tags to a device that takes none, or the other way; a device with several VLANs on one port that takes no tags.
Why it matters: the device is not found by the others, or it gets an address of a network it does not belong to.
Example: LAP-S has an address in INET and is plugged into SW-B/2, an access port of COMMS.
Fix: plug the cable into a port of the right VLAN, or set the port.
Does not find: a device without address; nobody says where it belongs. A switch of which no port says a VLAN.
Source: IEEE 802.1Q, classification by the port VLAN identifier (clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_links import Link
from tailboard.answers.network_ports import Setting, takes_tags
from tailboard.answers.network_records import tag_words
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.findings.spot import Spot
from tailboard.model.show import device_of, jack_of
from tailboard.rules.network.common import titled, titled_all

RULE = Rule("access-vlan-wrong", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an end port that is plugged into a switch whose VLANs are written."""
    net = ask(network)
    for port, vlans in net.ports.vlans.items():
        for cable in net.ports.at[port]:
            link = net.links[cable]
            setting = net.ports.settings.get(link.far(port))
            if ask.model.cables[cable].state == "plugged" and setting is not None:
                yield judged(net, port, vlans, link, setting)
                break


def judged(net: Network, port: str, vlans: tuple[str, ...], link: Link, setting: Setting) -> Claim:
    """Return the claim that a switch port puts a device into its VLANs."""
    says = f"{setting.port} puts {device_of(port)} into {titled_all(net.model, vlans)}"
    if not setting.written:
        return RULE.open(
            port,
            says,
            spot=setting.untagged_said.spot,
            missing=f"no VLAN is written for {setting.port}, where {device_of(port)} is plugged in with {link.cable}",
            fix=f"write 'access: {vlans[0]}' for {setting.port} under switches",
            because=[Because(meaning(net, port), f"{device_of(port)} is in {titled_all(net.model, vlans)}")],
        )
    if len(vlans) > 1 and not takes_tags(net.model, port):
        return broken(
            net,
            port,
            vlans,
            link,
            setting,
            f"{port} takes no tags, so it cannot be in {titled_all(net.model, vlans)} at once",
        )
    for vlan in vlans:
        fault = fault_of(net, port, vlan, setting)
        if fault:
            return broken(net, port, (vlan,), link, setting, fault)
    return RULE.holds(port, says, evidence=(setting.untagged_said,))


def fault_of(net: Network, port: str, vlan: str, setting: Setting) -> str:
    """Return in words why a device cannot use a VLAN at a switch port; empty if it can."""
    model, device = net.model, device_of(port)
    tag = net.frames.sent_tag(port, vlan)
    into = setting.classified(tag)
    if into is None:
        return f"{device} sends {titled(model, vlan)} {tag_words(tag)}; {setting.port} drops such frames"
    if into != vlan:
        return f"{device} is meant to be in {titled(model, vlan)}; {setting.port} puts it into {titled(model, into)}"
    if not setting.sends(vlan) or setting.tag_of(vlan) != tag:
        how = tag_words(setting.tag_of(vlan))
        return f"{setting.port} sends {titled(model, vlan)} {how}; {device} takes it {tag_words(tag)}"
    return ""


def meaning(net: Network, port: str) -> Spot:
    """Return where it stands in which VLANs a device's port is meant to be."""
    record = net.model.devices[device_of(port)]
    return record.at.spot("ports" if jack_of(port) in (record.ports or {}) else "address")


def broken(net: Network, port: str, vlans: tuple[str, ...], link: Link, setting: Setting, fault: str) -> Claim:
    """Return the claim of a device in the wrong VLAN."""
    device = device_of(port)
    return RULE.broken(
        port,
        f"{setting.port} puts {device} into {titled_all(net.model, vlans)}",
        spot=setting.untagged_said.spot,
        message=f"{fault} ({link.cable})",
        because=[Because(meaning(net, port), f"{device} is in {titled_all(net.model, vlans)}"), setting.untagged_said],
        fix=f"plug {link.cable} into a port of {vlans[0]}, or set {setting.port} to {vlans[0]}",
        breaks=[f"port {setting.port}", *(f"{link.cable}~{vlan}" for vlan in {*vlans, *setting.vlans})],
        rests_on=[f"cable {link.cable}"] if setting.port in net.ports.shut else (),
    )
