"""The hand-offs of audio: devices that are not ours or have a level reference of their own, and what crosses to them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.levels import levels
from tailboard.answers.wiring import wiring
from tailboard.model.records import Device, FoundHouse
from tailboard.model.show import Model, device_of
from tailboard.physics.alignment import clip_difference_db, tone_difference_db
from tailboard.units import Alignment

DIGITAL = frozenset({"digital", "network"})


@dataclass(frozen=True, slots=True)
class Passing:
    """One line or feed that crosses a hand-off.

    name           the line or feed; line: whether it is a line, which comes to us; a feed goes to them.
    difference_db  how much too loud it arrives; a gain that makes up for some of the difference is counted in.
    clips_db       by how much the side that takes it clips before the side that sends it; 0 where it does not.
    own            the reference on our side.
    """

    name: str
    line: bool
    difference_db: float
    clips_db: float
    own: Alignment


@dataclass(slots=True)
class HouseSide:
    """A device on the other side of a hand-off.

    alignment  its reference as the plan says, else as a document of the house does; None: nobody has said.
    houses     what documents of the house say of it.
    passing    the lines and feeds that cross.
    """

    device: Device
    alignment: Alignment | None
    houses: tuple[FoundHouse, ...]
    passing: list[Passing] = field(default_factory=list)


def handoffs(ask: Ask) -> dict[str, HouseSide]:
    """Return the hand-offs by the device on the other side, those alone over which a line or feed goes."""
    model = ask.model
    outer = {name: outside(model, device) for name, device in model.devices.items() if device.owner or device.alignment}
    if not outer:
        return {}
    for name, other, near, digital in crossings(ask):
        if other in outer and near in model.devices and not model.devices[near].owner and near != other:
            add(model, outer[other], name, near, digital=digital)
    return {name: found for name, found in outer.items() if found.passing}


def outside(model: Model, device: Device) -> HouseSide:
    """Return the other side of a hand-off, nothing crossing it yet."""
    houses = tuple(
        house
        for house in model.found.houses.values()
        if house.alignment is not None and device.owner and (not house.devices or device.id in house.devices)
    )
    said = [house.alignment for house in houses]
    return HouseSide(device, device.alignment or next(iter(said), None), houses)


def crossings(ask: Ask) -> Iterator[tuple[str, str, str, bool]]:
    """Yield ('line 8' or 'feed FD4', the device it comes from or goes to, our device, whether it crosses as samples)."""
    model, wires = ask.model, ask(wiring)
    for name, level in ask(levels).items():
        line = model.lines[name]
        hole = line.hole or ""
        digital = level.level == "digital" or (level.taken is not None and level.taken.medium in DIGITAL)
        for other in dict.fromkeys((device_of(line.gear or ""), device_of(level.sender))):
            yield f"line {name}", other, device_of(hole), digital
    for name, feed in model.feeds.items():
        for number, output in enumerate(feed.outputs):
            far = [wires.far_end(cable, output) for cable in wires.at.get(output, ())]
            gear = feed.gear[min(number, len(feed.gear) - 1)] if feed.gear else ""
            ends = [gear, *(end for end in far if end)]
            jacks = [model.port_kind(port) for port in (output, gear) if port]
            digital = any(jack is not None and jack.medium in DIGITAL for jack in jacks)
            for other in dict.fromkeys(map(device_of, ends)):
                yield f"feed {name}", other, device_of(output), digital


def add(model: Model, found: HouseSide, name: str, near: str, *, digital: bool) -> None:
    """Add what crosses a hand-off, with its difference where both references are known."""
    own = model.devices.get(near)
    ours = (own.alignment if own is not None else None) or model.heading.alignment
    word, _, plain = name.partition(" ")
    line = word == "line"
    if any(crossing.name == plain and crossing.line == line for crossing in found.passing):
        return
    difference_db = clips_db = 0.0
    if found.alignment is not None:
        sends, takes = (found.alignment, ours) if line else (ours, found.alignment)
        difference_db = tone_difference_db(sends, takes, digital=digital)
        made_up_db = gain_db(model, plain) if line else 0.0
        if abs(difference_db + made_up_db) < abs(difference_db):
            difference_db += made_up_db
        if not digital:
            clips_db = max(0.0, clip_difference_db(sends, takes) + made_up_db)
    found.passing.append(Passing(plain, line, difference_db, clips_db, ours))


def gain_db(model: Model, line: str) -> float:
    """Return gain and pad of a line, where they are written. [dB]"""
    record = model.lines[line]
    return (record.gain_db or 0.0) + (record.pad_db or 0.0)
