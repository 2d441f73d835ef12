"""Two address ranges have addresses in common.

What it finds: subnets of two of our VLANs that overlap, and a subnet of ours that overlaps a range the house says it uses.
Why it matters: replies go to the wrong network as soon as the two are joined, or one router knows both.
Example: MGMT is 10.20.8.0/24; the house uses 10.20.0.0/16 somewhere.
Fix: move the VLAN to a range that nobody uses.
Does not find: ranges that the house did not name.
Source: RFC 4632 section 3.1 (prefixes).
"""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Network

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.findings.spot import Spot
from tailboard.model.records import Vlan
from tailboard.physics.ip import overlap

RULE = Rule("subnets-overlap", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN with a subnet that overlaps none, and one a pair that does."""
    vlans = [vlan for vlan in ask.model.vlans.values() if vlan.subnet is not None]
    touched: set[str] = set()
    for one, other in close_pairs(vlans):
        touched.update((one.id, other.id))
        yield broken((one, other))
    for vlan in (vlan for vlan in vlans if not vlan.owner):  # a VLAN of the house's own lies in the house's range
        for house in ask.model.found.houses.values():
            for subnet in house.subnets:
                assert vlan.subnet is not None
                if overlap(vlan.subnet, subnet):
                    touched.add(vlan.id)
                    yield broken_with_house(vlan, house.id, subnet, house.at.spot("subnets"))
    for vlan in vlans:
        if vlan.id not in touched:
            yield RULE.holds(vlan.id, f"{vlan.subnet} is used by {vlan.id} alone")


def close_pairs(vlans: list[Vlan]) -> Iterator[tuple[Vlan, Vlan]]:
    """Yield the pairs that overlap: sorted by first address, a range overlaps those that begin before it ends."""
    ordered = sorted(vlans, key=lambda vlan: (int(first(vlan)), vlan.id))
    for index, one in enumerate(ordered):
        assert one.subnet is not None
        for other in ordered[index + 1 :]:
            assert other.subnet is not None
            if not overlap(one.subnet, other.subnet):
                break
            yield one, other


def first(vlan: Vlan) -> int:
    """Return the first address of a VLAN's subnet as a number."""
    assert vlan.subnet is not None
    return int(vlan.subnet.network_address)


def broken(pair: tuple[Vlan, Vlan]) -> Claim:
    """Return the claim of two VLANs that overlap."""
    one, other = sorted(pair, key=lambda vlan: vlan.id)
    return RULE.broken(
        (one.id, other.id),
        f"{one.id} and {other.id} share no address",
        spot=other.at.spot("subnet"),
        message=f"{other.id} ({other.subnet}) overlaps {one.id} ({one.subnet})",
        because=[Because(one.at.spot("subnet"), f"{one.id} is {one.subnet}")],
        fix=f"move {other.id} or {one.id} to another range",
    )


def broken_with_house(vlan: Vlan, house: str, subnet: IPv4Network, spot: Spot) -> Claim:
    """Return the claim of a VLAN that overlaps a range of the house."""
    return RULE.broken(
        (vlan.id, house, str(subnet)),
        f"{vlan.id} shares no address with {subnet}",
        spot=vlan.at.spot("subnet"),
        message=f"{vlan.id} ({vlan.subnet}) overlaps {subnet}, which the house uses",
        because=[Because(spot, f"{house}: {subnet} is in use")],
        fix=f"move {vlan.id} to a range that the house does not use",
    )
