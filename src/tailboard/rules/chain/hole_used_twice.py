"""One hole is used twice.

What it finds: two lines, or two plugged cables, in one input jack. A digital jack may take the two lines of a pair.
Why it matters: one plug fits a jack; the second is found in somebody's hand, and its line is silent.
Example: lines 5 and 6 both say SB-1/5.
Fix: give one of the lines a free hole, here and on the box.
Does not find: two lines on one strip; see strip-used-twice. Two feeds at one output; see output-used-twice.
Source: common practice, no source. Two channels in a digital jack: AES3, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import LINE_JACKS, Occupancy, occupancy
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import many, natural

RULE = Rule("hole-used-twice", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a hole in use: one line and one cable are in it."""
    used = ask(occupancy)
    for box, holes in used.holes.items():
        for jack, lines in holes.items():
            hole = f"{box}/{jack}"
            if jack and not two_lines(ask, hole, lines):
                yield one_cable(ask, used, hole, lines)
            elif jack:
                yield shared(ask, used, hole, lines)
    for port, cables in used.cables.items():
        kind = ask.model.port_kind(port) if len(cables) > 1 else None
        if kind and kind.medium in LINE_JACKS and kind.way != "out" and not lines_in(used, port):
            yield one_cable(ask, used, port, ())


def lines_in(used: Occupancy, port: str) -> tuple[str, ...]:
    """Return the lines in a jack."""
    box, _, jack = port.partition("/")
    return used.holes.get(box, {}).get(jack, ())


def two_lines(ask: Ask, hole: str, lines: tuple[str, ...]) -> bool:
    """Return whether more lines are in a hole than it can take."""
    if len(lines) == 1:
        return False
    kind = ask.model.port_kind(hole)
    first = ask.model.lines[lines[0]]
    return not (kind is not None and kind.medium == "digital" and len(lines) == 2 and first.pair == lines[1])


def shared(ask: Ask, used: Occupancy, hole: str, lines: tuple[str, ...]) -> Claim:
    """Return the claim of a hole with several lines."""
    first, *others = sorted(lines, key=natural)
    free = used.free_jacks(device_of(hole), "in")
    proposal = f", such as {device_of(hole)}/{free[0]}" if free else ""
    rows = ask.model.lines
    return RULE.broken(
        hole,
        f"{hole} has one line",
        spot=rows[others[0]].at.spot("hole"),
        message=f"{hole} is the hole of {many('line', lines)}",
        because=[Because(rows[name].at.spot("hole"), f"line {name} is in {hole}") for name in (first, *others[1:])],
        fix=f"give {many('line', others)} a free hole{proposal}",
        breaks=[f"hole {hole}", *(f"line {name}" for name in lines)],
        lines=lines,
    )


def one_cable(ask: Ask, used: Occupancy, hole: str, lines: tuple[str, ...]) -> Claim:
    """Return the claim of a hole with at most one line: it holds with at most one cable plugged."""
    cables = used.cables.get(hole, ())
    says = f"{hole} has {many('line', lines) if lines else 'one cable'} alone"
    if len(cables) < 2:
        return RULE.holds(hole, says)
    first, *others = cables
    rows = ask.model.cables
    return RULE.broken(
        hole,
        says,
        spot=rows[others[-1]].at.spot("end_b"),
        message=f"cables {' and '.join(cables)} are both plugged into {hole}",
        because=[Because(rows[name].at.spot("end_b"), f"{name} ends in {hole}") for name in (first, *others[:-1])],
        fix=f"plug one of them elsewhere, or write it as laid: {others[-1]}: {{state: laid}}",
        breaks=[f"hole {hole}"],
        rests_on=[f"cable {name}" for name in cables],
        lines=lines,
    )
