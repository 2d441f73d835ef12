"""The queriers of a VLAN would take over in another order than planned.

What it finds: a planned order of queriers that is not the order of their addresses, the lowest first; a querier address
that is not the switch's own in the VLAN, or is 0.0.0.0.
Why it matters: the switch with the lowest address queries, whatever the plan says; the one meant as a reserve, perhaps at
the far end of a strand, leads.
Example: AUDIO plans SW-T, then SW-B, but SW-B has 10.41.20.1 and SW-T 10.41.20.2.
Fix: give the first querier the lowest address.
Does not find: a querier of the house with a lower address still.
Source: RFC 3376 section 6.6.2: the lowest address wins.
"""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Vlan
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("querier-order", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN that names queriers."""
    for vlan in ask.model.vlans.values():
        if vlan.querier:
            yield judged(ask.model, vlan, vlan.querier)


def judged(model: Model, vlan: Vlan, queriers: dict[str, str]) -> Claim:
    """Return the claim that a VLAN's queriers lead in the order planned."""
    says = f"{listed(list(queriers))} query {vlan.id} in this order"
    for switch, address in queriers.items():
        if address == "dhcp" or IPv4Address(address).is_unspecified:
            return broken(
                vlan,
                says,
                f"{switch} is to query {vlan.id} from {address}, which others pass over",
                f"write the address of {switch} in {vlan.id}",
            )
        device = model.devices.get(switch)
        own = (device.address or {}).get(vlan.id) if device is not None else None
        if device is not None and own is not None and own != address:
            return broken(
                vlan,
                says,
                f"{switch} is to query {vlan.id} from {address}, but its address there is {own}",
                f"write the same address in both places, {own} or {address}",
                Because(device.at.spot("address"), f"{switch} has {own} in {vlan.id}"),
            )
    order = sorted(queriers, key=lambda switch: IPv4Address(queriers[switch]))
    if order == list(queriers):
        return RULE.holds(vlan.id, says)
    first = next(iter(queriers))
    return broken(
        vlan,
        says,
        f"{order[0]} ({queriers[order[0]]}) queries {vlan.id} first, not {first} ({queriers[first]}): the lowest address wins",
        f"give {first} the lowest of these addresses, or write the queriers in the order {', '.join(order)}",
    )


def broken(vlan: Vlan, says: str, message: str, fix: str, *because: Because) -> Claim:
    """Return the claim of a VLAN whose queriers do not lead as planned."""
    return RULE.broken(
        vlan.id,
        says,
        spot=vlan.at.spot("querier"),
        message=message,
        because=because,
        fix=fix,
        severity=Severity.ERROR if vlan.multicast else Severity.WARNING,
    )
