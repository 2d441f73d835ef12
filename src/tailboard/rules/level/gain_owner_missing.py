"""A line has no gain owner.

What it finds: a line that comes up on several consoles or matrices, or whose neighbours in the list have an owner,
without one.
Why it matters: two mixers turn one preamplifier; the level jumps for the one who did not touch it.
Example: line 5 is on CON-1/5 and CON-2/5, and its gain owner is not written.
Fix: write the one console or matrix that sets the gain; the others trim.
Does not find: an owner who is not at his console. An owner without the line's strip; see gain-owner-wrong.
Source: exactly one owner for each preamplifier, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import titled

RULE = Rule("gain-owner-missing", "level", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line that comes up on a strip or goes to a matrix."""
    model, lines = ask.model, ask.model.lines
    customary = any(line.gain_owner for line in lines.values())
    for name, line in lines.items():
        ends = (*line.strips, *(port for port in line.goes_to if model.kind_of(device_of(port)).mixes))
        consoles = tuple(dict.fromkeys(map(device_of, ends)))
        if not consoles or not (customary or len(consoles) > 1):
            continue
        if line.gain_owner:
            yield RULE.holds(name, f"{line.gain_owner} sets the gain of line {name}")
            continue
        listed = " and ".join(consoles)
        shared = len(consoles) > 1
        yield RULE.broken(
            name,
            f"one console sets the gain of line {name}",
            spot=line.at.spot("gain_owner"),
            message=f"{titled(line)} comes up on {listed}; nobody owns its gain"
            if shared
            else f"{titled(line)} has no gain owner, though other lines have",
            fix=f"write {consoles[0]} as gain owner of line {name}" + (", or the other console" if shared else ""),
            severity=None if shared else Severity.WARNING,
            lines=[name],
        )
