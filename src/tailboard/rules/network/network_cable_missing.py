"""A device that has an address has no network cable.

What it finds: a device whose address or `ports` put it into a VLAN and that no plugged network cable leads to, or one of
its ports so.
Why it matters: the device is planned to take part and cannot.
Example: REC-1 has an address in AUDIO and R-02 is left out of the cables.
Fix: write the cable, or take the address away from a device that stays in its case.
Does not find: devices that come in by radio. A show in which no network cable is written at all.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_ports import network_jacks
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("network-cable-missing", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with network ports that is meant to be in a VLAN."""
    net = ask(network)
    if not net.written:
        return
    for device, record in ask.model.devices.items():
        jacks = network_jacks(ask.model, device)
        if not jacks or not net.vlans_of_device(device):
            continue
        named = tuple(f"{device}/{port}" for port in record.ports or {} if f"{device}/{port}" in jacks)
        bare = [port for port in named if not plugged(net, port)]
        says = f"{device} has its network cables"
        if any(plugged(net, port) for port in (*jacks, device)) and not bare:
            yield RULE.holds(device, says)
        else:
            yield broken(net, device, says, bare)


def plugged(net: Network, port: str) -> bool:
    """Return whether a plugged network cable is at a port."""
    return any(net.model.cables[cable].state == "plugged" for cable in net.ports.at.get(port, ()))


def broken(net: Network, device: str, says: str, bare: list[str]) -> Claim:
    """Return the claim of a device that lacks a cable; one that stands nowhere may be in its case."""
    record = net.model.devices[device]
    lying = [cable for port in net.end_ports(device) for cable in net.ports.at[port]]
    lying = [cable for cable in dict.fromkeys(lying) if net.model.cables[cable].state != "plugged"]
    some = len(bare) < len(net.end_ports(device)) if bare else False
    where = f"at {listed(bare)}" if bare else f"at {device}"
    states = f"; {listed([f'{cable} is {net.model.cables[cable].state}' for cable in lying])}" if lying else ""
    vlans = ", ".join(net.vlans_of_device(device))
    return RULE.broken(
        device,
        says,
        spot=record.at.spot("ports" if bare else "address"),
        message=f"{device} is meant to be in {vlans}, but no network cable is plugged in {where}{states}",
        because=[
            Because(net.model.cables[cable].at.spot("state"), f"{cable} is {net.model.cables[cable].state}")
            for cable in lying
        ],
        fix=f"write the cable that leads to {bare[0] if bare else device}, or take its address away",
        severity=Severity.ERROR if record.place else Severity.WARNING,
        breaks=[
            *(() if some else (f"device {device}",)),
            *(f"port {port}" for port in bare),
            *(f"cable {cable}" for cable in lying),
        ],
    )
