"""A line and its reserve run by different cables on one drum or one route.

What it finds: cables of a line's chain and of its reserve's chain that lie on one drum or one route, where the cables
themselves are two.
Why it matters: what cuts the one cuts the other at the moment of need.
Example: lines 6 and 7 end in two boxes, but the strands of the boxes, `F-01` and `F-11`, both come from drum `D-1`.
Fix: bring the reserve by another route, or have somebody accept in writing what the two share.
Does not find: a cable or device that both need, see reserve-shares-failure; cables of which no drum or route is written.
Source: a reserve runs by another way, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.paths import chains
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("reserve-shares-route", "faults", Severity.WARNING, __doc__)
Ways = dict[str, str]  # 'drum D-1': the first cable on it


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line and reserve whose own cables say how they run."""
    model = ask.model
    if not any(cable.drum or cable.route for cable in model.cables.values()):
        return
    found = ask(chains).of_line
    for line in model.lines.values():
        for name in line.reserve:
            if name in model.lines and name != line.id:
                both = found[line.id].depends & found[name].depends
                own = ways_of(model, found[line.id].depends - both)
                other = ways_of(model, found[name].depends - both)
                if own and other:
                    yield judged(model, line, model.lines[name], (own, other))


def ways_of(model: Model, keys: frozenset[str]) -> Ways:
    """Return the drums and routes of the cables among some keys, each with the first cable on it."""
    found: Ways = {}
    for name in sorted(key.removeprefix("cable ") for key in keys if key.startswith("cable ")):
        cable = model.cables.get(name)
        for way in (f"drum {cable.drum}", f"route {cable.route}") if cable else ():
            if not way.endswith(" "):
                found.setdefault(way, name)
    return found


def judged(model: Model, line: Line, reserve: Line, ways: tuple[Ways, Ways]) -> Claim:
    """Return the claim that a line and its reserve run by different ways."""
    own, other = ways
    subject = (line.id, reserve.id)
    says = f"line {reserve.id} runs by other drums and routes than line {line.id}"
    shared = [way for way in own if way in other]
    if not shared:
        return RULE.holds(subject, says)
    way = shared[0]
    attribute = way.partition(" ")[0]
    return RULE.broken(
        subject,
        says,
        spot=model.cables[other[way]].at.spot(attribute),
        message=f"line {reserve.id}, the reserve of line {line.id}, shares {listed(shared)} with it: "
        f"{other[way]} of line {reserve.id} and {own[way]} of line {line.id}",
        because=[
            Because(model.cables[own[way]].at.spot(attribute), f"{own[way]} is on {way}"),
            Because(line.at.spot("reserve"), f"line {reserve.id} is the reserve of line {line.id}"),
        ],
        fix=f"bring line {reserve.id} by another way than {way}, or accept in writing what the two share",
        lines=subject,
    )
