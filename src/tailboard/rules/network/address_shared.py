"""Two devices have the same address.

What it finds: one IPv4 address written for two devices, spare ones included; the address by which a switch is to query a
VLAN counts as its own.
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
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("address-shared", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an address: it belongs to one device."""
    owners: dict[str, list[tuple[str, str]]] = {}
    for name, device in ask.model.devices.items():
        for vlan, address in (device.address or {}).items():
            if address != "dhcp":
                owners.setdefault(address, []).append((name, vlan))
    for vlan, record in ask.model.vlans.items():
        for switch, address in (record.querier or {}).items():
            own = ask.model.devices.get(switch)
            if own is not None and (own.address or {}).get(vlan) != address and address in owners:
                owners[address].append((switch, vlan))
    for address, users in owners.items():
        if len(users) == 1:
            yield RULE.holds((users[0][0], address), f"{address} belongs to {users[0][0]} alone")
        else:
            yield broken(ask.model, address, users)


def broken(model: Model, address: str, users: list[tuple[str, str]]) -> Claim:
    """Return the claim of an address that is written more than once, for two devices or in two VLANs of one."""
    names = sorted({name for name, _ in users})
    vlans = list(dict.fromkeys(vlan for _, vlan in users))
    says = f"{address} belongs to {names[0]} alone"
    last, vlan = users[-1]
    if len(vlans) == 1:
        message = f"{listed(list(dict.fromkeys(name for name, _ in users)))} share {address} on {vlans[0]}"
    else:
        message = f"{listed([f'{name} (on {vlan})' for name, vlan in users])} have the one address {address}, in different VLANs"
    return RULE.broken(
        (*names, address),
        says,
        spot=model.devices[last].at.spot("address"),
        message=message,
        because=[
            Because(model.devices[name].at.spot("address"), f"{name} has {address} on {vlan}")
            for name, vlan in users[:-1]
        ],
        fix=f"give {last} an address of its own in {vlan}",
        breaks=[f"device {name}" for name in names],
    )
