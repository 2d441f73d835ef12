"""Two VLANs have the same number.

What it finds: one VLAN ID written for two names.
Why it matters: to the switches the two are one VLAN, whatever the plan calls them.
Example: COMMS and CTRL both have id 50.
Fix: give one of the two a number of its own, from 1 to 4094.
Does not find: a number that the house uses for something else.
Source: IEEE 802.1Q section 9.6 (from memory); 1 to 4094, RFC 4363 VlanId.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Vlan
from tailboard.units.wording import listed

RULE = Rule("vlan-id-twice", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN number."""
    by_number: dict[int, list[Vlan]] = {}
    for vlan in ask.model.vlans.values():
        by_number.setdefault(vlan.number, []).append(vlan)
    for number, vlans in by_number.items():
        names = [vlan.id for vlan in vlans]
        says = f"{number} is the number of {names[0]} alone"
        if len(vlans) == 1:
            yield RULE.holds((names[0], str(number)), says)
            continue
        yield RULE.broken(
            (*sorted(names), str(number)),
            says,
            spot=vlans[-1].at.spot("number"),
            message=f"{listed(names)} have the one VLAN number {number}",
            because=[Because(vlan.at.spot("number"), f"{vlan.id} has {number}") for vlan in vlans[:-1]],
            fix=f"give {names[-1]} a number of its own, from 1 to 4094",
            breaks=[f"vlan {name}" for name in names],
        )
