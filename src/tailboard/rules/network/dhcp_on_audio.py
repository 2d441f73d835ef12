"""A VLAN of audio gives out addresses.

What it finds: a VLAN of ours with `multicast: yes` that has a DHCP range.
Why it matters: a box that comes up before the server, or after its lease, has another address than the plan, and its
streams and their senders no longer find one another; whatever is plugged in by mistake joins at once.
Example: AUDIO has `DHCP: 10.41.20.100-199`.
Fix: write static addresses and take the range out.
Does not find: a server that nobody planned.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity

RULE = Rule("dhcp-on-audio", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN of ours with audio by multicast."""
    for vlan in ask.model.vlans.values():
        if not vlan.multicast or vlan.owner:
            continue
        says = f"{vlan.id} has static addresses alone"
        if vlan.dhcp is None:
            yield RULE.holds(vlan.id, says)
            continue
        yield RULE.broken(
            vlan.id,
            says,
            spot=vlan.at.spot("dhcp"),
            message=f"{vlan.id} carries multicast audio and gives out {vlan.dhcp[0]}-{vlan.dhcp[1]}: an address may change overnight",
            because=[Because(vlan.at.spot("multicast"), f"{vlan.id} carries multicast audio")],
            fix=f"give the devices of {vlan.id} static addresses and take its DHCP range out",
        )
