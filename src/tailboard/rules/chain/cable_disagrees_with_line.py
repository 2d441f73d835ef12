"""A cable and the list of lines disagree about a hole.

What it finds: a line's hole in lines.csv against the plugged cables: the cable from the line's source or gear ends in
another hole, the cable in the line's hole comes from another line or other gear, or the cable named in the line's row
is not in its hole.
Why it matters: one crew plugs by the cable schedule, the other by the input list; the voice comes up on the wrong fader.
Example: M-05 runs from RXR-1 to SB-1/6, and line 5 with gear RXR-1 is in SB-1/5.
Fix: correct the end of the cable, or the hole of the line.
Does not find: a line of which no cable is written; a wrong plug on the floor; which of the lines behind a splitter a
line is that names no gear.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.cabling import Cabling, Way, cabling
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.records import Line
from tailboard.model.show import device_of
from tailboard.rules.chain.common import titled

RULE = Rule("cable-disagrees-with-line", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line of whose cables something is written."""
    ways = ask(cabling)
    if not ways.ends:
        return
    for name, line in ask.model.lines.items():
        if not line.hole or "/" not in line.hole:
            continue
        behind = ways.behind(line.hole)
        own = own_cables(ask, ways, line)
        says = f"the cables bring line {name} to {line.hole}"
        problem = away(ask, ways, line, own, behind) or foreign(ask, line, behind) or misnamed(ask, ways, line, behind)
        if problem is not None:
            yield broken(line, says, *problem)
        elif behind or own:
            yield RULE.holds(name, says)


def broken(line: Line, says: str, cable: str, spot: Spot, words: str) -> Claim:
    """Return the broken claim: `cable` and `words` say which cable does what instead."""
    return RULE.broken(
        line.id,
        says,
        spot=spot,
        message=f"{words}; in the list {titled(line)} is in {line.hole}",
        because=[Because(line.at.spot("hole"), f"line {line.id} is in {line.hole}")],
        fix=f"correct the ends of {cable}, or the hole of line {line.id}",
        breaks=[f"cable {cable}"],
        rests_on=[f"hole {line.hole}"],
        lines=[line.id],
    )


def own_cables(ask: Ask, ways: Cabling, line: Line) -> list[tuple[str, str]]:
    """Return the plugged cables that begin at a line's source or gear: (jack, cable)."""
    starts = [f"line {line.id}"]
    if line.gear and "/" in line.gear:
        starts.append(line.gear)
    elif line.gear:
        ports = ask.model.kind_of(line.gear).ports or {}
        outs = [name for name, port in ports.items() if port.way != "in" and port.medium in {"analogue", "digital"}]
        starts += [line.gear, *(f"{line.gear}/{name}" for name in outs)]
    return [(start, cable) for start in starts for cable in ways.plugged.get(start, ())]


def away(
    ask: Ask, ways: Cabling, line: Line, own: list[tuple[str, str]], behind: tuple[Way, ...]
) -> tuple[str, Spot, str] | None:
    """Return the cable from a line's source or gear that ends elsewhere, if none ends in its hole."""
    if not own or not line.hole:
        return None
    found = [(jack, ways.followed(jack, cable, back=False)) for jack, cable in own]
    back = {way.ends[-1] for way in behind}  # by the second output of a splitter the hole is found only this way
    if any(line.hole in way.ends or jack in back for jack, way in found):
        return None
    jack, way = next(((jack, way) for jack, way in found if way.ends[-1]), found[0])
    if not way.ends[-1]:
        return None
    cable, end = way.cables[-1], way.ends[-1]
    begin = jack if len(way.cables) == 1 else f"{way.cables[0]} from {jack}, through {cable},"
    return cable, written_end(ask, cable, end), f"{cable} brings {begin} to {end}"


def foreign(ask: Ask, line: Line, behind: tuple[Way, ...]) -> tuple[str, Spot, str] | None:
    """Return the cable in a line's hole that comes from another line or other gear, if none comes from its own."""
    if not behind or any(comes_from(line, way) or shares_source(ask, line, way) for way in behind):
        return None
    way = behind[0]
    cable, begin = way.cables[0], way.ends[-1]
    return cable, written_end(ask, cable, line.hole or ""), f"{cable} brings {begin} to {line.hole}"


def comes_from(line: Line, way: Way) -> bool:
    """Return whether a way back from a line's hole leads to that line, as far as anything is written."""
    last = way.ends[-1]
    if not last:
        return True
    if last.startswith("line "):
        return last == f"line {line.id}"
    return line.gear is None or any(end == line.gear or device_of(end) == line.gear for end in way.ends)


def shares_source(ask: Ask, line: Line, way: Way) -> bool:
    """Return whether a line without gear or a cable of its own takes another line's source, from an output of a splitter."""
    if line.gear is not None or f"line {line.id}" in ask(cabling).plugged or not way.ends[-1].startswith("line "):
        return False
    return any(ask.model.kind_of(device_of(end)).role == "splitter" for end in way.ends)


def misnamed(ask: Ask, ways: Cabling, line: Line, behind: tuple[Way, ...]) -> tuple[str, Spot, str] | None:
    """Return the cable named in a line's row, if its ends are written and it is on no way to the hole."""
    ends = ways.ends.get(line.cable or "", (None, None))
    if line.cable is None or ends == (None, None) or any(line.cable in way.cables for way in behind):
        return None
    state = ask.model.cables[line.cable].state
    if line.hole in ends and state != "plugged":
        return line.cable, ask.model.cables[line.cable].at.spot("state"), f"{line.cable} is {state}, not plugged"
    joined = " and ".join(end for end in ends if end)
    return (
        line.cable,
        ask.model.cables[line.cable].at.spot("end_b"),
        f"{line.cable}, named in the list, ends at {joined}",
    )


def written_end(ask: Ask, cable: str, end: str) -> Spot:
    """Return where the end of a cable is written."""
    record = ask.model.cables[cable]
    at_a = (
        record.end_a is not None and device_of(record.end_a) == device_of(end) and record.end_a in {end, device_of(end)}
    )
    return record.at.spot("end_a" if at_a else "end_b")
