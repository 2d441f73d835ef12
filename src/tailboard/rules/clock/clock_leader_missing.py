"""Nobody in a clock island can lead it.

What it finds: devices of one VLAN and clock domain that hear each other and are follower only.
Why it matters: a follower without a leader never locks; its streams stay silent although they are subscribed.
Example: `REC-1` and `SB-1` are follower only in AUDIO, domain 0, and `CON-1`, which would lead, is in domain 1.
Fix: give one device a priority1 and the role leader, or put the followers into the domain of their leader.
Does not find: a leader that is switched off.
Source: a follower-only clock never becomes leader, IEEE 1588-2008 9.2.2 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Island, clock
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.clock.common import called, feeds_at, lines_at, subject

RULE = Rule("clock-leader-missing", "clock", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an island: somebody can lead it."""
    for parts in ask(clock).groups.values():
        for island in parts:
            says = f"a device leads the clock of {island.name}"
            if island.leader is not None:
                yield RULE.holds(subject(island, parts), says)
            else:
                yield leaderless(ask, island, parts, says)


def leaderless(ask: Ask, island: Island, parts: tuple[Island, ...], says: str) -> Claim:
    """Return the claim on an island of followers; where the network parts them from a leader, that is the reason."""
    others = parts[0].leader
    first = island.members[0]
    devices = set(island.devices)
    stop = island.cut_off
    only = "are follower only" if len(island.members) > 1 else "is follower only"
    why = f"{called(island.members)} {only}"
    message = f"nobody leads the clock of {island.name}: {why}"
    fix = f"give one of them a priority1 and the role leader, or put {called(island.members)} into the domain of the leader"
    if stop is not None and others is not None:
        message = f"{called(island.members)} cannot hear {others.device}, which leads {island.name}: {stop.words}"
        fix = f"mend the way between {others.device} and {first.device}: {stop.words}"
    return RULE.broken(
        subject(island, parts),
        says,
        spot=first.record.at.spot("role"),
        message=message,
        because=[member.because for member in island.members[1:]],
        fix=fix,
        rests_on=stop.keys if stop else [f"device {device}" for device in island.devices],
        lines=lines_at(ask.model, devices),
        feeds=feeds_at(ask.model, devices),
    )
