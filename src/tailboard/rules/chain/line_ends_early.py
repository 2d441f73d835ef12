"""A line does not reach its strip through exactly one chain.

What it finds: a line without a hole, or without a strip or other destination; one whose way from source to strip breaks
off (cable, box, stream, VLAN, switch port); one that arrives by several ways. Spares that lack something are left to
spare-not-usable.
Why it matters: the fader is dead, and every document but one looks right.
Example: line 7 is in SB-1/7, and no stream brings SB-1/7 to CON-1.
Fix: mend the step that the message names; the list of lines is not always the place.
Does not find: a plug that is not where the plan says; a level that is wrong.
Source: one chain from source to strip, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.cabling import cabling
from tailboard.answers.occupancy import occupancy
from tailboard.answers.paths import Chain, chains
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import Model, jack_of
from tailboard.rules.chain.cable_disagrees_with_line import own_cables
from tailboard.rules.chain.common import is_spare, onward_fix, steps_shown, titled, unwritten
from tailboard.rules.chain.spare_not_usable import lacking

RULE = Rule("line-ends-early", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line."""
    lines = ask.model.lines
    if not lines:
        return
    holes = any(line.hole for line in lines.values())
    strips = any(line.strips or line.goes_to for line in lines.values())
    waiting = {"hole": [name for name in lines if not holes], "strip": [name for name in lines if not strips]}
    yield from unwritten(RULE, "line", "hole", "hole", lines, waiting["hole"], "they go nowhere yet")
    yield from unwritten(RULE, "line", "strip", "strips", lines, waiting["strip"], "they come up nowhere yet")
    if not holes or not strips:
        return
    for name, chain in ask(chains).of_line.items():
        line = lines[name]
        if not (is_spare(line) and lacking(line)):
            yield judged(ask, line, chain)


def judged(ask: Ask, line: Line, chain: Chain) -> Claim:
    """Return the claim of one line."""
    ends = " and ".join((*line.strips, *line.goes_to))
    says = f"line {line.id} reaches {ends or 'a strip'} through one chain"
    if line.hole and not jack_of(line.hole):
        return broken(ask, line, chain, says, f"names the box {line.hole} and no hole of it")
    if chain.complete and chain.count == 1:
        return RULE.holds(line.id, says)
    if chain.complete:
        return several(line, chain, says, ends)
    if chain.stop is not None and chain.stop.lacks:
        return broken(ask, line, chain, says, f"ends early: {chain.stop.words}")
    return broken(ask, line, chain, says, f"does not reach {ends}{': ' + chain.stop.words if chain.stop else ''}")


def broken(ask: Ask, line: Line, chain: Chain, says: str, words: str) -> Claim:
    """Return the claim of a line whose chain breaks off."""
    stop = chain.stop
    keys = {f"hole {line.hole}" if line.hole else f"line {line.id}", *(f"strip {strip}" for strip in line.strips)}
    missing = stop is None or bool(stop.lacks) or not stop.spot.file or not jack_of(line.hole or "")
    return RULE.broken(
        line.id,
        says,
        spot=line.at.spot((stop.lacks if stop else "") or "hole") if missing or stop is None else stop.spot,
        message=f"{titled(line)} {words}",
        because=[]
        if missing
        else [Because(line.at.spot("hole"), f"line {line.id} is in {line.hole}"), *steps_shown(chain.steps)],
        fix=repair(ask, line, chain),
        breaks=[f"line {line.id}"] if stop is not None and stop.lacks else (),
        rests_on=keys if stop is None else keys | stop.keys,
        lines=[line.id],
    )


def repair(ask: Ask, line: Line, chain: Chain) -> str:
    """Return what to write: a free hole at the line's place, a strip, or the step that is missing."""
    stop = chain.stop
    if not line.hole or not jack_of(line.hole):
        free = free_hole(ask, line)
        return f"write a hole for line {line.id}" + (f", such as {free}" if free else "")
    if stop is not None and stop.lacks == "strips":
        console = ask.model.consoles[0] if ask.model.consoles else ""
        strips = ask(occupancy).free_strips(console) if console else ()
        return f"write a strip for line {line.id}" + (f", such as {console}/{strips[0]}" if strips else "")
    return onward_fix(chain, f"line {line.id}", " and ".join((*line.strips, *line.goes_to)))


def free_hole(ask: Ask, line: Line) -> str:
    """Return the hole where a line's cable ends, else a free one of its box or of a box at its place."""
    ways = ask(cabling)
    for start, cable in own_cables(ask, ways, line):
        end = ways.followed(start, cable, back=False).ends[-1]
        kind = ask.model.port_kind(end)
        if kind is not None and kind.way != "out":
            return end
    boxes = [line.hole] if line.hole else boxes_at(ask.model, line.place)
    free = [
        f"{box}/{jack}" for box in boxes if box in ask.model.devices for jack in ask(occupancy).free_jacks(box, "in")
    ]
    return free[0] if free else ""


def boxes_at(model: Model, place: str | None) -> list[str]:
    """Return the boxes at a place."""
    return [
        name for name, device in model.devices.items() if device.place == place and model.kind_of(name).role == "box"
    ]


def several(line: Line, chain: Chain, says: str, ends: str) -> Claim:
    """Return the claim of a line that arrives by several ways."""
    return RULE.broken(
        line.id,
        says,
        spot=line.at.spot("strips" if line.strips else "goes_to"),
        message=f"{titled(line)} reaches {ends} by {chain.count} ways; which of them is patched is not said",
        because=steps_shown(chain.steps),
        fix=f"take one of the ways of line {line.id} out: one cable or stream to one strip",
        severity=Severity.WARNING,
        rests_on=[f"hole {line.hole}", *(edge_key for step in chain.steps for edge_key in sorted(step.depends))],
        lines=[line.id],
    )
