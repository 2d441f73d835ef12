"""Copper between devices: the supply and the earth at both ends, and how a cable ties them together."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import Wiring, wiring
from tailboard.model.records import Cable
from tailboard.model.show import Model, device_of
from tailboard.physics.earth import Way, way_of

FLOATING_ROLES = frozenset({"multicore", "tie panel", "splitter"})


@dataclass(frozen=True, slots=True)
class Copper:
    """Copper from one device to another: a cable, or several joined by boxes without a supply.

    cable, record  the cable; of several the one at the first of `ports`.
    devices, supplies, earths  at its two ends; a supply that is not written, and its earth, are None.
    state          plugged where all its cables are.
    through        the multicores, tie panels and splitters on the way.
    """

    cable: str
    record: Cable
    ports: tuple[str, str]
    devices: tuple[str, str]
    supplies: tuple[str | None, str | None]
    earths: tuple[str | None, str | None]
    way: Way
    state: str
    through: tuple[str, ...] = ()

    @property
    def crosses(self) -> bool:
        """Whether its ends stand on two earths."""
        return None not in self.earths and self.earths[0] != self.earths[1]

    @property
    def is_known(self) -> bool:
        """Whether the earths of both ends are written."""
        return None not in self.earths


@dataclass(frozen=True, slots=True)
class Through:
    """Cables joined so far: from a device's jack to `port`, through boxes without a supply."""

    port: str
    cables: tuple[str, ...]
    way: Way
    through: tuple[str, ...] = ()


def copper(ask: Ask) -> tuple[Copper, ...]:
    """Return the copper between two devices. A microphone at the end of its cable floats: it has no earth.

    A multicore, a tie panel and a splitter float too, if no supply is written at them: their jacks pass a screen on.
    """
    model, wired, found = ask.model, ask(wiring), []
    for name, (end_a, end_b) in wired.ends.items():
        way = way_over(model, name)
        if way is None or end_a is None or end_b is None or not is_between(model, end_a, end_b):
            continue
        floating = floats(model, end_a), floats(model, end_b)
        if not any(floating):
            found.append(link_of(model, end_a, Through(end_b, (name,), way)))
        elif not all(floating):
            start, port = (end_b, end_a) if floating[0] else (end_a, end_b)
            runs = reached(model, wired, Through(port, (name,), way))
            runs = [run for run in runs if run.cables[-1] > name and is_between(model, start, run.port)]
            if runs:
                found.append(link_of(model, start, min(runs, key=lambda run: (-RANK[run.way], run.cables))))
    return tuple(found)


RANK = {Way.NONE: 0, Way.LIFTED: 1, Way.DATA: 1, Way.ANALOGUE: 2, Way.SCREEN: 2}  # how firmly a way joins


def is_between(model: Model, port: str, other: str) -> bool:
    """Return whether two ports are of two devices of the plan."""
    devices = device_of(port), device_of(other)
    return devices[0] != devices[1] and all(device in model.devices for device in devices)


def way_over(model: Model, cable: str) -> Way | None:
    """Return how a cable ties two earths together; None for fibre and for kinds that are not known."""
    kind, record = model.cable_kind(cable), model.cables[cable]
    if kind is None or kind.medium == "fibre":
        return None
    screened = kind.screened if record.screened is None else record.screened
    return way_of(kind.medium, screened=screened, isolated=kind.isolated, lifted=bool(record.earth_lifted))


def floats(model: Model, port: str) -> bool:
    """Return whether a port is of a box that stands on no earth and passes a screen on."""
    device = device_of(port)
    return model.kind_of(device).role in FLOATING_ROLES and model.devices[device].supply is None


def reached(model: Model, wired: Wiring, first: Through) -> list[Through]:
    """Return the runs from one end of a cable, at a box that floats, to the devices that do not."""
    found: list[Through] = []
    waiting, seen = [first], {first.port}
    while waiting:
        run = waiting.pop()
        for jack, parted in joined_jacks(model, run.port):
            if jack in seen:
                continue
            seen.add(jack)
            for cable in wired.at.get(jack, ()):
                way, far = way_over(model, cable), wired.far_end(cable, jack)
                if way is None or far is None or far in seen or device_of(far) not in model.devices:
                    continue
                weaker = Way.NONE if parted else min(run.way, way, key=RANK.__getitem__)
                longer = Through(far, (*run.cables, cable), weaker, (*run.through, device_of(jack)))
                (waiting if floats(model, far) else found).append(longer)
    return found


def joined_jacks(model: Model, port: str) -> list[tuple[str, bool]]:
    """Return the jacks to which a box leads one of its own, and whether a transformer parts the two."""
    device, _, jack = port.partition("/")
    kind = model.kind_of(device)
    paths, jacks = kind.paths or {}, kind.ports or {}
    others = [*paths.get(jack, ()), *(start for start, ends in paths.items() if jack in ends)]
    parted = {name for name in (jack, *others) if name in jacks and jacks[name].isolated}
    return [(f"{device}/{other}", jack in parted or other in parted) for other in others]


def link_of(model: Model, start: str, run: Through) -> Copper:
    """Return the copper from a port to the end of a run."""
    devices = device_of(start), device_of(run.port)
    supplies = between_supplies(model, devices)
    earths = earth_of(model, supplies[0]), earth_of(model, supplies[1])
    states = [model.cables[cable].state for cable in run.cables]
    state = next((state for state in states if state != "plugged"), "plugged")
    cable = run.cables[0]
    return Copper(cable, model.cables[cable], (start, run.port), devices, supplies, earths, run.way, state, run.through)


def between_supplies(model: Model, devices: tuple[str, str]) -> tuple[str | None, str | None]:
    """Return a supply of each end: of all their leads the first two on two earths, else the first that are known."""
    pairs = list(product(supplies_of(model, devices[0]), supplies_of(model, devices[1])))
    earths = [(earth_of(model, first), earth_of(model, second)) for first, second in pairs]
    return next(
        (pair for pair, (one, two) in zip(pairs, earths, strict=True) if None not in (one, two) and one != two),
        pairs[0],
    )


def supplies_of(model: Model, device: str) -> tuple[str | None, ...]:
    """Return the supplies of a device's leads that are written and exist, its first lead first; one None without any."""
    found = known_supply(model, device), model.devices[device].second_supply
    known = tuple(dict.fromkeys(name for name in found if name in model.supplies))
    return known or (None,)


def known_supply(model: Model, device: str) -> str | None:
    """Return the supply of a device, if it is written and exists."""
    supply = model.supply_of(device)
    return supply if supply in model.supplies else None


def earth_of(model: Model, supply: str | None) -> str | None:
    """Return the earth of a supply."""
    return None if supply is None else model.supplies[supply].earth
