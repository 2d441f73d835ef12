"""Without the leader another device takes the clock than the plan says.

What it finds: an island in which, with its leader unplugged, the one elected is not the one with the role second.
Why it matters: the take-over goes to a device that may be unplugged next, or that the rehearsal never showed.
Example: `SB-1` has the role second and priority1 110, `REC-1` has no priority1 but 109: without `CON-1`, `REC-1` leads.
Fix: give the second the next priority1 after the leader's.
Does not find: how long the others mute during the take-over.
Source: data set comparison of IEEE 1588-2008 9.3.4, as the open implementation linuxptp (bmc.c) has it.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock, decided, without_leader
from tailboard.answers.clock_members import Member
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.clock import compared
from tailboard.rules.clock.common import called, defaults, subject

RULE = Rule("clock-second-unplanned", "clock", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an island with a leader and others that may lead: who leads without it."""
    for parts in ask(clock).groups.values():
        planned = [member for island in parts for member in island.members if member.role == "second"]
        for island in parts:
            here = [member for member in planned if member in island.members and member is not island.leader]
            if island.leader is not None and island.runner_up is not None and (here or not planned):
                yield judged(ask, island, subject(island, parts), here)


def judged(ask: Ask, island: Island, names: tuple[str, ...], planned: list[Member]) -> Claim:
    """Return the claim on one island; `planned` are its devices with the role second."""
    assert island.leader is not None
    assert island.runner_up is not None
    gone, second = island.leader.device, planned[0] if planned else island.runner_up
    says = f"without {gone}, {second.device} leads {island.name}"
    left = without_leader(ask, island)
    leaders = [part.leader for part in left if part.leader is not None]
    if len(leaders) > 1:
        return falls_apart(island, names, says, leaders)
    tied = left[0].tied if left else ()
    if tied and (not planned or second in tied):
        return undecided(island, names, says, tied)
    if not planned or (leaders and leaders[0].device in {member.device for member in planned}):
        return RULE.holds(names, says, assumptions=defaults(*leaders), evidence=[second.because])
    return outranked(island, names, says, second, leaders[0])


def outranked(island: Island, names: tuple[str, ...], says: str, planned: Member, elected: Member) -> Claim:
    """Return the claim on an island whose planned second loses the election."""
    assert island.leader is not None
    why = decided(compared(elected.data, planned.data), elected, planned)
    return RULE.broken(
        names,
        says,
        spot=planned.record.at.spot("priority1"),
        message=f"without {island.leader.device}, {elected.device} leads {island.name}, for {why}; "
        f"the plan says {planned.device}",
        because=[elected.because, Because(planned.record.at.spot("role"), f"{planned.device} has the role second")],
        fix=f"give {planned.device} a priority1 between those of {island.leader.device} and {elected.device}, "
        f"or write role: second at {elected.device} instead",
    )


def falls_apart(island: Island, names: tuple[str, ...], says: str, leaders: list[Member]) -> Claim:
    """Return the claim on an island that hangs together by its leader."""
    assert island.leader is not None
    gone = island.leader
    return RULE.broken(
        names,
        says,
        spot=gone.record.at.spot(),
        message=f"without {gone.device}, {island.name} falls apart: {called(leaders)} each lead a part of it",
        because=[member.because for member in leaders],
        fix=f"cable the others so that frames do not pass through {gone.device}, or let another device lead",
    )


def undecided(island: Island, names: tuple[str, ...], says: str, tied: tuple[Member, ...]) -> Claim:
    """Return the open claim on a take-over that only hardware addresses decide that are not written."""
    assert island.leader is not None
    first, *others = tied
    return RULE.open(
        names,
        says,
        spot=first.record.at.spot("priority1"),
        missing=f"{called(tied)} are equal in all priorities: without {island.leader.device} the lowest hardware "
        f"address leads {island.name}, and it is not written for each of them",
        because=[member.because for member in others],
        fix=f"give the second choice a lower priority1, or write MAC of {called(tied)} in {first.record.at.spot().file}",
    )
