"""Two feeds leave by one output.

What it finds: an output jack that two feeds name, or that two plugged cables share.
Why it matters: an output carries one feed; one of the two listeners gets the other's mix.
Example: feeds FD1 and FD2 both say SB-1/o1.
Fix: give one of the feeds a free output.
Does not find: feeds in one stream, each in channels of its own; see channel-used-twice.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import LINE_JACKS, occupancy
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import many, natural

RULE = Rule("output-used-twice", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an output in use: one feed leaves by it, through one cable."""
    used = ask(occupancy)
    for device, jacks in used.outputs.items():
        for jack, feeds in jacks.items():
            output = f"{device}/{jack}"
            if jack and len(feeds) > 1:
                yield shared(ask, output, feeds)
            elif jack:
                yield one_cable(ask, output, feeds, used.cables.get(output, ()))
    for port, cables in used.cables.items():
        kind = ask.model.port_kind(port) if len(cables) > 1 else None
        device, _, jack = port.partition("/")
        if kind and kind.medium in LINE_JACKS and kind.way == "out" and jack not in used.outputs.get(device, {}):
            yield one_cable(ask, port, (), cables)


def shared(ask: Ask, output: str, feeds: tuple[str, ...]) -> Claim:
    """Return the claim of an output with several feeds."""
    first, *others = sorted(feeds, key=natural)
    rows = ask.model.feeds
    free = ask(occupancy).free_jacks(device_of(output), "out")
    proposal = f", such as {device_of(output)}/{free[0]}" if free else ""
    return RULE.broken(
        output,
        f"one feed leaves by {output}",
        spot=rows[others[0]].at.spot("outputs"),
        message=f"{many('feed', feeds)} leave by one output, {output}",
        because=[
            Because(rows[name].at.spot("outputs"), f"feed {name} is on {output}") for name in (first, *others[1:])
        ],
        fix=f"give {many('feed', others)} a free output{proposal}",
        breaks=[f"hole {output}", *(f"feed {name}" for name in feeds)],
        feeds=feeds,
    )


def one_cable(ask: Ask, output: str, feeds: tuple[str, ...], cables: tuple[str, ...]) -> Claim:
    """Return the claim of an output with at most one feed: it holds with at most one cable plugged."""
    says = f"{output} has {many('feed', feeds) if feeds else 'one cable'} alone"
    if len(cables) < 2:
        return RULE.holds(output, says)
    rows = ask.model.cables
    first, *others = cables
    return RULE.broken(
        output,
        says,
        spot=rows[others[-1]].at.spot("end_a"),
        message=f"cables {' and '.join(cables)} are both plugged into {output}",
        because=[Because(rows[name].at.spot("end_a"), f"{name} begins at {output}") for name in (first, *others[:-1])],
        fix=f"plug one of them elsewhere, or write a splitter between {output} and the two",
        breaks=[f"hole {output}"],
        rests_on=[f"cable {name}" for name in cables],
        feeds=feeds,
    )
