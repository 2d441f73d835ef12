"""Two clocks differ in nothing but their hardware address.

What it finds: an island whose leader or second choice has the same priorities as another device that may lead.
Why it matters: the lowest hardware address wins, which nobody chose; another box of the same kind changes the leader.
Example: `SB-1` and `SB-2` both have the default priority1 128 and may lead.
Fix: give each device that may lead a priority1 of its own.
Does not find: equal priorities of devices that would come third or later.
Source: the clock identity decides last, IEEE 1588-2008 9.3.4, as the open implementation linuxptp (bmc.c) has it.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock
from tailboard.answers.clock_members import Member
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.clock.common import called, subject

RULE = Rule("clock-priority-shared", "clock", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an island in which several may lead: the first two are chosen by priority."""
    for parts in ask(clock).groups.values():
        for island in parts:
            if island.leader is None or island.runner_up is None:
                continue
            says = f"priorities choose the first and the second of {island.name}"
            alike = alike_at_top(island, island.leader, island.runner_up)
            if not alike:
                yield RULE.holds(subject(island, parts), says)
                continue
            wins = "leads" if island.leader in alike else "is second"
            yield RULE.broken(
                subject(island, parts),
                says,
                spot=alike[-1].record.at.spot("priority1"),
                message=f"{called(alike)} have the same priorities: the lowest hardware address {wins} in {island.name}",
                because=[member.because for member in alike[:-1]],
                fix=f"give each of {called(alike)} a priority1 of its own",
            )


def alike_at_top(island: Island, leader: Member, runner_up: Member) -> list[Member]:
    """Return the clocks that share the leader's figures, else those that share the second's; empty where none does."""
    able = [member for member in island.members if member.can_lead]
    for wanted in (leader, runner_up):
        alike = [member for member in able if member.data.figures == wanted.data.figures]
        if len(alike) > 1:
            return alike
    return []
