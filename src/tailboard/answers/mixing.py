"""Mixes: what each bus and feed holds, line by line, its minus taken out; sets of labels are bits of whole numbers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.model.records import Bus, Feed
from tailboard.model.show import Model, device_of, jack_of

OSCILLATOR = "OSC"
NONE: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Mix:
    """A bus or a feed.

    name    'bus PGM' or 'feed FD1'; desk: the console that makes it, empty where none is known.
    mask    what is in it: bit n stands for `Mixing.labels[n]`.
    minus   what its own minus names, in it or not.
    """

    name: str
    desk: str
    mask: int
    minus: int
    record: Bus | Feed

    @property
    def members(self) -> tuple[str, ...]:
        """The names it is written with."""
        return self.record.members if isinstance(self.record, Bus) else self.record.mix

    @property
    def attribute(self) -> str:
        """The field its members stand in."""
        return "members" if isinstance(self.record, Bus) else "mix"


@dataclass(frozen=True, slots=True)
class Mixing:
    """All mixes of a show.

    labels  what a mix can hold: 'line 5', 'station S-DIR', 'OSC'; index: the bit of each.
    mixes   by name: 'bus PGM', 'feed FD1'.
    loops   buses that hold one another in a circle, each loop once, its first name first.
    """

    labels: tuple[str, ...]
    index: dict[str, int]
    mixes: dict[str, Mix]
    masks: dict[str, int]
    loops: tuple[tuple[str, ...], ...] = ()
    parts: dict[str, dict[str, int]] = field(default_factory=dict)

    def labels_of(self, mask: int) -> tuple[str, ...]:
        """Return the labels of a set, in the order of the tables."""
        return tuple(self.labels[bit] for bit in bits(mask))

    def names(self, mask: int) -> tuple[str, ...]:
        """Return the user's names of a set: line numbers, stations, OSC."""
        return tuple(plain(self.labels[bit]) for bit in bits(mask))

    def set_of(self, *labels: str) -> int:
        """Return the set of some labels; unknown ones are left out."""
        found = 0
        for label in labels:
            if label in self.index:
                found |= 1 << self.index[label]
        return found

    def routes(self, mix: str, label: str, most: int = 16) -> Iterator[tuple[str, ...]]:
        """Yield the ways of a label into a mix: the mixes it passes, innermost first, `mix` last; at most `most`."""
        bit = 1 << self.index[label]
        found = 0
        stack: list[tuple[str, ...]] = [(mix,)]
        while stack and found < most:
            way = stack.pop()
            current = self.mixes[way[0]]
            if not current.mask & bit:
                continue
            for member in reversed(current.members):
                inner = inner_mix(self.mixes, member)
                if inner is None:
                    if self.masks.get(member, 0) & bit and found < most:
                        found += 1
                        yield way
                elif inner not in way:
                    stack.append((inner, *way))


def plain(label: str) -> str:
    """Return the user's name of a label: 'line 5' -> '5'."""
    return label.removeprefix("line ").removeprefix("station ")


