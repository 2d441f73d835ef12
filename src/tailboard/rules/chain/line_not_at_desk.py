"""A mix names a line that does not come to its desk.

What it finds: a bus or feed with a line among its members that has no strip on the desk that makes the mix and goes to
no input of it.
Why it matters: the mix is built as the list says, and the voice is not in it: nobody looks for it there.
Example: PGM of CON-1 names line 37, which goes to ICS-1/2 alone.
Fix: bring the line to the desk, on a strip of its own, or take it out of the mix.
Does not find: a line that a minus names, which only guards; a feed that leaves by the boxes' own streams, past every
desk; a list in which no line has a strip.
Source: a mix holds what comes to its desk, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mix
from tailboard.answers.signal import Signal, signal
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Bus, LineSet
from tailboard.rules.chain.common import many

RULE = Rule("line-not-at-desk", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a bus or feed that names lines and whose desk is known."""
    graph = ask(signal)
    if not graph.strips:
        return
    for mix in graph.mixing.mixes.values():
        if mix.desk not in graph.model.devices or isinstance(mix.record, LineSet) or mix.record.id in graph.straight:
            continue
        named = [name for name in mix.members if name in graph.model.lines]
        if named:
            yield judged(graph, mix, named)


def judged(graph: Signal, mix: Mix, named: list[str]) -> Claim:
    """Return the claim on one mix that names some lines."""
    there = graph.entries.get(mix.desk, {})
    absent = [name for name in named if f"line {name}" not in there]
    says = f"the lines of {mix.name} come to {mix.desk}"
    if not absent:
        return RULE.holds(mix.name, says)
    lines = graph.model.lines
    verb = "does" if len(absent) == 1 else "do"
    return RULE.broken(
        mix.name,
        says,
        spot=mix.record.at.spot(mix.attribute),
        message=f"{many('line', absent)} {'is' if len(absent) == 1 else 'are'} in {mix.name}, but {verb} not come to {mix.desk}",
        because=[Because(lines[name].at.spot("strips"), where_to(graph, name)) for name in absent],
        fix=f"bring {many('line', absent)} to a strip of {mix.desk}, or take {'it' if len(absent) == 1 else 'them'} out of {mix.name}",
        rests_on=[f"line {name}" for name in absent],
        lines=absent,
        feeds=() if isinstance(mix.record, Bus) else [mix.record.id],
    )


def where_to(graph: Signal, name: str) -> str:
    """Return in words where a line comes up."""
    line = graph.model.lines[name]
    ends = " and ".join((*line.strips, *line.goes_to))
    return f"line {name} goes to {ends}" if ends else f"line {name} goes nowhere yet"
