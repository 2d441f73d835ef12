"""More multicast groups than a switch can tell apart.

What it finds: a switch whose VLANs with IGMP snooping have more groups than its table holds by its kind: those of the
streams planned, and the clock's in each VLAN that has one.
Why it matters: what finds no room in the table is flooded to every port, or dropped; which of the two, and which group,
depends on the order in which the devices come up.
Example: SW-B holds 32 groups; AUDIO has 40 streams.
Fix: take a switch with a larger table, put more channels into each stream, or send some by unicast.
Does not find: groups of devices that are not in the plan, and those that a discovery service adds.
Source: RFC 4541 section 2.1.2 (unregistered groups are flooded); the size is the kind's figure.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.flows import flows
from tailboard.answers.network import network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.network.common import example_figures
from tailboard.units.wording import counted, listed

RULE = Rule("snooping-table-full", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a switch whose kind says how many groups it holds."""
    switches = [name for name in ask.model.switches if ask.model.kind_of(name).groups_max is not None]
    groups = groups_in(ask) if switches else {}
    for name in switches:
        yield judged(ask, name, groups)


def groups_in(ask: Ask) -> dict[str, int]:
    """Return how many groups each VLAN with snooping has."""
    model, net = ask.model, ask(network)
    found: dict[str, set[str]] = {vlan: set() for vlan, record in model.vlans.items() if record.snooping}
    for flow in ask(flows).all:
        if flow.multicast and flow.vlan in found:
            stream = model.streams.get(flow.stream)
            group = (stream.second_group if flow.second else stream.group) if stream else None
            found[flow.vlan].add(group or flow.id)
    for vlan, names in found.items():
        if any(model.devices[device_of(end)].clock is not None for end in net.members.get(vlan, ())):
            names.add("clock")
    return {vlan: len(names) for vlan, names in found.items()}


def judged(ask: Ask, name: str, groups: dict[str, int]) -> Claim:
    """Return the claim that a switch has room for the groups of its VLANs."""
    model, kind = ask.model, ask.model.kind_of(name)
    assert kind.groups_max is not None
    settings = ask(network).ports.settings
    on = {vlan for port, side in settings.items() if device_of(port) == name for vlan in side.vlans}
    here = {vlan: count for vlan, count in groups.items() if vlan in on and count}
    total = sum(here.values())
    says = f"{name} has room for the multicast groups of its VLANs"
    if total <= kind.groups_max:
        return RULE.holds(name, says, assumptions=example_figures(kind))
    return RULE.broken(
        name,
        says,
        spot=model.devices[name].at.spot("kind"),
        message=f"{name} holds {counted(kind.groups_max, 'multicast group')}, but {listed([f'{vlan} has {count}' for vlan, count in here.items()])}",
        because=[Because(kind.at.spot("groups_max"), f"{kind.id} holds {kind.groups_max}")],
        fix=f"give {name} a kind with a larger table, or send fewer streams by multicast",
    )
