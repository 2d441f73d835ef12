"""Two lines come up on one strip, or go to one input.

What it finds: a console strip, or a destination under `goes to`, that two lines name.
Why it matters: a strip has one input; the line patched last takes the fader from the other.
Example: lines 5 and 6 both say CON-1/5.
Fix: give one of the lines a free strip.
Does not find: a line on strips of several consoles; that is a split. Two lines in one hole; see hole-used-twice.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import occupancy
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import many, natural

RULE = Rule("strip-used-twice", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a strip or destination in use: one line comes up there."""
    used = ask(occupancy)
    for column, table in (("strips", used.strips), ("goes_to", used.goals)):
        for device, jacks in table.items():
            for jack, lines in jacks.items():
                if jack and len(lines) == 1:
                    yield RULE.holds(f"{device}/{jack}", f"line {lines[0]} comes up alone on {device}/{jack}")
                elif jack:
                    yield shared(ask, f"{device}/{jack}", column, lines)


def shared(ask: Ask, strip: str, column: str, lines: tuple[str, ...]) -> Claim:
    """Return the claim of a strip with several lines."""
    first, *others = sorted(lines, key=natural)
    rows = ask.model.lines
    free = ask(occupancy).free_strips(device_of(strip)) if column == "strips" else ()
    proposal = f", such as {device_of(strip)}/{free[0]}" if free else ""
    return RULE.broken(
        strip,
        f"one line comes up on {strip}",
        spot=rows[others[0]].at.spot(column),
        message=f"{many('line', lines)} come up on one strip, {strip}"
        if column == "strips"
        else f"{many('line', lines)} go to one input, {strip}",
        because=[Because(rows[name].at.spot(column), f"line {name} is on {strip}") for name in (first, *others[1:])],
        fix=f"give {many('line', others)} a free {'strip' if column == 'strips' else 'input'}{proposal}",
        breaks=[f"strip {strip}", *(f"line {name}" for name in lines)],
        lines=lines,
    )
