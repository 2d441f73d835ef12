"""A clock has no second choice.

What it finds: several devices of one VLAN and clock domain of which only one may lead.
Why it matters: when that one is unplugged or fails, nobody leads; all others mute until somebody changes a setting.
Example: `CON-1` leads AUDIO, domain 0; `SB-1` and `REC-1` are follower only.
Fix: give another device a priority1 behind the leader's and the role second.
Does not find: a second choice that dies with the leader's switch or supply.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Clocks, Island, clock
from tailboard.answers.clock_members import Member
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.clock.common import called, subject

RULE = Rule("clock-second-missing", "clock", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN and domain with several devices and a leader: another may lead."""
    clocks = ask(clock)
    for parts in clocks.groups.values():
        members = [member for island in parts for member in island.members]
        able = [member for member in members if member.can_lead]
        if len(members) < 2 or not able:
            continue
        says = f"{parts[0].name} has a second device that may lead"
        if len(able) > 1:
            yield RULE.holds(subject(parts[0], parts), says)
        else:
            yield alone(clocks, parts, able[0], members, says)


def alone(clocks: Clocks, parts: tuple[Island, ...], leader: Member, members: list[Member], says: str) -> Claim:
    """Return the claim on a clock that only one device may lead."""
    others = [member for member in members if member is not leader]
    only = "is follower only" if len(others) == 1 else "are follower only"
    elsewhere = [m for m in clocks.members if m.vlan == leader.vlan and m.domain != leader.domain]
    return RULE.broken(
        subject(parts[0], parts),
        says,
        spot=leader.record.at.spot(),
        message=f"without {leader.device} nobody leads {parts[0].name}: {called(others)} {only}",
        because=[member.because for member in others],
        fix=f"give a device that is always on a priority1 above {leader.data.priority1} and role: second",
        rests_on=[f"device {member.device}" for member in elsewhere],
    )
