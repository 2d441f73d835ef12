"""A static address lies in the range that DHCP gives out.

What it finds: an address written for a device that is inside its VLAN's DHCP range.
Why it matters: the server gives the same address to a second device, on some days and not on others.
Example: RTR-1 has 10.41.30.150 in INET, which gives out 10.41.30.100-199.
Fix: take an address outside the range, or narrow the range.
Does not find: a DHCP server that nobody planned.
Source: RFC 2131 section 3.1 leaves it to the server to know what is in use; apart is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("address-in-dhcp-range", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN that gives out addresses."""
    static: dict[str, list[tuple[str, str]]] = {}
    for name, device in ask.model.devices.items():
        for vlan, address in (device.address or {}).items():
            if address != "dhcp":
                static.setdefault(vlan, []).append((name, address))
    for vlan, record in ask.model.vlans.items():
        if record.dhcp is not None:
            yield judged(ask.model, vlan, record.dhcp, static.get(vlan, []))


def judged(model: Model, vlan: str, given: tuple[str, str], static: list[tuple[str, str]]) -> Claim:
    """Return the claim that no static address lies in a VLAN's range."""
    says = f"no static address lies in the DHCP range of {vlan}"
    first, last = (IPv4Address(address) for address in given)
    inside = [(name, address) for name, address in static if first <= IPv4Address(address) <= last]
    if not inside:
        return RULE.holds(vlan, says)
    return RULE.broken(
        vlan,
        says,
        spot=model.devices[inside[0][0]].at.spot("address"),
        message=f"{listed([f'{name} ({address})' for name, address in inside])} lie in the range {first}-{last} that {vlan} gives out"
        if len(inside) > 1
        else f"{inside[0][0]} has {inside[0][1]}, inside the range {first}-{last} that {vlan} gives out",
        because=[
            Because(model.vlans[vlan].at.spot("dhcp"), f"{vlan} gives out {first}-{last}"),
            *(Because(model.devices[name].at.spot("address"), f"{name} has {address}") for name, address in inside[1:]),
        ],
        fix=f"give {inside[0][0]} an address outside the range, or narrow the range of {vlan}",
    )
