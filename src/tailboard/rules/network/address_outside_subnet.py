"""An address does not lie in the subnet of its VLAN.

What it finds: a static address outside the subnet, or one that is the subnet's own first or last; a DHCP range that does
not lie in the subnet.
Why it matters: the device is in the right VLAN and nobody there can reach it.
Example: CAM-2 has 10.41.4.12 in IPCAM, whose subnet is 10.41.40.0/24.
Fix: write an address of the VLAN's subnet.
Does not find: a VLAN without subnet. What is set on the device itself.
Source: RFC 1122 section 3.2.1.3; self-assigned addresses RFC 3927.
"""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Vlan
from tailboard.model.show import Model
from tailboard.physics.ip import LINK_LOCAL, is_host
from tailboard.units.wording import listed

RULE = Rule("address-outside-subnet", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with static addresses in VLANs with a subnet, and one a VLAN with a DHCP range."""
    for device in ask.model.devices:
        yield from of_device(ask.model, device)
    for vlan in ask.model.vlans.values():
        if vlan.subnet is not None and vlan.dhcp is not None:
            yield of_range(vlan)


def of_device(model: Model, device: str) -> Iterator[Claim]:
    """Yield the claim on a device's addresses."""
    record = model.devices[device]
    known = []
    for vlan, address in (record.address or {}).items():
        plan = model.vlans.get(vlan)
        if address != "dhcp" and plan is not None and plan.subnet is not None:
            known.append((vlan, IPv4Address(address), plan.subnet))
    if not known:
        return
    says = f"the addresses of {device} lie in their subnets"
    wrong = [(vlan, address, subnet) for vlan, address, subnet in known if not is_host(address, subnet)]
    if not wrong:
        yield RULE.holds(device, says)
        return
    words = [f"{address} in {vlan}, whose subnet is {subnet}{own(address)}" for vlan, address, subnet in wrong]
    yield RULE.broken(
        device,
        says,
        spot=record.at.spot("address"),
        message=f"{device} has {listed(words)}",
        because=[Because(model.vlans[vlan].at.spot("subnet"), f"{vlan} is {subnet}") for vlan, _, subnet in wrong],
        fix=f"give {device} an address of {wrong[0][2]}",
        breaks=[f"device {device}"],
    )


def own(address: IPv4Address) -> str:
    """Return the remark on an address that devices give themselves."""
    return " (a device gives itself such an address when nobody gives it one)" if address in LINK_LOCAL else ""


def of_range(vlan: Vlan) -> Claim:
    """Return the claim that a DHCP range lies in its subnet."""
    assert vlan.dhcp is not None
    assert vlan.subnet is not None
    says = f"the DHCP range of {vlan.id} lies in its subnet"
    if all(is_host(IPv4Address(address), vlan.subnet) for address in vlan.dhcp):
        return RULE.holds((vlan.id, "DHCP"), says)
    return RULE.broken(
        (vlan.id, "DHCP"),
        says,
        spot=vlan.at.spot("dhcp"),
        message=f"{vlan.id} gives out {vlan.dhcp[0]}-{vlan.dhcp[1]}, but its subnet is {vlan.subnet}",
        because=[Because(vlan.at.spot("subnet"), f"{vlan.id} is {vlan.subnet}")],
        fix=f"write a range inside {vlan.subnet}",
    )
