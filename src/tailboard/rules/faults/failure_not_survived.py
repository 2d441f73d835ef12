"""A failure takes what the show must not lose.

What it finds: a requirement with `keeps` and `survives`, and a thing under `survives` that takes one of the lines, feeds
or stations under `keeps` when it fails alone. A line is kept as long as one of its reserves goes on. A place under `keeps`
stands for all talk there: its stations, and the interrupts of its feeds; its own loss of power does not count.
Why it matters: what must go on is known before the show, and who accepts that it does not is asked then, not on air.
Example: `keeps: BP5, survives: every place`: without power at BP3 the stations at BP5 are lost, for their switch hangs on
the one at BP3.
Fix: bring it by another way, give it a reserve, or have somebody accept the loss in writing.
Does not find: two things that fail at once; what nobody wrote under `keeps`. See `fails` for everything a failure takes.
Source: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.fault_things import SORTS, spot_of, titled
from tailboard.answers.faults import Faults, faults
from tailboard.answers.signal_ears import natural
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Requirement
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest
from tailboard.text.ranges import compress
from tailboard.units.wording import listed

RULE = Rule("failure-not-survived", "faults", Severity.WARNING, __doc__)
EVERY = "every "
Kept = list[tuple[str, tuple[str, ...]]]  # what must go on, and the items of which one is enough


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a requirement and thing that may fail; names that nothing bears are open claims."""
    for requirement in ask.model.requirements.values():
        if requirement.survives or requirement.keeps:
            yield from of_requirement(ask, requirement)


def of_requirement(ask: Ask, requirement: Requirement) -> Iterator[Claim]:
    """Yield the claims of one requirement."""
    found = ask(faults)
    for attribute, written in (("keeps", requirement.keeps), ("survives", requirement.survives)):
        if not written:
            yield unsaid(requirement, attribute)
    kept = {name: kept_by(ask.model, found, name) for name in requirement.keeps}
    for name, entries in kept.items():
        if not entries:
            known = [item.partition(" ")[2] or item for item in (*found.needs.items, *ask.model.places)]
            yield unknown(requirement, "keeps", name, known)
    chosen = {name: things_named(found, name) for name in (requirement.survives if requirement.keeps else ())}
    for name, things in chosen.items():
        if not things:
            yield unknown(requirement, "survives", name, found.known_names())
    tried = dict.fromkeys(thing for things in chosen.values() for thing in things)
    bare = Counter(thing.partition(" ")[2] for thing in tried)
    for thing in tried:
        name = thing.partition(" ")[2]
        yield judged(ask, (requirement, name if bare[name] == 1 else thing), thing, kept)


def things_named(found: Faults, name: str) -> tuple[str, ...]:
    """Return the things that a name under `survives` stands for."""
    sort = name.removeprefix(EVERY)
    if name.startswith(EVERY) and sort in SORTS:
        return tuple(thing for thing in found.things.takes if thing.startswith(f"{sort} "))
    return found.named(name)


def kept_by(model: Model, found: Faults, name: str) -> Kept:
    """Return what a name under `keeps` stands for."""
    if name in model.lines:
        reserves = (f"line {other}" for other in model.lines[name].reserve if other in model.lines)
        return [(f"line {name}", (f"line {name}", *reserves))]
    for sort, table in (("feed", model.feeds), ("station", model.stations)):
        if name in table:
            return [(f"{sort} {name}", (f"{sort} {name}",))]
    return talk_at(model, found, name) if name in model.places else []


def talk_at(model: Model, found: Faults, place: str) -> Kept:
    """Return the talk at a place: its stations, and for each feed that can be interrupted those who interrupt it."""
    kept: Kept = [(f"station {name}", (f"station {name}",)) for name, s in model.stations.items() if s.place == place]
    by_feed: dict[str, list[str]] = {}
    for item in found.needs.items:
        if item.startswith("talk "):
            by_feed.setdefault(item.rpartition(" to ")[2], []).append(item)
    kept += [(f"talk into {name}", tuple(by_feed[name])) for name, feed in model.feeds.items()
             if feed.place == place and name in by_feed]  # fmt: skip
    return kept or [(f"talk at {place}", ())]


def judged(ask: Ask, about: tuple[Requirement, str], thing: str, kept: dict[str, Kept]) -> Claim:
    """Return the claim that what must go on does so without one thing; `about` names the two in the claim."""
    requirement, title = about
    model, found = ask.model, ask(faults)
    lost, bit = found.lost(thing), found.needs.bit
    own = thing.removeprefix("place ") if thing.startswith("place ") else ""
    entries = [entry for name, listing in kept.items() if name != own for entry in listing]
    gone = [what for what, items in entries if items and all(lost & bit[item] for item in items)]
    subject = (requirement.id, title)
    without = f"without {titled(thing)}"
    says = f"{without} all that {requirement.id} keeps goes on"
    if not gone:
        return RULE.holds(subject, says)
    spot = spot_of(model, thing)
    taken = (key.partition(" ") for key in found.things.takes.get(thing, ()) if key != thing)
    takes = sorted((name for sort, _, name in taken if sort in {"device", "cable"}), key=natural)
    because = [Because(spot, f"{without} go {listed(takes)}" if takes else f"{titled(thing)} fails")] if spot else []
    return RULE.broken(
        subject,
        says,
        spot=requirement.at.spot("survives"),
        message=f"{without} the show loses what {requirement.id} must keep: {worded(gone)}",
        because=because,
        fix="bring it by another way, give it a reserve, or accept in writing that it is lost",
        lines=[what.removeprefix("line ") for what in gone if what.startswith("line ")],
        feeds=[what.rpartition(" ")[2] for what in gone if what.startswith(("feed ", "talk into "))],
    )


def worded(gone: list[str]) -> str:
    """Return what is lost in words: 'stations BPK-4 and BPK-6, talk into IFB4..6'."""
    by_sort: dict[str, list[str]] = {}
    for title in gone:
        sort, _, name = title.rpartition(" ")
        by_sort.setdefault(sort, []).append(name)
    parts = [f"{plural(sort, len(names))} {compress(sorted(names, key=natural))}" for sort, names in by_sort.items()]
    return "; ".join(parts)


def plural(sort: str, count: int) -> str:
    """Return 'station' or 'stations'; talk stays as it is."""
    return sort if count == 1 or sort.startswith("talk") else f"{sort}s"


def unsaid(requirement: Requirement, attribute: str) -> Claim:
    """Return the open claim of a requirement that says only one of what must go on and what may fail."""
    other = "keeps" if attribute == "survives" else "survives"
    return RULE.open(
        (requirement.id, attribute),
        f"{requirement.id} says what must go on and what may fail",
        spot=requirement.at.spot(other),
        missing=f"{requirement.id} has '{other}' and no '{attribute}', so nothing can be said of it",
        fix=f"write '{attribute}' at {requirement.id}",
    )


def unknown(requirement: Requirement, attribute: str, name: str, known: list[str] | tuple[str, ...]) -> Claim:
    """Return the open claim of a name that nothing bears."""
    near = nearest(name, known)
    meant = f"; did you mean '{near}'?" if near else ""
    return RULE.open(
        (requirement.id, name),
        f"{requirement.id} names what is in the plan",
        spot=requirement.at.spot(attribute),
        missing=f"{requirement.id} names '{name}' under {attribute}, and nothing here is called so{meant}",
        fix=f"write '{near}'" if near else "write a name that stands in the plan",
    )
