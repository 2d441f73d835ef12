"""Mixes: what each bus and feed holds, line by line, its minus taken out; sets of labels are bits of whole numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.knots import knots
from tailboard.model.records import Bus, Feed, LineSet
from tailboard.model.show import Model, device_of, jack_of

OSCILLATOR = "OSC"
NONE: tuple[str, ...] = ()
NO_CIRCLE: frozenset[str | None] = frozenset()
Mixed = Bus | Feed | LineSet


@dataclass(frozen=True, slots=True)
class Mix:
    """A bus, a feed, or a set of lines, which is no mix but is named like one.

    name    'bus PGM', 'feed FD1' or 'set NEVER'; desk: the console that makes it, empty where none is known.
    mask    what is in it: bit n stands for `Mixing.labels[n]`; minus: what its own minus names, in it or not.
    cue     what is heard in a feed on cue only.
    """

    name: str
    desk: str
    mask: int
    minus: int
    record: Mixed
    cue: int = 0

    @property
    def members(self) -> tuple[str, ...]:
        """The names it is written with."""
        return members_of(self.record)

    @property
    def attribute(self) -> str:
        """The field its members stand in."""
        return "mix" if isinstance(self.record, Feed) else "lines" if isinstance(self.record, LineSet) else "members"


@dataclass(frozen=True, slots=True)
class Mixing:
    """All mixes of a show.

    labels  what a mix can hold: 'line 5', 'station S-DIR', 'OSC'; index: the bit of each; units: the set of each alone.
    mixes   by name: 'bus PGM', 'feed FD1'.
    masks   what each name holds that is no mix; inner: the mix that a name stands for.
    loops   buses that hold, or take out, one another in a circle, each loop once, its first name first.
    short   (mix, label): the shortest route, once it was asked for.
    """

    labels: tuple[str, ...]
    index: dict[str, int]
    units: tuple[int, ...]
    mixes: dict[str, Mix]
    masks: dict[str, int]
    inner: dict[str, str]
    loops: tuple[tuple[str, ...], ...] = ()
    short: dict[tuple[str, str], tuple[str, ...]] = field(init=False, default_factory=dict, compare=False)

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

    def shortest(self, mix: str, label: str) -> tuple[str, ...]:
        """Return the shortest of the ways of a label into a mix; the mix must hold it."""
        known = self.short.get((mix, label))
        if known is None:
            known = self.short[mix, label] = min(self.routes(mix, label), key=len)
        return known

    def routes(self, mix: str, label: str, most: int = 16) -> Iterator[tuple[str, ...]]:
        """Yield the ways of a label into a mix: the mixes it passes, innermost first, `mix` last; at most `most`."""
        bit = 1 << self.index[label]
        found = 0
        stack: list[tuple[str, ...]] = [(mix,)]
        while stack and found < most:
            way = stack.pop()
            current = self.mixes[way[0]]
            outermost = len(way) == 1
            if not (current.mask | current.cue if outermost else current.mask) & bit:
                continue
            for member in reversed(named_on(current) if outermost else current.members):
                inner = self.inner.get(member)
                if inner is None:
                    if self.masks.get(member, 0) & bit and found < most:
                        found += 1
                        yield way
                elif inner not in way:
                    stack.append((inner, *way))


def named_on(mix: Mix) -> tuple[str, ...]:
    """Return the names of what is in a mix, that on cue last."""
    return (*mix.members, *mix.record.cues) if isinstance(mix.record, Feed) else mix.members


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


def label_of(model: Model, station: str) -> str:
    """Return the label of a station's talk: that of the line it comes in by, where it is no panel or pack."""
    line = model.stations[station].line
    return f"line {line}" if line in model.lines else f"station {station}"


def desk_of(model: Model, record: Mixed) -> str:
    """Return the console that makes a bus or feed: its own entry, that of the first bus in it, or the only one."""
    if isinstance(record, LineSet):
        return ""
    if record.device:
        return record.device
    names = record.mix if isinstance(record, Feed) else NONE
    heads = model.bus_heads
    named = [heads[name][0] for name in names if name in heads]
    return next((device for device in named if device), only_console(model))


def taken_singly(ask: Ask) -> dict[str, tuple[str, ...]]:
    """Return for each feed that may leave by a stream past every desk the labels in it: a box's channels, taken singly."""
    model, found = ask.model, ask(mixing)

    def is_passing(output: str) -> bool:
        stream = model.streams.get(output)
        return "/" not in output and not (stream is not None and model.kind_of(stream.sender).mixes)

    feeds = (name for name, feed in model.feeds.items() if any(map(is_passing, feed.outputs)))
    return {name: found.labels_of(found.mixes[f"feed {name}"].mask) for name in feeds if f"feed {name}" in found.mixes}


def inner_mix(mixes: dict[str, Mix], member: str) -> str | None:
    """Return the mix that a member names, or None where it names a line, a station or the like."""
    return next((name for name in (f"bus {member}", f"feed {member}", f"set {member}") if name in mixes), None)


def mixing(ask: Ask) -> Mixing:
    """Return all mixes, each with what it holds."""
    model = ask.model
    labels = [*(f"line {name}" for name in model.lines), *(f"station {name}" for name in model.stations), OSCILLATOR]
    index = {label: number for number, label in enumerate(labels)}
    units = tuple(1 << number for number in range(len(labels)))
    masks = leaf_masks(model, {label: units[number] for label, number in index.items()})
    records: dict[str, Mixed] = {f"bus {name}": bus for name, bus in model.buses.items() if name not in masks}
    records.update({f"feed {name}": feed for name, feed in model.feeds.items() if name not in masks})
    records.update({f"set {name}": lines for name, lines in model.sets.items() if name not in masks})
    inner = {name.partition(" ")[2]: name for name in reversed(records)}  # of one name the bus counts, then the feed
    below = {name: below_mix(record, inner) for name, record in records.items()}
    ordered, looped = inner_first(below)
    circles = circles_of(below) if looped else {}
    mixes = expanded(model, records, Sums(masks, inner), ordered, circles)
    return Mixing(tuple(labels), index, units, mixes, masks, inner, loops_of(below) if looped else ())


