"""A spare cable goes with the cable it stands in for.

What it finds: a cable that is laid or capped beside plugged ones between the same two devices, and lies on one drum or
one route with each of them.
Why it matters: it helps against a bad end or optic; a vehicle, a door or a digger takes both at once.
Example: `F-02` is strand 2 of drum `D-1`; `F-01`, which it stands in for, is strand 1.
Fix: lay the spare by another way from another drum, or have somebody accept in writing what it is good for.
Does not find: two routes that run in one duct without being written as one; see failure-not-survived for what is lost.
Source: a spare runs by another way, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.faults_spares import Spare, shared_ways, spare_cables
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Cable
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("spare-cable-shares-route", "faults", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a spare cable."""
    for spare in ask(spare_cables).values():
        yield judged(ask.model, spare)


def judged(model: Model, spare: Spare) -> Claim:
    """Return the claim that what takes a cable leaves its spare."""
    mains = listed(spare.beside)
    says = f"what cuts {mains} leaves the spare {spare.cable}"
    shared = {main: shared_ways(model, spare.cable, main) for main in spare.beside}
    record = model.cables[spare.cable]
    if all(shared.values()):
        main, ways = next(iter(shared.items()))
        attribute = ways[0].partition(" ")[0]
        together = listed(list(dict.fromkeys(way for found in shared.values() for way in found)))
        return RULE.broken(
            (spare.cable, *spare.beside),
            says,
            spot=record.at.spot(attribute),
            message=f"{spare.cable}, the spare of {mains}, shares {together} with it: one cut takes both",
            because=[Because(model.cables[main].at.spot(attribute), f"{main} is on {ways[0]} too")],
            fix=f"lay {spare.cable} by another way from another drum, or accept in writing that it is no help against a cut",
        )
    subject = (spare.cable, *spare.beside)
    parted = [main for main, found in shared.items() if not found]
    unsaid = [name for name in (spare.cable, *parted) if not model.cables[name].route]
    if unsaid and not any(told_apart(record, model.cables[main]) for main in parted):
        return RULE.open(
            subject,
            says,
            spot=model.cables[unsaid[0]].at.spot("route"),
            missing=f"the route of {listed(unsaid)} is not written, so nobody can tell whether one cut takes {spare.cable} and {mains}",
            fix=f"write 'route' for {spare.cable} and {mains}",
        )
    return RULE.holds(subject, says)


def told_apart(spare: Cable, main: Cable) -> bool:
    """Return whether two cables that share nothing are written on two routes."""
    return bool(spare.route and main.route)
