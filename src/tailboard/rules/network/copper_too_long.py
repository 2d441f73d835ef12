"""A run of data copper is longer than it may be.

What it finds: a copper data cable whose pieces together are longer than the kind of cable allows, and never more than 100 m.
Why it matters: the link falls back to a tenth of its speed, or makes errors that come and go with the weather.
Example: C-04 is 85 m joined to 30 m: 115 m.
Fix: put a switch between, lead fibre, or find a shorter route.
Does not find: a cable that is longer than written. The cords inside racks, unless they are written as pieces.
Source: 100 m channel, ANSI/TIA-568 (second-hand); about 80 m for stranded cable is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import CableKind
from tailboard.model.records import Cable
from tailboard.physics.copper import run_m, run_m_max
from tailboard.rules.network.common import example_figures
from tailboard.units import worded

RULE = Rule("copper-too-long", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a copper data cable that leads somewhere."""
    for name, cable in ask.model.cables.items():
        kind = ask.model.cable_kind(name)
        ends = [end for end in ask(wiring).ends[name] if end]
        if kind is not None and kind.medium == "copper data" and ends:
            yield judged(cable, kind, ends)


def judged(cable: Cable, kind: CableKind, ends: list[str]) -> Claim:
    """Return the claim that a copper cable is short enough."""
    limit_m = run_m_max() if kind.length_m_max is None else min(kind.length_m_max, run_m_max())
    says = f"{cable.id} is at most {worded(limit_m, 'm')} long"
    if cable.pieces_m is None:
        return RULE.open(
            cable.id,
            says,
            spot=cable.at.spot(),
            missing=f"no length is written for {cable.id}",
            fix=f"write 'length' for {cable.id} under cables",
        )
    length_m = run_m(cable.pieces_m)
    if length_m <= limit_m:
        return RULE.holds(cable.id, says, assumptions=example_figures(kind))
    joined = ", joined" if len(cable.pieces_m) > 1 else ""
    return RULE.broken(
        cable.id,
        says,
        spot=cable.at.spot("pieces_m"),
        message=f"{cable.id} to {ends[-1].partition('/')[0]}: {worded(length_m, 'm')} of data copper{joined}; limit {worded(limit_m, 'm')}",
        because=[Because(kind.at.spot(), f"{kind.id}: {kind.figures}")],
        fix=f"lead fibre, put a switch between, or find a route of at most {worded(limit_m, 'm')}",
    )
