"""A clock with a reference of its own does not lead, and will not follow either.

What it finds: a device whose clock class is 1 to 127, as one with a satellite receiver or another reference has, in an
island that another device leads.
Why it matters: by the standard such a clock never follows another; it falls silent and goes on with its own time. Its
streams then slip against all others, though every display says that there is one leader.
Example: `FAC-2` has class 6 behind `FAC` with the same class and a lower priority1; both run from one reference, or slip.
Fix: let it lead, give it class 248 so that it follows, or confirm that both hang on one reference.
Does not find: a class that is not written; whether two references agree.
Source: IEEE 1588-2008 9.3.3 and Figure 26, codes M1 and P1, as linuxptp bmc.c has them.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.findings import Claim, Rule, Severity
from tailboard.physics.clock import PRIMARY_CLASS_MAX, Code
from tailboard.rules.clock.common import feeds_at, lines_at, subject

RULE = Rule("clock-never-follows", "clock", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a clock with a reference of its own: it leads, or hangs on the leader's reference."""
    for parts in ask(clock).groups.values():
        for island in parts:
            for member in island.members:
                if member.data.clock_class > PRIMARY_CLASS_MAX or island.leader is None:
                    continue
                says = f"{member.device} does not run beside the leader of {island.name} with a time of its own"
                names = (member.device, *subject(island, parts))
                if island.decision(member) is not Code.P1:
                    yield RULE.holds(names, says, evidence=[member.because])
                    continue
                leader = island.source or island.leader
                yield RULE.broken(
                    names, says,
                    spot=member.record.at.spot("clock_class"),
                    message=f"{member.device} has clock class {member.data.clock_class}: it never follows, though "
                    f"{leader.device} leads {island.name}",
                    because=[leader.because],
                    fix=f"write class 248 at {member.device}, or have its owner confirm that it and {leader.device} hang "
                    "on one reference, and accept this in writing",
                    lines=lines_at(ask.model, {member.device}), feeds=feeds_at(ask.model, {member.device}),
                )  # fmt: skip
