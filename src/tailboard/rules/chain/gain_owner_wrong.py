"""The gain owner of a line cannot set its gain.

What it finds: a gain owner that is no console, or a console on which the line does not come up.
Why it matters: whoever hears the clip cannot turn it down, and whoever can turn it down does not hear it.
Example: line 5 comes up on CON-1/5 only, and its gain owner is CON-2.
Fix: write a console that has a strip of the line.
Does not find: two persons at one console. A line without an owner; see gain-owner-missing.
Source: exactly one owner for each preamplifier, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import titled

RULE = Rule("gain-owner-wrong", "chain", Severity.ERROR, __doc__)
DESKS = frozenset({"console", "outside desk"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line with a gain owner and a strip."""
    devices = ask.model.devices
    for name, line in ask.model.lines.items():
        owner = line.gain_owner
        if owner is None or not line.strips or (devices and owner not in devices):
            continue
        consoles = tuple(dict.fromkeys(map(device_of, line.strips)))
        says = f"the gain owner of line {name}, {owner}, is a console with its strip"
        role = ask.model.kind_of(owner).role if owner in devices else "console"
        if owner in consoles and role in DESKS:
            yield RULE.holds(name, says)
            continue
        strips = " and ".join(line.strips)
        why = f"which is no console but a {role}" if role not in DESKS else "where it does not come up"
        yield RULE.broken(
            name,
            says,
            spot=line.at.spot("gain_owner"),
            message=f"the gain owner of {titled(line)} is {owner}, {why}; the line is on {strips}",
            because=[Because(line.at.spot("strips"), f"line {name} comes up on {strips}")],
            fix=f"write {consoles[0]} as gain owner of line {name}, or give {owner} a strip of the line",
            lines=[name],
        )