def bits(mask: int) -> Iterator[int]:
    """Yield the numbers of the bits that are set, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def only_console(model: Model) -> str:
    """Return the console of a show that has a single one, else empty."""
    return model.consoles[0] if len(model.consoles) == 1 else ""


def strip_of(model: Model, written: str) -> tuple[str, str]:
    """Return (console, strip) of a written strip; a bare number is of the only console."""
    if jack_of(written):
        return device_of(written), jack_of(written)
    if written in model.devices:
        return written, ""
    return only_console(model), written


def desk_of(model: Model, record: Bus | Feed) -> str:
    """Return the console that makes a bus or feed: its own entry, that of the first bus in it, or the only one."""
    if record.device:
        return record.device
    names = record.mix if isinstance(record, Feed) else NONE
    named = [model.buses[name].device for name in names if name in model.buses]
    return next((device for device in named if device), only_console(model))


def inner_mix(mixes: dict[str, Mix], member: str) -> str | None:
    """Return the mix that a member names, or None where it names a line, a station or the like."""
    return next((name for name in (f"bus {member}", f"feed {member}") if name in mixes), None)


def mixing(ask: Ask) -> Mixing:
    """Return all mixes, each with what it holds."""
    model = ask.model
    labels = [*(f"line {name}" for name in model.lines), *(f"station {name}" for name in model.stations), OSCILLATOR]
    index = {label: number for number, label in enumerate(labels)}
    masks = leaf_masks(model, index)
    records: dict[str, Bus | Feed] = {f"bus {name}": bus for name, bus in model.buses.items() if name not in model.lines}
    records.update({f"feed {name}": feed for name, feed in model.feeds.items() if name not in masks})
    mixes = expanded(model, records, masks)
    return Mixing(tuple(labels), index, mixes, masks, loops_of(mixes))


def leaf_masks(model: Model, index: dict[str, int]) -> dict[str, int]:
    """Return what each name holds that is no mix: a line, a station, a party line, the oscillator."""
    masks: dict[str, int] = {}
    for name, station in model.stations.items():
        for channel in (*station.talk, *station.keys):
            masks[channel] = masks.get(channel, 0) | 1 << index[f"station {name}"]
    for name in (*model.buses, *model.feeds):
        masks.pop(name, None)
    masks.update({name: 1 << index[f"station {name}"] for name in model.stations})
    masks.update({name: 1 << index[f"line {name}"] for name in model.lines})
    return {**masks, OSCILLATOR: 1 << index[OSCILLATOR]}


def expanded(model: Model, records: dict[str, Bus | Feed], masks: dict[str, int]) -> dict[str, Mix]:
    """Return every mix. A mix inside a loop is worked out again until it no longer grows."""
    mixes = {name: Mix(name, desk_of(model, record), 0, 0, record) for name, record in records.items()}
    ordered, looped = inner_first(mixes)
    for name in ordered:
        mixes[name] = worked_out(mixes[name], mixes, masks)
    for _ in looped:  # a set can grow at most once for each mix of a loop
        before = [mixes[name].mask for name in ordered]
        for name in ordered:
            mixes[name] = worked_out(mixes[name], mixes, masks)
        if [mixes[name].mask for name in ordered] == before:
            break
    return mixes


def worked_out(mix: Mix, mixes: dict[str, Mix], masks: dict[str, int]) -> Mix:
    """Return a mix with the sets that its members and its minus stand for now."""

    def union(names: tuple[str, ...]) -> int:
        found = 0
        for name in names:
            inner = inner_mix(mixes, name) if name not in masks else None
            found |= masks.get(name, 0) if inner is None else mixes[inner].mask
        return found

    minus = union(mix.record.minus)
    return Mix(mix.name, mix.desk, union(mix.members) & ~minus, minus, mix.record)


def inner_first(mixes: dict[str, Mix]) -> tuple[list[str], set[str]]:
    """Return the mixes in an order in which what a mix names comes before it, and those that close a loop."""
    ordered: list[str] = []
    state: dict[str, int] = {}  # 1: being visited, 2: done
    looped: set[str] = set()
    for first in mixes:
        stack = [first]
        while stack:
            name = stack[-1]
            if state.get(name, 0) == 0:
                state[name] = 1
                named = (inner_mix(mixes, other) for other in (*mixes[name].members, *mixes[name].record.minus))
                for inner in filter(None, named):
                    if state.get(inner, 0) == 0:
                        stack.append(inner)
                    elif state[inner] == 1:
                        looped.add(inner)
                continue
            stack.pop()
            if state[name] == 1:
                state[name] = 2
                ordered.append(name)
    return ordered, looped


def loops_of(mixes: dict[str, Mix]) -> tuple[tuple[str, ...], ...]:
    """Return the circles of mixes that hold one another, found by walking down from each mix once."""
    found: dict[tuple[str, ...], None] = {}
    done: set[str] = set()
    for first in mixes:
        way: list[str] = []
        walkers = [iter([first])]
        while walkers:
            name = next(walkers[-1], None)
            if name is None:
                walkers.pop()
                if way:
                    done.add(way.pop())
            elif name in way:
                circle = way[way.index(name) :]
                least = circle.index(min(circle))
                found[tuple(circle[least:] + circle[:least])] = None
            elif name not in done:
                way.append(name)
                inner = (inner_mix(mixes, member) for member in mixes[name].members)
                walkers.append(iter([other for other in inner if other is not None]))
    return tuple(found)
