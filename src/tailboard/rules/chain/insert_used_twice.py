"""A device is the insert of more lines and mixes than it has ways through.

What it finds: a device under `insert` of more lines and mixes than its kind has analogue or digital inputs, a mono line or
mix counting one and a stereo mix two; where the kind lists no inputs, more than one line or mix.
Why it matters: it is found when the second one is plugged in, and two sounds in one device come out as one.
Example: EQ-1, a kind with the jacks `in1` and `out1`, is the insert of lines 5 and 6.
Fix: take the device out of one of them, or use a second one.
Does not find: an insert that is not plugged in; what the insert does to the level: it is taken to give back what it gets.
Source: counting; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Bus, Line
from tailboard.model.show import Model
from tailboard.units.wording import counted, listed

RULE = Rule("insert-used-twice", "chain", Severity.ERROR, __doc__)
SOUND = frozenset({"analogue", "digital"})  # media of jacks that sound goes through


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device that is an insert."""
    model = ask.model
    users: dict[str, list[Line | Bus]] = {}
    for record in records_of(model):
        for device in dict.fromkeys(record.inserts):
            if device in model.devices:
                users.setdefault(device, []).append(record)
    for device, records in users.items():
        yield judged(model, device, records)


def records_of(model: Model) -> list[Line | Bus]:
    """Return what can have inserts."""
    return [*model.lines.values(), *model.buses.values()]


def judged(model: Model, device: str, records: list[Line | Bus]) -> Claim:
    """Return the claim of one device."""
    says = f"{device} has a way through for all that it is the insert of"
    ways = ways_through(model, device)
    used = sum(2 if isinstance(record, Bus) and record.width == "stereo" else 1 for record in records)
    if used <= ways or (len(records) == 1 and not listed_inputs(model, device)):
        return RULE.holds(device, says)
    names = listed([f"line {one.id}" if isinstance(one, Line) else f"bus {one.id}" for one in records])
    return RULE.broken(
        device,
        says,
        spot=records[-1].at.spot("inserts"),
        message=f"{device} is the insert of {names}, which is {counted(used, 'channel')}; it has {counted(ways, 'way')} through",
        because=[
            *(Because(one.at.spot("inserts"), f"{one.id}: insert {device}") for one in records),
            Because(model.devices[device].at.spot("kind"), f"{device} is a {model.devices[device].kind}"),
        ],
        fix=f"take {device} out of one of them, or use a second one",
        rests_on=[f"device {device}"],
        lines=[one.id for one in records if isinstance(one, Line)],
    )


def listed_inputs(model: Model, device: str) -> list[str]:
    """Return the jacks by which sound enters a device."""
    ports = model.kind_of(device).ports or {}
    return [name for name, port in ports.items() if port.way == "in" and port.medium in SOUND]


def ways_through(model: Model, device: str) -> int:
    """Return how many channels a device takes; one where its kind lists no inputs."""
    return len(listed_inputs(model, device)) or 1
