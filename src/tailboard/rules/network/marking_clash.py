"""What a device sends is marked so that the switches let it go in the wrong order.

What it finds: audio that bears the number of somebody's clock; clock behind audio; pictures and other traffic before
audio or in one queue with it; audio that the show's order of classes (`priority`) leaves with the rest. Speaks only of
markings that are written: at a stream, a device, its clock or a VLAN.
Why it matters: all is well while the network is idle; when cameras or file copies run, audio clicks and clocks wander.
Example: one system marks its clock 56 and its audio 46, the other its clock 46 and its audio 34.
Fix: mark alike: clock above audio, audio above all else, one number for one class; then check that the trunks trust it.
Does not find: a switch that does not trust the marking or maps it otherwise; a marking that nobody wrote.
Source: the order of the numbers by their upper three bits, RFC 8325 section 2.3; clock 46, audio 34, rest 0 are AES67's
(from memory); one number for one class is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.flows import flows
from tailboard.answers.flows_records import AUDIO
from tailboard.answers.marking import OTHER_DSCP, Stated, clock_marking_stated, marking_stated, place
from tailboard.answers.network import network
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.show import Model

RULE = Rule("marking-clash", "network", Severity.WARNING, __doc__)


@dataclass(frozen=True, slots=True)
class Marking:
    """A number that is stated for something: 'audio of SB-1'."""

    words: str
    number: int
    place: int
    spot: Spot


@dataclass(slots=True)
class Markings:
    """What is stated for one sender, or for all; a number stands once, with the first who has it."""

    clock: dict[int, Marking] = field(default_factory=dict)
    audio: dict[int, Marking] = field(default_factory=dict)
    other: dict[int, Marking] = field(default_factory=dict)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device for which a marking is stated."""
    everyone, by_device = stated(ask)
    lowest = max(everyone.audio.values(), key=lambda mark: mark.place, default=None)
    highest = min(everyone.audio.values(), key=lambda mark: mark.place, default=None)
    for device, marks in by_device.items():
        says = f"what {device} sends is marked in the right order: clock, audio, the rest"
        fault = next(faults(ask.model, marks, everyone, highest, lowest), None)
        if fault is None:
            yield RULE.holds(device, says)
            continue
        own, words, other = fault
        yield RULE.broken(
            device,
            says,
            spot=own.spot,
            message=words,
            because=[Because(other.spot, f"{other.words} is marked {other.number}")] if other else (),
            fix=f"give {own.words} another number, so that clock goes before audio and audio before the rest",
        )


def faults(
    model: Model, marks: Markings, everyone: Markings, highest: Marking | None, lowest: Marking | None
) -> Iterator[tuple[Marking, str, Marking | None]]:
    """Yield what is wrong with the markings of one device: its own, in words, the one it clashes with."""
    for own in marks.audio.values():
        clock = everyone.clock.get(own.number)
        if clock is not None:
            yield own, f"{own.words} is marked {own.number}, the number of {clock.words}", clock
        if model.heading.priority and own.place >= place(model, OTHER_DSCP):
            yield own, f"{own.words} is marked {own.number}, which the order of the show leaves with the rest", None
    for own in marks.clock.values():
        if highest is not None and own.place > highest.place:
            yield own, f"{own.words} is marked {own.number} and waits behind {highest.words}, {highest.number}", highest
    for own in marks.other.values():
        if lowest is not None and own.place <= lowest.place:
            how = "waits with" if own.place == lowest.place else "goes before"
            yield own, f"{own.words} is marked {own.number} and {how} {lowest.words}, {lowest.number}", lowest


def stated(ask: Ask) -> tuple[Markings, dict[str, Markings]]:
    """Return every marking that is written: of all devices together, and of each sender."""
    model, net = ask.model, ask(network)
    everyone = Markings()
    by_device: dict[str, Markings] = {}

    def put(device: str, feature: str, words: str, found: Stated | None) -> None:
        if found is None:
            return
        dscp, record, attribute = found
        mark = Marking(words, dscp, place(model, dscp), record.at.spot(attribute))
        for marks in (by_device.setdefault(device, Markings()), everyone):
            getattr(marks, feature).setdefault(dscp, mark)

    for flow in ask(flows).all:
        feature = "audio" if flow.feature == AUDIO else "other"
        words = f"{feature if feature == 'audio' else 'the traffic'} of {flow.sender}"
        put(flow.sender, feature, words, marking_stated(model, flow.sender, flow.vlan, model.streams.get(flow.stream)))
    for name, device in model.devices.items():
        if device.clock is not None:
            for vlan in net.vlans_of_device(name) or ("",):
                put(name, "clock", f"the clock of {name}", clock_marking_stated(model, name, vlan))
    return everyone, by_device
