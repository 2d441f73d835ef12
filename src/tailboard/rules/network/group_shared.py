"""Two streams use one multicast group, or groups that switches cannot tell apart.

What it finds: two streams in one VLAN with the same group (error), or with groups of equal low 23 bits, which share one
Ethernet address (warning). A stream of which the VLAN is not known counts in every VLAN.
Why it matters: every receiver of the one gets the other too: two senders sound as one broken stream, and a slow port gets
twice what it asked for.
Example: ST-1 goes to 239.77.11.1 and ST-2 to 239.205.11.1.
Fix: give each stream a group of its own, with other low 23 bits.
Does not find: a group that another system uses; state its ranges under `other groups` of the VLAN.
Source: RFC 1112 section 6.4: the low 23 bits of the group become the Ethernet address, 32 groups to one.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.stream_groups import GroupUse, group_uses
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.ip import group_mac

RULE = Rule("group-shared", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a group of a stream; of two that clash, the later written one breaks."""
    seen: dict[int, list[GroupUse]] = {}
    for use in ask(group_uses):
        if not use.address.is_multicast:
            continue
        earlier = seen.setdefault(use.low_bits, [])
        clashes = [other for other in earlier if "" in {other.vlan, use.vlan} or other.vlan == use.vlan]
        clashes.sort(key=lambda other: other.address != use.address)
        earlier.append(use)
        says = f"{use.stream.id} has the group {use.address} to itself"
        yield broken(use, clashes[0], says) if clashes else RULE.holds(use.subject, says)


def broken(use: GroupUse, other: GroupUse, says: str) -> Claim:
    """Return the claim of a stream whose group another one uses."""
    same = use.address == other.address
    where = f" in {use.vlan}" if use.vlan else ""
    words = (
        f"{use.stream.id} and {other.stream.id} both go to {use.address}{where}"
        if same
        else f"{use.stream.id} goes to {use.address}, {other.stream.id} to {other.address}{where}: "
        f"both have the Ethernet address {group_mac(use.address)}, so switches send both to the receivers of either"
    )
    return RULE.broken(
        use.subject,
        says,
        spot=use.stream.at.spot(use.attribute),
        message=words,
        because=[Because(other.stream.at.spot(other.attribute), f"{other.stream.id} goes to {other.address}")],
        fix=f"give {use.stream.id} another group, one with other low 23 bits",
        severity=Severity.ERROR if same else Severity.WARNING,
        breaks=[f"stream {use.stream.id}"] if same else (),
    )
