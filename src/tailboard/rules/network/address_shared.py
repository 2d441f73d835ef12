"""Two devices have the same address.

What it finds: one IPv4 address written for two devices, spare ones included.
Why it matters: one of the two flaps or cannot be reached as soon as both are powered.
Example: `SB-1` and `CON-1` both have 10.41.20.10 in AUDIO.
Fix: give one of the devices an address of its own in the VLAN's subnet.
Does not find: an address that a DHCP server gives out a second time; see address-in-dhcp-range.
Source: unique IPv4 addresses on a link, RFC 5227 section 1.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity

RULE = Rule("address-shared", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device: its addresses are its own."""
    owners: dict[str, list[tuple[str, str]]] = {}
    for name, device in ask.model.devices.items():
        for vlan, address in (device.address or {}).items():
            if address != "dhcp":
                owners.setdefault(address, []).append((name, vlan))
    for address, users in owners.items():
        subject = tuple(sorted({name for name, _ in users}))
        says = f"{address} belongs to {subject[0]} alone"
        if len(users) == 1:
            yield RULE.holds((*subject, address), says)
            continue
        first, *others = ((name, vlan, ask.model.devices[name].at.spot("address")) for name, vlan in users)
        names = " and ".join(f"{name}" for name, _ in users)
        yield RULE.broken(
            (*subject, address),
            says,
            spot=others[-1][2],
            message=f"{names} share {address} on {first[1]}",
            because=[Because(first[2], f"{first[0]} has {address}")],
            fix=f"give {others[-1][0]} an address of its own in {others[-1][1]}",
            breaks=[f"device {name}" for name in subject],
        )
