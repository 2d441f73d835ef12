"""Queriers are planned for a VLAN that does not snoop.

What it finds: a VLAN with `querier` and without `snooping: on`; where groups run in it, that they flood every port.
Why it matters: a querier without snooping does nothing; every stream of the VLAN goes to every port of it, and the first
to suffer are the slow ones and the strands to other places.
Example: AUDIO has `querier: {SW-T: 10.41.20.2}` and `snooping: off`.
Fix: write `snooping: on`, or take the queriers out if the VLAN is meant to flood.
Does not find: snooping that is planned and not set on the switch.
Source: RFC 4541 section 2.1.2.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.flows import flows
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import counted, listed

RULE = Rule("querier-without-snooping", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN with queriers."""
    for vlan in ask.model.vlans.values():
        if not vlan.querier:
            continue
        says = f"{vlan.id} has queriers and snoops"
        if vlan.snooping:
            yield RULE.holds(vlan.id, says)
            continue
        groups = [flow for flow in ask(flows).all if flow.multicast and flow.vlan == vlan.id]
        ports = {port for flow in groups for port in flow.flooded}
        harm = (
            f": {listed([flow.id for flow in groups])} flood it, {counted(len(ports), 'port')} that did not ask"
            if groups
            else ""
        )
        yield RULE.broken(
            vlan.id,
            says,
            spot=vlan.at.spot("snooping"),
            message=f"{vlan.id} does not snoop, though {listed(list(vlan.querier))} {'are' if len(vlan.querier) > 1 else 'is'} to query it{harm}",
            because=[Because(vlan.at.spot("querier"), f"queriers {listed(list(vlan.querier))}")],
            fix=f"write 'snooping: on' at {vlan.id}, or take its queriers out",
            breaks=[f"vlan {vlan.id}"],
        )
