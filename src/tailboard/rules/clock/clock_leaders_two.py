"""Two devices are planned to lead one clock.

What it finds: more than one device with the role leader in one VLAN and clock domain.
Why it matters: only one leads; the other follows against its owner's plan, and when the two halves are joined, one of
them jumps, mutes and locks again.
Example: `CON-1` and the house's clock both have the role leader in AUDIO, domain 0.
Fix: leave one leader, make the other second, or give the other system a domain of its own and a converter between.
Does not find: a leader of the house that is not in the plan.
Source: common practice, no source; one leader in each domain follows from IEEE 1588-2008 9.3.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.findings import Claim, Rule, Severity
from tailboard.rules.clock.common import called, subject

RULE = Rule("clock-leaders-two", "clock", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN and domain: at most one device is planned to lead."""
    for parts in ask(clock).groups.values():
        name = parts[0].name
        planned = [member for island in parts for member in island.members if member.role == "leader"]
        says = f"no more than one device is planned to lead {name}"
        if len(planned) < 2:
            yield RULE.holds(subject(parts[0], parts), says, evidence=[member.because for member in planned])
            continue
        first, *others = planned
        yield RULE.broken(
            subject(parts[0], parts),
            says,
            spot=others[-1].record.at.spot("role"),
            message=f"{called(planned)} are all planned to lead {name}"
            if others[1:]
            else f"{called(planned)} are both planned to lead {name}",
            because=[member.because for member in planned[:-1]],
            fix=f"leave role: leader at {first.device} alone and write role: second at {called(others)}, "
            "or give it a domain of its own with a rate converter between",
        )
