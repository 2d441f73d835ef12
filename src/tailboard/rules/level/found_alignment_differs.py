"""The house says another level reference than the plan has for its gear.

What it finds: the alignment in a document under found/ against the alignment of the devices of others in the plan;
two documents of the house that say different ones where the plan says none; a document that speaks of a device that is
not there.
Why it matters: the line-up is done by one of the two, and everything that crosses is off by the difference.
Example: found/facility-audio.yaml says -20 dBFS = +4 dBu, and show.yaml has -18 dBFS = 0 dBu for HD-1.
Fix: ask the house's audio which is right, and correct the alignment in show.yaml, or read the document again.
Does not find: what the house has not written.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.handoffs import HouseSide, handoffs
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundHouse
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest

RULE = Rule("found-alignment-differs", "level", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a hand-off of whose level reference a document of the house speaks, and one a device it misnames."""
    for letter in ask.model.found.houses.values():
        for name in letter.devices:
            if ask.model.devices and name not in ask.model.devices:
                yield misnamed(ask.model, letter, name)
    for name, found in ask(handoffs).items():
        if not found.houses:
            continue
        says = f"the plan has the level reference of {name} as the house says it"
        other = next((letter for letter in found.houses if letter.alignment != found.alignment), None)
        evidence = [Because(letter.at.spot("alignment"), said(letter)) for letter in found.houses]
        yield RULE.holds(name, says, evidence=evidence) if other is None else broken(found, other, says)


def broken(found: HouseSide, letter: FoundHouse, says: str) -> Claim:
    """Return the claim of a hand-off of which a document says otherwise."""
    device = found.device
    if device.alignment is not None:
        planned = f"{device.id} has {device.alignment} in the plan"
        because = [Because(device.at.spot("alignment"), planned)]
    else:
        planned = said(found.houses[0])
        because = [Because(found.houses[0].at.spot("alignment"), planned)]
    return RULE.broken(
        device.id,
        says,
        spot=letter.at.spot("alignment"),
        message=f"{said(letter)} for {device.id}; {planned}",
        because=because,
        fix=f"ask {device.owner} which is right, and correct alignment of {device.id} in {device.at.spot().file}, or the document",
    )


def misnamed(model: Model, letter: FoundHouse, name: str) -> Claim:
    """Return the claim of a device that a document names and nobody knows."""
    near = nearest(name, model.devices)
    return RULE.broken(
        name,
        f"{name}, of which {letter.id} speaks, is in the plan",
        spot=letter.at.spot("devices"),
        message=f"{said(letter)} for {name}, and there is no {name}{f'; did you mean {near}?' if near else ''}",
        fix=f"write {near} instead of {name}" if near else f"add {name} under devices, or correct the name",
    )


def said(letter: FoundHouse) -> str:
    """Return what a document says, with who and when."""
    when = f" on {letter.on}" if letter.on else ""
    return f"{letter.by or letter.id}{when} says {letter.alignment}"
