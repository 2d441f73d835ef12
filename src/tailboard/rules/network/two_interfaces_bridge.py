"""A device with two ways into the network may join them.

What it finds: a device whose network ports lie in different VLANs, and a computer, of which it is not said that nothing
passes between its ways in; and one of which it is said that frames do pass.
Why it matters: one laptop with sharing on joins the internet to the audio network: storms, strangers, a second DHCP server.
Example: LAP-S is a computer; neither `one interface: yes` nor `bridges ports: no` is written.
Fix: ask its owner; write `one interface: yes` or `bridges ports: no` at the device, and the answer under `confirmed`.
Does not find: what the device does in truth. A switch; its VLANs are followed frame by frame.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_ports import is_bridging
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Device
from tailboard.units.wording import listed

RULE = Rule("two-interfaces-bridge", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a computer in a VLAN, and one a device with ports in different VLANs."""
    net = ask(network)
    for name, device in ask.model.devices.items():
        role = ask.model.kind_of(name).role
        if role in {"switch", "media converter", "router"} or not net.vlans_of_device(name):
            continue
        sets = port_vlans(net, name, device)
        if len(sets) > 1 or role == "computer":
            yield judged(net, device, sets, is_computer=role == "computer")


def port_vlans(net: Network, name: str, device: Device) -> dict[frozenset[str], str]:
    """Return the different sets of VLANs of a device's ports, each with a port that has it."""
    found = {frozenset(vlans): f"{name}/{port}" for port, vlans in reversed((device.ports or {}).items()) if vlans}
    for port in net.end_ports(name):
        if net.ports.vlans.get(port):
            found.setdefault(frozenset(net.ports.vlans[port]), port)
    return found


def judged(net: Network, device: Device, sets: dict[frozenset[str], str], *, is_computer: bool) -> Claim:
    """Return the claim that nothing passes through a device."""
    says = f"nothing passes through {device.id} from one network into another"
    guest = bool(device.owner)
    if len(sets) > 1 and is_bridging(net.model, device.id):
        ports = [f"{port} ({', '.join(sorted(vlans))})" for vlans, port in sets.items()]
        return RULE.broken(
            device.id,
            says,
            spot=device.at.spot("bridges"),
            message=f"{device.id} passes frames between {listed(ports)}",
            because=[Because(device.at.spot("ports"), f"the VLANs of {device.id}")],
            fix=f"plug {device.id} into one VLAN only, or write 'bridges ports: no' once it is set so",
            breaks=[f"device {device.id}"],
        )
    if device.bridges is False:
        return RULE.holds(device.id, says, assumptions=[f"{device.id} bridges ports"] if guest else ())
    if len(sets) <= 1 and device.one_interface:
        return RULE.holds(device.id, says, assumptions=[f"{device.id} one interface"] if guest else ())
    if len(sets) <= 1 and is_computer and device.bridges:
        return RULE.broken(
            device.id,
            says,
            spot=device.at.spot("bridges"),
            message=f"{device.id} passes frames between its cable and another network",
            fix=f"switch sharing off on {device.id} and write 'bridges ports: no'",
        )
    return unsaid(device, says, sets)


def unsaid(device: Device, says: str, sets: dict[frozenset[str], str]) -> Claim:
    """Return the open claim of a device of which nobody says whether something passes through it."""
    if len(sets) > 1:
        missing = f"{device.id} has ports in {listed([', '.join(sorted(vlans)) for vlans in sets])}; nobody says that nothing passes between them"
        fix = f"write 'bridges ports: no' for {device.id} once its maker or owner says so"
    else:
        missing = f"nobody says whether {device.id}, a computer, has a second way into a network, such as wireless"
        fix = f"write 'one interface: yes' for {device.id} once its wireless is off, or 'bridges ports: no'"
    return RULE.open(device.id, says, spot=device.at.spot(), missing=missing, fix=fix)
