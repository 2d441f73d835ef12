"""The gain owner of a line cannot set its gain.

What it finds: a gain owner that is neither a console with a strip or the hole of the line, nor where else it goes, nor
the outside gear it comes from.
Why it matters: whoever hears the clip cannot turn it down, and whoever can turn it down does not hear it.
Example: line 5 comes up on CON-1/5 only, and its gain owner is CON-2.
Fix: write a console that has a strip of the line, or the house that sets what it sends.
Does not find: two persons at one console. A line without an owner; see gain-owner-missing.
Source: exactly one owner for each preamplifier, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import titled

RULE = Rule("gain-owner-wrong", "level", Severity.ERROR, __doc__)
DESKS = frozenset({"console", "outside desk", "matrix"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line with a gain owner and a destination."""
    devices = ask.model.devices
    for name, line in ask.model.lines.items():
        owner, ends = line.gain_owner, (*line.strips, *line.goes_to)
        if owner is None or not ends or (devices and owner not in devices):
            continue
        says = f"the gain owner of line {name}, {owner}, is a console with its strip, or where it comes from"
        reached = {device_of(end) for end in ends}
        if line.hole and ask.model.kind_of(device_of(line.hole)).role in DESKS:
            reached.add(device_of(line.hole))
        if owner in reached or (line.gear and device_of(line.gear) == owner):
            yield RULE.holds(name, says)
            continue
        role = ask.model.kind_of(owner).role if owner in devices else "console"
        why = "where it does not come up" if role in DESKS else f"a {role} that it does not go to"
        yield RULE.broken(
            name,
            says,
            spot=line.at.spot("gain_owner"),
            message=f"the gain owner of {titled(line)} is {owner}, {why}; the line is on {' and '.join(ends)}",
            because=[Because(line.at.spot("strips"), f"line {name} comes up on {' and '.join(ends)}")],
            fix=f"write {device_of(ends[0])} as gain owner of line {name}, or bring the line to {owner}",
            lines=[name],
        )
