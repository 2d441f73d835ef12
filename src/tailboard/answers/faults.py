"""Single failures: which lines, feeds, stations and interrupts are lost when one thing fails, and which go on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.fault_things import SORTS, Things, things
from tailboard.answers.faults_needs import Needs, needs
from tailboard.answers.faults_routes import Routes, routes
from tailboard.answers.mixing import bits

NETWORK = ("device ", "cable ", "port ")


@dataclass(frozen=True)
class Faults:
    """What is lost with each thing. A thing is named by its key: 'device SB-1', 'drum D-1', 'place wing'.

    fixed   key: the items that need it whatever way their frames take.
    users   for each leg that may have another way: the items on it.
    legs_on key: the numbers of the legs whose planned way crosses it.
    """

    things: Things
    needs: Needs
    routes: Routes
    fixed: dict[str, int]
    users: tuple[int, ...]
    legs_on: dict[str, tuple[int, ...]]
    known: dict[str, int] = field(default_factory=dict, repr=False)

    def lost(self, thing: str) -> int:
        """Return the set of items that are lost when a thing fails alone."""
        if thing not in self.known:
            self.known[thing] = self.lost_with(self.things.takes.get(thing, frozenset([thing])))
        return self.known[thing]

    def lost_with(self, keys: frozenset[str]) -> int:
        """Return the set of items that are lost without some devices, cables, ports, streams and jacks."""
        lost = 0
        for key in keys:
            lost |= self.fixed.get(key, 0)
        hit = {number for key in keys for number in self.legs_on.get(key, ())}
        gone = frozenset(key for key in keys if key.startswith(NETWORK)) if hit else keys
        for number in hit:
            if self.users[number] & ~lost and not self.routes.arrives(self.routes.legs[number], gone):
                lost |= self.users[number]
        return lost

    def all(self) -> dict[str, int]:
        """Return what is lost with each thing of the plan."""
        return {thing: self.lost(thing) for thing in self.things.takes}

    def named(self, text: str) -> tuple[str, ...]:
        """Return the things that a text names: by its key, or by a bare name that several sorts may share."""
        singles = [f"line {text}", f"hole {text}"]
        exact = text in self.things.takes or (text in self.needs.by_key and text.startswith(("line ", "hole ")))
        if exact:
            return (text,)
        found = [thing for thing in (f"{sort} {text}" for sort in SORTS) if thing in self.things.takes]
        return (*found, *(thing for thing in singles if thing in self.needs.by_key))

    def known_names(self) -> tuple[str, ...]:
        """Return every name that a thing goes by, its sort left out."""
        keys = (*self.things.takes, *(key for key in self.needs.by_key if key.startswith(("line ", "hole "))))
        return tuple(dict.fromkeys(key.partition(" ")[2] for key in keys))

    def without_reserve(self, ask: Ask, mask: int) -> tuple[str, ...]:
        """Return the lines of a set for which no reserve outside the set is written."""
        bit = self.needs.bit
        lines = ask.model.lines
        return tuple(
            name
            for name in self.needs.names(mask, "line")
            if not any(other in lines and not mask & bit[f"line {other}"] for other in lines[name].reserve)
        )


def faults(ask: Ask) -> Faults:
    """Return what every single failure takes."""
    found, ways = ask(needs), ask(routes)
    if not ways.legs:
        return Faults(ask(things), found, ways, found.by_key, (), {})
    users = leg_users(found, ways)
    legs_on: dict[str, list[int]] = {}
    for number, leg in enumerate(ways.legs):
        for key in leg.keys if users[number] else ():
            legs_on.setdefault(key, []).append(number)
    fixed = Needs(found.items, dict(fixed_needs(found, ways, users))).by_key
    return Faults(ask(things), found, ways, fixed, users, {key: tuple(numbers) for key, numbers in legs_on.items()})


def leg_users(found: Needs, ways: Routes) -> tuple[int, ...]:
    """Return for each leg the items on it: those that need its stream and everything that its planned way crosses.

    A feed of many lines past every desk may need no single stream: what all its streams cross counts for it.
    """
    joint = sum(
        1 << number
        for number, item in enumerate(found.items)
        if item.startswith("feed ") and not any(key.startswith("stream ") for key in found.of[item])
    )
    users = []
    for leg in ways.legs:
        there = found.by_key.get(f"device {leg.sender}", 0)
        named = found.by_key.get(leg.stream, 0) | (joint & there) if leg.stream else there
        mask = 0
        for number in bits(named):
            item = found.items[number]
            if leg.keys <= found.of[item] and (leg.stream or not item.startswith(("line ", "feed "))):
                mask |= 1 << number
        users.append(mask)
    return tuple(users)


def fixed_needs(found: Needs, ways: Routes, users: tuple[int, ...]) -> Iterator[tuple[str, frozenset[str]]]:
    """Yield each item with what it needs besides the ways of its legs; the ends of a leg stay."""
    crossed: dict[int, set[str]] = {}
    ends: dict[int, set[str]] = {}
    for leg, mask in zip(ways.legs, users, strict=True):
        own = {f"device {leg.sender}", f"device {leg.receiver}"}
        for number in bits(mask):
            crossed.setdefault(number, set()).update(leg.keys)
            ends.setdefault(number, set()).update(own)
    for number, item in enumerate(found.items):
        if number in crossed:
            yield item, found.of[item] - (crossed[number] - ends[number])
        else:
            yield item, found.of[item]
