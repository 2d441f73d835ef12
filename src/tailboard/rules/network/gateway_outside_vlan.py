"""The gateway of a VLAN is not in the VLAN.

What it finds: a `gateway` that has no address in the VLAN it is the gateway of.
Why it matters: the devices send what leaves their network to nobody.
Example: INET has the gateway RTR-1, and RTR-1 has an address in MGMT only.
Fix: give the gateway an address in the VLAN, or name the right one.
Does not find: what the gateway does with the packets. A gateway written on the devices themselves.
Source: RFC 1122 section 3.3.1.1: a gateway is on the connected network.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity

RULE = Rule("gateway-outside-vlan", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN with a gateway that exists."""
    for vlan in ask.model.vlans.values():
        device = ask.model.devices.get(vlan.gateway or "")
        if device is None:
            continue
        says = f"{device.id}, the gateway of {vlan.id}, is in it"
        own = (device.address or {}).get(vlan.id)
        if own is not None and own != "dhcp":
            yield RULE.holds(vlan.id, says)
            continue
        fault = f"takes its own address in {vlan.id} by DHCP" if own else f"has no address in {vlan.id}"
        yield RULE.broken(
            vlan.id,
            says,
            spot=vlan.at.spot("gateway"),
            message=f"{device.id} is the gateway of {vlan.id}, but it {fault}",
            because=[Because(device.at.spot("address"), f"the addresses of {device.id}")],
            fix=f"give {device.id} a static address in {vlan.id}, or name another gateway",
        )
