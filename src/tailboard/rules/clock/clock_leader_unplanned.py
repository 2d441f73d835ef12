"""Another device leads the clock than the plan says.

What it finds: an island whose elected leader is not the one with the role leader, by the comparison of IEEE 1588 over
the priorities written; also a part of the island that leads itself because the planned leader does not reach it.
Why it matters: everything follows a device that nobody watches; when it is unplugged, all of them lock again.
Example: `CON-1` has the role leader and priority1 100, `SB-1` has priority1 90: `SB-1` leads.
Fix: give the planned leader the lowest priority1 of its island, or correct the roles.
Does not find: what a device does that does not follow IEEE 1588; a clock of the house that stands nowhere in the plan.
Source: data set comparison of IEEE 1588-2008 9.3.4, as the open implementation linuxptp (bmc.c) has it.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock, decided
from tailboard.answers.clock_members import Member
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.clock import compared
from tailboard.rules.clock.common import called, defaults, feeds_at, lines_at, subject

RULE = Rule("clock-leader-unplanned", "clock", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an island that has a leader: it is the planned one."""
    for parts in ask(clock).groups.values():
        planned = [member for island in parts for member in island.members if member.role == "leader"]
        for island in parts:
            if island.source is not None:
                yield from_elsewhere(island, parts)
            elif island.leader is not None:
                yield judged(ask, island, parts, planned)


def from_elsewhere(island: Island, parts: tuple[Island, ...]) -> Claim:
    """Return the claim on an island that gets its time through a boundary clock: the source leads, as nobody else may."""
    assert island.leader is not None
    assert island.source is not None
    planned = [m for m in island.members if m.role == "leader" and m is not island.leader]
    says = f"{island.leader.device} passes the clock of {island.source.device} on to {island.name}"
    if planned:
        return RULE.broken(
            subject(island, parts),
            f"{planned[0].device} leads the clock of {island.name}",
            spot=planned[0].record.at.spot("role"),
            message=f"the plan says {planned[0].device} leads {island.name}; elected is {island.source.device} in "
            f"{island.source.vlan}, whose time the boundary clock {island.leader.device} passes on",
            because=[island.source.because, island.leader.because],
            fix=f"give {planned[0].device} a priority1 below {island.source.data.priority1}, or write role: leader at "
            f"{island.source.device} alone",
        )
    evidence = [Because(m.because.spot, f"{m.because.words}: {island.decision(m).words}") for m in island.members]
    return RULE.holds(subject(island, parts), says, evidence=[island.source.because, *evidence])


def judged(ask: Ask, island: Island, parts: tuple[Island, ...], planned: list[Member]) -> Claim:
    """Return the claim on one island; `planned` are the leaders planned anywhere in its VLAN and domain."""
    here = [member for member in planned if member in island.members]
    leader = here[0] if here else island.leader
    assert leader is not None
    names = subject(island, parts)
    says = f"{leader.device} leads the clock of {island.name}"
    if planned and not here:
        return leads_itself(ask, island, parts, planned[0])
    if island.tied and (not here or any(member in island.tied for member in here)):
        return undecided(island, names, says)
    if not here or island.leader in here:
        evidence = [Because(m.because.spot, f"{m.because.words}: {island.decision(m).words}") for m in island.members]
        return RULE.holds(names, says, assumptions=defaults(island.leader, island.runner_up), evidence=evidence)
    return outranked(island, names, says, leader)


def outranked(island: Island, names: tuple[str, ...], says: str, planned: Member) -> Claim:
    """Return the claim on an island whose planned leader loses the election."""
    elected = island.leader
    assert elected is not None
    why = decided(compared(elected.data, planned.data), elected, planned)
    return RULE.broken(
        names,
        says,
        spot=planned.record.at.spot("priority1"),
        message=f"the plan says {planned.device} leads {island.name} with {planned.figures}; "
        f"elected is {elected.device}, for {why}",
        because=[elected.because, Because(planned.record.at.spot("role"), f"{planned.device} has the role leader")],
        fix=f"give {planned.device} a lower priority1 than {elected.device}, or write role: leader at {elected.device} instead",
    )


def leads_itself(ask: Ask, island: Island, parts: tuple[Island, ...], planned: Member) -> Claim:
    """Return the claim on a part that does not hear the planned leader."""
    leader, stop = island.leader, island.cut_off
    assert leader is not None
    why = stop.words if stop else "frames do not pass both ways"
    devices = set(island.devices)
    others = [member for member in island.members if member is not leader]
    whom = called(others) if others else "only itself"
    return RULE.broken(
        subject(island, parts),
        f"{planned.device} leads the clock of {island.name} at {leader.device} too",
        spot=leader.record.at.spot(),
        message=f"{leader.device} leads {whom}, for the clock of {planned.device} does not pass both ways: {why}",
        because=[planned.because, *([Because(stop.spot, stop.words)] if stop else [])],
        fix=f"mend the way between {planned.device} and {leader.device}: {why}",
        rests_on=stop.keys if stop else (),
        lines=lines_at(ask.model, devices),
        feeds=feeds_at(ask.model, devices),
    )


def undecided(island: Island, names: tuple[str, ...], says: str) -> Claim:
    """Return the open claim on an election that only hardware addresses decide that are not written."""
    first, *others = island.tied
    return RULE.open(
        names,
        says,
        spot=first.record.at.spot("priority1"),
        missing=f"{called(island.tied)} are equal in all priorities: the lowest hardware address leads {island.name}, "
        "and it is not written for each of them",
        because=[member.because for member in others],
        fix=f"give the one that is to lead a lower priority1, or write MAC of {called(island.tied)} "
        f"in {first.record.at.spot().file}",
    )
