"""Edits of buses, feeds and streams."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from edits_auto.edit import Case, Change, change, drop, makes
from edits_auto.reasons import some
from tailboard.model.records import Feed
from tailboard.model.show import device_of

Made = Iterator[tuple[str, list[Change], list[str]]]


@makes("drop a member of a bus", "hearing chain")
def member_out(case: Case) -> Made:
    for name, bus in case.model.buses.items():
        for member in some(bus.members):
            left = tuple(other for other in bus.members if other != member)
            if left:
                yield f"{member} of {name}", [change("buses", name, members=left)], [name, member]


@makes("put what is never on air into the programme", "hearing chain")
def never_in(case: Case) -> Made:
    hidden = [name for name, line in case.model.lines.items() if silent(case, name) and not line.spare]
    for name, bus in case.model.buses.items():
        if bus.on_air:
            for line in hidden[:6]:
                yield f"{line} in {name}", [change("buses", name, members=(*bus.members, line))], [name, line]


def silent(case: Case, line: str) -> bool:
    """Return whether a line is in no bus."""
    return not any(line in bus.members for bus in case.model.buses.values())


@makes("put a bus into itself by way of another", "hearing")
def bus_loop(case: Case) -> Made:
    for name, bus in case.model.buses.items():
        for member in bus.members:
            if member in case.model.buses:
                inner = case.model.buses[member]
                yield f"{name} in {member}", [change("buses", member, members=(*inner.members, name))], [name, member]


@makes("drop the minus of a bus", "hearing")
def bus_minus(case: Case) -> Made:
    for name, bus in case.model.buses.items():
        if bus.minus:
            yield name, [change("buses", name, minus=())], [name, *bus.minus]


@makes("drop a bus", "reading hearing chain")
def bus_gone(case: Case) -> Made:
    for name in case.model.buses:
        yield name, [drop("buses", name)], [name]


@makes("drop the minus of a feed", "hearing")
def minus_gone(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        if feed.minus:
            yield name, [change("feeds", name, minus=())], [name, *feed.minus]


@makes("drop one name of a minus", "hearing chain")
def minus_less(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        for member in some(feed.minus):
            left = tuple(other for other in feed.minus if other != member)
            yield f"{member} of {name}", [change("feeds", name, minus=left)], [name, member]


@makes("give a feed another mix", "hearing")
def other_mix(case: Case) -> Made:
    buses = list(case.model.buses)
    for name, feed in case.model.feeds.items():
        if len(feed.mix) == 1 and feed.mix[0] in buses:
            for step in (1, len(buses) // 2):
                other = buses[(buses.index(feed.mix[0]) + step) % len(buses)]
                yield f"{other} to {name}", [change("feeds", name, mix=(other,))], [name, other, *case.hearers(name)]


@makes("add a line to a mix", "hearing chain")
def mix_more(case: Case) -> Made:
    hidden = [name for name in case.model.lines if silent(case, name)]
    for name, feed in case.model.feeds.items():
        for line in hidden[:2]:
            yield f"{line} in {name}", [change("feeds", name, mix=(*feed.mix, line))], [name, line]


@makes("put the listener's own voice into his feed", "hearing")
def own_in(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        if feed.own:
            left = tuple(line for line in feed.minus if line not in feed.own)
            changed = change("feeds", name, mix=(*feed.mix, *feed.own), minus=left)
            yield name, [changed], [name, *feed.own]


@makes("swap the outputs of two feeds", "chain hearing")
def outputs_swapped(case: Case) -> Made:
    for one, mine, other, its in in_turn(case):
        swap = [change("feeds", one, outputs=its.outputs), change("feeds", other, outputs=mine.outputs)]
        yield f"{one} and {other}", swap, [one, other]


def in_turn(case: Case) -> Iterator[tuple[str, Feed, str, Feed]]:
    """Yield feeds that follow one another and leave by the same device."""
    held = [(name, feed) for name, feed in case.model.feeds.items() if feed.outputs]
    for (one, mine), (other, its) in itertools.pairwise(held):
        if device_of(mine.outputs[0]) == device_of(its.outputs[0]) and mine.outputs != its.outputs:
            yield one, mine, other, its


@makes("give two feeds one output", "chain")
def output_twice(case: Case) -> Made:
    for one, mine, other, _ in in_turn(case):
        yield f"{other} at {mine.outputs[0]}", [change("feeds", other, outputs=mine.outputs)], [one, other]


@makes("forget the output of a feed", "chain")
def no_output(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        yield name, [change("feeds", name, outputs=())], [name, *feed.outputs]


@makes("move a feed to a free output", "chain")
def output_moved(case: Case) -> Made:
    taken = {output for feed in case.model.feeds.values() for output in feed.outputs}
    for name, feed in case.model.feeds.items():
        if len(feed.outputs) == 1 and "/o" in feed.outputs[0]:
            box = device_of(feed.outputs[0])
            jacks = [jack for jack in case.model.kind_of(box).ports or {} if jack.startswith("o")]
            free = next((f"{box}/{jack}" for jack in jacks if f"{box}/{jack}" not in taken), None)
            if free:
                yield f"{name} to {free}", [change("feeds", name, outputs=(free,))], [name, free, *feed.outputs]


@makes("drop a feed", "chain hearing reading")
def feed_gone(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        yield name, [drop("feeds", name)], [name, *feed.outputs, *case.hearers(name)]


@makes("give a feed to other gear", "chain hearing")
def gear_changed(case: Case) -> Made:
    geared = [
        (name, feed.gear) for name, feed in case.model.feeds.items() if feed.gear and "/o" in "".join(feed.outputs)
    ]
    for (name, own), (_, other) in zip(geared, [*geared[1:], geared[0]], strict=True):
        yield f"{name} to {other[0]}", [change("feeds", name, gear=other)], [name, *own, *other]


@makes("drop who may interrupt", "hearing chain")
def no_interrupt(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        if feed.interrupts:
            yield name, [change("feeds", name, interrupts=())], [name, *feed.interrupts]


@makes("let somebody else interrupt", "hearing chain")
def interrupts_wrong(case: Case) -> Made:
    stations = list(case.model.stations)
    for name, feed in case.model.feeds.items():
        other = next(station for station in reversed(stations) if station not in feed.interrupts)
        yield f"{other} into {name}", [change("feeds", name, interrupts=(*feed.interrupts, other))], [name, other]


@makes("leave out the matrix on the way of a feed", "chain hearing")
def no_via(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        if feed.via:
            yield name, [change("feeds", name, via=None, bed=None)], [name]


@makes("drop a listener's own voice from the list", "hearing")
def own_unsaid(case: Case) -> Made:
    for name, feed in case.model.feeds.items():
        if feed.own:
            yield name, [change("feeds", name, own=())], [name]


@makes("forget a feed's listener", "chain")
def no_listener(case: Case) -> Made:
    for name in case.model.feeds:
        yield name, [change("feeds", name, listener="", gear=())], [name]


@makes("give two feeds one label", "chain")
def feed_label_twice(case: Case) -> Made:
    names = list(case.model.feeds)
    for one, other in itertools.pairwise(names):
        label = case.model.feeds[one].label
        yield f"{other} as {one}", [change("feeds", other, label=label)], [one, other]


@makes("delete a stream", "chain hearing reading")
def stream_gone(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        lists = [*stream.feeds, *(f"{stream.sender}/{channel}" for channel in stream.channels)]
        yield name, [drop("streams", name)], [name, stream.sender, *lists, *(stream.receivers or {})]


@makes("take a receiver off a stream", "chain hearing")
def receiver_off(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        if len(stream.receivers or {}) > 1:
            for receiver in stream.receivers or {}:
                left = {other: channels for other, channels in (stream.receivers or {}).items() if other != receiver}
                yield f"{receiver} off {name}", [change("streams", name, receivers=left)], [name, receiver]


@makes("shift the channels of a stream", "chain hearing")
def channels_shifted(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        if stream.channels and all(channel.isdigit() for channel in stream.channels):
            channels = tuple(str(int(channel) + 1) for channel in stream.channels)
            yield name, [change("streams", name, channels=channels)], [name, stream.sender]


@makes("shift where a stream enters a receiver", "chain hearing")
def receivers_shifted(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        for receiver, channels in (stream.receivers or {}).items():
            if channels and all(channel.isdigit() for channel in channels):
                moved = {**(stream.receivers or {}), receiver: tuple(str(int(channel) + 1) for channel in channels)}
                yield f"{name} at {receiver}", [change("streams", name, receivers=moved)], [name, receiver]


@makes("leave a feed out of its stream", "chain")
def stream_less(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        if len(stream.feeds) > 1:
            yield (
                f"{stream.feeds[-1]} of {name}",
                [change("streams", name, feeds=stream.feeds[:-1])],
                [name, stream.feeds[-1]],
            )


@makes("run a stream at another rate", "clock")
def stream_rate(case: Case) -> Made:
    for name in case.model.streams:
        yield name, [change("streams", name, rate_hz=96_000.0)], [name]


@makes("run a stream in another VLAN", "chain network clock")
def stream_vlan(case: Case) -> Made:
    for name, stream in case.model.streams.items():
        other = "MGMT" if stream.vlan != "MGMT" else "INET"
        yield name, [change("streams", name, vlan=other)], [name]


@makes("give two streams one group", "network")
def group_twice(case: Case) -> Made:
    grouped = [(name, stream.group) for name, stream in case.model.streams.items() if stream.group]
    for (one, group), (other, _) in itertools.pairwise(grouped):
        yield f"{other} as {one}", [change("streams", other, group=group)], [one, other]
