"""Two cables are said to be one strand of one drum.

What it finds: two cables of the plan with the same drum and the same strand of it.
Why it matters: there is one strand; the second link stays dark, and a spare that is the strand itself is no spare.
Example: F-01 and F-02 are both strand 1 of D-1.
Fix: correct the strand or the drum of one of the two.
Does not find: a strand number that the drum does not have; spares that share a drum with what they replace, see
spare-cable-shares-route.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Cable
from tailboard.units.wording import listed

RULE = Rule("strand-used-twice", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a drum of whose strands two cables or more are made."""
    drums: dict[str, dict[int, list[Cable]]] = {}
    for cable in ask.model.cables.values():
        if cable.drum and cable.strand is not None:
            drums.setdefault(cable.drum, {}).setdefault(cable.strand, []).append(cable)
    for drum, strands in drums.items():
        if sum(len(cables) for cables in strands.values()) < 2:
            continue
        says = f"each strand of drum {drum} is one cable"
        twice = next(((strand, cables) for strand, cables in strands.items() if len(cables) > 1), None)
        yield RULE.holds(drum, says) if twice is None else broken(drum, says, *twice)


def broken(drum: str, says: str, strand: int, cables: list[Cable]) -> Claim:
    """Return the claim on a drum with a strand that several cables are."""
    first, *others = cables
    names = [cable.id for cable in cables]
    return RULE.broken(
        drum,
        says,
        spot=others[-1].at.spot("strand"),
        message=f"{listed(names)} are {'both' if len(cables) == 2 else 'all'} strand {strand} of drum {drum}",
        because=[Because(cable.at.spot("strand"), f"{cable.id} is strand {strand} of {drum}") for cable in cables[:-1]],
        fix=f"correct the strand or the drum of {listed(names[1:])}, or of {first.id}",
        breaks=[f"cable {cable.id}" for cable in others],
    )
