"""A reserve dies with the line it is for.

What it finds: what a line and its reserve both need, through their whole chains: gear, cable, box, switch, strand,
stream, console, supply.
Why it matters: at the moment of need both are gone.
Example: lines 6 and 7 are both in SB-1, whose one strand is F-01.
Fix: bring the reserve by another box, cable or switch, or have somebody accept in writing what they share.
Does not find: two cables in one duct or on one drum; two radio channels that one interferer hits.
Source: a reserve is independent of its line, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.paths import Chain, chains
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import device_of
from tailboard.rules.chain.common import natural

RULE = Rule("reserve-shares-failure", "chain", Severity.WARNING, __doc__)
ORDER = ("line", "device", "cable", "stream", "supply")


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line and reserve."""
    lines = ask.model.lines
    for line in lines.values():
        for other in line.reserve:
            if other in lines and other != line.id:
                yield judged(ask, line, lines[other])


def judged(ask: Ask, line: Line, reserve: Line) -> Claim:
    """Return the claim of one line and its reserve."""
    found = ask(chains).of_line
    shared = needed(line, found[line.id]) & needed(reserve, found[reserve.id])
    names = named(shared)
    subject = (line.id, reserve.id)
    says = f"line {reserve.id} survives whatever line {line.id} dies of"
    if not names:
        return RULE.holds(subject, says)
    return RULE.broken(
        subject,
        says,
        spot=line.at.spot("reserve"),
        message=f"line {reserve.id}, the reserve of line {line.id}, needs what line {line.id} needs: {', '.join(names)}",
        because=[Because(reserve.at.spot("hole"), f"line {reserve.id} is in {reserve.hole or 'no hole yet'}")],
        fix=f"bring line {reserve.id} by another {nearest(shared)}, or accept in writing what the two share",
        lines=subject,
    )


def needed(line: Line, chain: Chain) -> frozenset[str]:
    """Return the keys of everything a line needs: its chain, and what its row names if no chain is known."""
    ports = (line.gear, line.hole, *line.strips, *line.goes_to)
    own = {f"device {device_of(port)}" for port in ports if port}
    if line.cable:
        own.add(f"cable {line.cable}")
    return chain.depends | own


def named(shared: frozenset[str]) -> list[str]:
    """Return what is shared, by kind and name; ports are left out, for their devices and cables stand there."""
    found = [key.partition(" ") for key in shared if not key.startswith("port ")]
    found.sort(key=lambda part: (ORDER.index(part[0]) if part[0] in ORDER else len(ORDER), natural(part[2])))
    return [name for _, _, name in found]


def nearest(shared: frozenset[str]) -> str:
    """Return the first thing to bring the reserve by: a box and cable of its own."""
    return "box and cable" if any(key.startswith("cable ") for key in shared) else "box"