def leaf_masks(model: Model, unit: dict[str, int]) -> dict[str, int]:
    """Return what each name holds that is no mix: a line, a station, a party line, the oscillator."""
    masks: dict[str, int] = {}
    for name, station in model.stations.items():
        for channel in (*station.talk, *station.keys):
            masks[channel] = masks.get(channel, 0) | unit[label_of(model, name)]
    for name in (*model.buses, *model.feeds, *model.sets):
        masks.pop(name, None)
    masks.update({name: unit[label_of(model, name)] for name in model.stations})
    masks.update({name: unit[f"line {name}"] for name in model.lines})
    return {**masks, OSCILLATOR: unit[OSCILLATOR]}


@dataclass(frozen=True, slots=True)
class Sums:
    """What names hold together, while the mixes are worked out one by one.

    masks  leaf: what it holds; inner: the mix that a name stands for; mixes: what each mix holds so far.
    """

    masks: dict[str, int]
    inner: dict[str, str]
    mixes: dict[str, int] = field(default_factory=dict)

    def of(self, names: Iterable[str]) -> int:
        """Return what some names hold."""
        found = 0
        for name in names:
            mix = self.inner.get(name)
            held = self.masks.get(name, 0) if mix is None else self.mixes.get(mix, 0)
            found = found | held if found else held  # a set alone is shared, not copied
        return found


def expanded(
    model: Model, records: dict[str, Mixed], sums: Sums, ordered: list[str], circles: dict[str, frozenset[str]]
) -> dict[str, Mix]:
    """Return every mix. Inside a circle of mixes nothing is taken out by a mix of the same circle: that has no meaning."""
    minus: dict[str, int] = {}
    changed = True
    while changed:  # once where there is no circle; else until the sets in the circles no longer grow
        before = dict(sums.mixes)
        for name in ordered:
            record, circle = records[name], circles.get(name, NO_CIRCLE)
            minus[name] = sums.of(other for other in minus_names(record) if sums.inner.get(other) not in circle)
            held = sums.of(members_of(record))
            sums.mixes[name] = held & ~minus[name] if minus[name] else held
        changed = bool(circles) and sums.mixes != before
    return {
        name: Mix(
            name,
            desk_of(model, record),
            sums.mixes[name],
            minus[name],
            record,
            sums.of(record.cues) & ~minus[name] if isinstance(record, Feed) else 0,
        )
        for name, record in records.items()
    }


def union(names: Iterable[str], mixes: dict[str, Mix], masks: dict[str, int]) -> int:
    """Return what some names hold together."""
    found = 0
    for name in names:
        inner = inner_mix(mixes, name)
        found |= masks.get(name, 0) if inner is None else mixes[inner].mask
    return found


def circles_of(below: dict[str, list[str]]) -> dict[str, frozenset[str]]:
    """Return for each mix in a circle those that it names, by way of others too, and that name it."""
    return {name: circle for knot in knots(below) for circle in [frozenset(knot)] for name in knot}


def below_mix(record: Mixed, inner: dict[str, str]) -> list[str]:
    """Return the mixes that a mix names as members or in its minus."""
    return [inner[name] for name in (*members_of(record), *minus_names(record)) if name in inner]


def members_of(record: Mixed) -> tuple[str, ...]:
    """Return the names a mix is written with."""
    return record.mix if isinstance(record, Feed) else record.members if isinstance(record, Bus) else record.lines


def minus_names(record: Mixed) -> tuple[str, ...]:
    """Return the names of a mix's minus."""
    return NONE if isinstance(record, LineSet) else record.minus


def inner_first(below: dict[str, list[str]]) -> tuple[list[str], bool]:
    """Return the mixes in an order in which what a mix names comes before it, and whether there is a circle."""
    ordered: list[str] = []
    state: dict[str, int] = {}  # 1: being visited, 2: done
    looped = False
    for first in below:
        stack = [first]
        while stack:
            name = stack[-1]
            if state.get(name, 0) == 0:
                state[name] = 1
                for inner in below[name]:
                    if state.get(inner, 0) == 0:
                        stack.append(inner)
                    looped = looped or state.get(inner, 0) == 1
                continue
            stack.pop()
            if state[name] == 1:
                state[name] = 2
                ordered.append(name)
    return ordered, looped


def loops_of(below: dict[str, list[str]]) -> tuple[tuple[str, ...], ...]:
    """Return the circles of mixes that name one another, found by walking down from each mix once."""
    found: dict[tuple[str, ...], None] = {}
    done: set[str] = set()
    for first in below:
        way: dict[str, None] = {}  # in order
        walkers = [iter([first])]
        while walkers:
            name = next(walkers[-1], None)
            if name is None:
                walkers.pop()
                if way:
                    done.add(way.popitem()[0])
            elif name in way:
                names = list(way)
                circle = names[names.index(name) :]
                least = circle.index(min(circle))
                found[tuple(circle[least:] + circle[:least])] = None
            elif name not in done:
                way[name] = None
                walkers.append(iter(below[name]))
    return tuple(found)
