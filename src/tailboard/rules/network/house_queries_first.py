"""The house's querier takes over ours as soon as the networks are joined.

What it finds: a VLAN in which the house queries from a lower address than the first of our queriers.
Why it matters: ours falls silent, and the groups of our VLAN hang on a box that others switch off, and on the strand to
it; after it is unplugged ours waits 255 s before it queries again.
Example: the house queries AUDIO from 10.41.20.1; SW-T has 10.41.20.2.
Fix: give our first querier a lower address, or agree with the house who queries.
Does not find: a querier that the house did not name.
Source: RFC 3376 section 6.6.2 (the lowest address wins), section 8.5 (2 x 125 s + 5 s = 255 s).
"""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.answers.stream_groups import as_address
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundHouse, Vlan
from tailboard.physics.ip import other_querier_time_s
from tailboard.units import worded

RULE = Rule("house-queries-first", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN of ours in which the house queries."""
    for house in ask.model.found.houses.values():
        for name, text in (house.querier or {}).items():
            vlan, address = ask.model.vlans.get(name), as_address(text)
            if vlan is not None and vlan.querier and not vlan.owner and address is not None:
                yield judged(vlan, house, address)


def judged(vlan: Vlan, house: FoundHouse, address: IPv4Address) -> Claim:
    """Return the claim that our querier leads beside that of the house."""
    ours = {switch: found for switch, text in (vlan.querier or {}).items() if (found := as_address(text)) is not None}
    usable = {switch: found for switch, found in ours.items() if not found.is_unspecified}
    lowest = min(usable, key=lambda switch: usable[switch], default="")
    says = f"our own switch queries {vlan.id}, also with {house.id} joined"
    if address.is_unspecified or (lowest and usable[lowest] < address):
        return RULE.holds((vlan.id, house.id), says)
    ours_said = f"not {lowest} ({usable[lowest]})" if lowest else "for none of ours has an address"
    return RULE.broken(
        (vlan.id, house.id),
        says,
        spot=vlan.at.spot("querier"),
        message=f"joined with the house, {address} of the house queries {vlan.id}, {ours_said}: the lowest address wins; "
        f"unplugged, nobody queries for {worded(other_querier_time_s(), 's')}",
        because=[Because(house.at.spot("querier"), f"{house.id} queries {vlan.id} from {address}")],
        fix=f"give our first querier of {vlan.id} an address below {address}, or agree with the house who queries",
    )
