"""The clock's way passes a switch that does not correct its messages.

What it finds: in a VLAN whose clock is to be `clock corrected`, a switch between the leader and a device that follows which
is neither a transparent nor a boundary clock.
Why it matters: a message that waits in that switch's queue arrives late, and the device that follows takes the wait for
time; with traffic the clock wanders by as much as the queue is long.
Example: AUDIO is `clock corrected: yes`; SW-B says nothing of its clock and lies between CON-1 and SB-1.
Fix: write `clock: {transparent: yes}` at the switch if it does so by its data sheet, take one that does, or take
`clock corrected` away where the followers filter such waits.
Does not find: a VLAN that asks for no correction; how far a clock wanders.
Source: IEEE 1588-2008 clause 10, transparent clocks (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock
from tailboard.answers.clock_members import Member
from tailboard.answers.network import network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.clock.common import feeds_at, lines_at, subject
from tailboard.units.wording import listed

RULE = Rule("clock-way-uncorrected", "clock", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an island of a VLAN whose clock is to be corrected on its way."""
    for parts in ask(clock).groups.values():
        for island in parts:
            record = ask.model.vlans.get(island.vlan)
            if record is not None and record.clock_corrected and island.leader is not None:
                yield judged(ask, island, island.leader, parts)


def judged(ask: Ask, island: Island, leader: Member, parts: tuple[Island, ...]) -> Claim:
    """Return the claim on the ways from one leader."""
    model = ask.model
    says = f"every switch between {leader.device} and those that follow in {island.name} corrects the clock"
    passed: dict[str, list[str]] = {}
    for member in island.members:
        for switch in switches_between(ask, leader, member) if member is not leader else ():
            passed.setdefault(switch, []).append(member.device)
    plain = {name: led for name, led in passed.items() if not corrects(ask, name)}
    names = subject(island, parts)
    if not plain:
        return RULE.holds(names, says)
    behind = list(dict.fromkeys(device for led in plain.values() for device in led))
    vlan = model.vlans[island.vlan]
    return RULE.broken(
        names,
        says,
        spot=vlan.at.spot("clock_corrected"),
        message=f"{listed(list(plain))} {'does' if len(plain) == 1 else 'do'} not correct the clock of {leader.device} on its "
        f"way to {listed(behind)}",
        because=[
            Because(model.devices[name].at.spot(), f"{name}: no transparent and no boundary clock") for name in plain
        ],
        fix=f"write clock: {{transparent: yes}} at {next(iter(plain))} if its data sheet says so, else take a switch that is "
        "one, or take 'clock corrected' away",
        lines=lines_at(model, set(behind)),
        feeds=feeds_at(model, set(behind)),
    )


def switches_between(ask: Ask, leader: Member, member: Member) -> list[str]:
    """Return the devices that forward frames between two clocks."""
    net = ask(network)
    ways = [net.journey(a, b, leader.vlan) for a in leader.ports for b in member.ports]
    hops = next((way.hops for way in ways if way.arrives), ())
    ends = {leader.device, member.device}
    return [name for name in dict.fromkeys(device_of(hop.port_in) for hop in hops) if name not in ends]


def corrects(ask: Ask, device: str) -> bool:
    """Return whether a device is a transparent or a boundary clock."""
    record = ask.model.devices[device].clock if device in ask.model.devices else None
    return record is not None and (record.transparent or record.boundary)
