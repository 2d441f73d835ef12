"""A cable that waits unplugged would bring a better clock, and with it another leader.

What it finds: a network cable that is laid or capped and joins two networks that no plugged cable joins; the planned
leader of one of them would lose the election once it is plugged.
Why it matters: whoever plugs it in during the show makes every device of the losing side change its leader at once: they
mute or jump until they are locked again.
Example: `H-1` to the house is laid; its leader has priority1 80, ours 100: plugged, all our devices follow the house.
Fix: give our leader the lower priority1, part the domains, or write down that it is plugged before line check only.
Does not find: what a stranger's cable brings; spare cables beside a plugged one, which bring nobody new.
Source: IEEE 1588-2008 9.3.4 (the comparison); that a change mutes devices: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Clocks, Island, clock
from tailboard.answers.network import network
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import Model, device_of
from tailboard.rules.clock.common import feeds_at, lines_at
from tailboard.units.wording import listed

RULE = Rule("clock-changes-when-plugged", "clock", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a network cable that waits unplugged between two networks: plugging it disturbs no clock."""
    links = ask(network).links
    if len(ask(clock).members) < 2:
        return
    together = joined(link.ends for link in links.values() if link.dead is None)
    for name, link in links.items():
        one, other = (device_of(end) for end in link.ends)
        waits = ask.model.cables[name].state != "plugged"
        if waits and together.get(one, one) != together.get(other, other):
            yield judged(ask, name)


def joined(cables: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Return for each device one that stands for all that plugged cables join it to."""
    parent: dict[str, str] = {}

    def top(device: str) -> str:
        while parent.setdefault(device, device) != device:
            parent[device] = parent[parent[device]]
            device = parent[device]
        return device

    for one, other in cables:
        parent[top(device_of(one))] = top(device_of(other))
    return {device: top(device) for device in list(parent)}


def judged(ask: Ask, cable: str) -> Claim:
    """Return the claim on one cable."""
    says = f"no clock changes its leader when {cable} is plugged"
    changed = changes(ask(clock), clock(Ask(plugged(ask.model, cable))))
    if not changed:
        return RULE.holds(cable, says)
    before, after, devices = changed[0]
    assert after.leader is not None
    assert before.leader is not None
    leader = after.source or after.leader
    return RULE.broken(
        cable,
        says,
        spot=ask.model.cables[cable].at.spot("state"),
        message=f"when {cable} is plugged, {leader.device} leads {after.name} in place of "
        f"{before.leader.device}: {listed(sorted(devices))} change over",
        because=[leader.because, before.leader.because],
        fix=f"give the planned leader a priority1 below {leader.data.priority1}, put it into another domain, or plug "
        f"{cable} before line check and never after",
        lines=lines_at(ask.model, devices),
        feeds=feeds_at(ask.model, devices),
    )


def plugged(model: Model, cable: str) -> Model:
    """Return a model in which a cable is plugged."""
    return model.changed(cables={**model.cables, cable: replace(model.cables[cable], state="plugged")})


def changes(before: Clocks, after: Clocks) -> list[tuple[Island, Island, set[str]]]:
    """Return the islands whose planned leader loses: as they are, as they would be, and the devices that change over."""
    then = {(i.vlan, i.domain, device): i for i in after.islands for device in i.devices}
    found = []
    for island in before.islands:
        if island.leader is None or island.leader.role != "leader":
            continue
        other = then.get((island.vlan, island.domain, island.leader.device))
        if other is not None and other.leader is not None and other.leader.device != island.leader.device:
            found.append((island, other, set(island.devices)))
    return found
