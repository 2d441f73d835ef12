"""What each breaker carries: the devices on it, and those that its switches feed over their data cables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.copper import known_supply
from tailboard.answers.wiring import Wiring, wiring
from tailboard.kinds.records import Kind
from tailboard.model.show import Model, device_of
from tailboard.physics.poe import source_power_w

UNPOWERED_ROLES = frozenset({"di", "belt-pack", "multicore", "splitter", "tie panel", "source"})


@dataclass(frozen=True, slots=True)
class Load:
    """What one device draws. `power_w` None: not written. `fed_by` is the switch that feeds it over its data cable."""

    device: str
    power_w: float | None
    fed_by: str | None = None
    assumption: str | None = None


@dataclass(frozen=True, slots=True)
class Breaker:
    """A breaker with what it can carry, what of that it is to carry for hours, and what hangs on it."""

    supply: str
    name: str
    limit_w: float
    share_w: float
    loads: tuple[Load, ...]

    @property
    def sum_w(self) -> float:
        """All loads that are written, added up."""
        return sum(load.power_w for load in self.loads if load.power_w is not None)

    @property
    def unknown(self) -> tuple[str, ...]:
        """The devices whose load is not written."""
        return tuple(load.device for load in self.loads if load.power_w is None)


@dataclass(frozen=True, slots=True)
class Power:
    """The breakers of all supplies that list any, and the devices of which nobody says on which breaker they are."""

    breakers: tuple[Breaker, ...] = ()
    unassigned: dict[str, tuple[str, ...]] | None = None


def power(ask: Ask) -> Power:
    """Return what hangs on each breaker."""
    model = ask.model
    limits = {name: supply.breaker_w for name, supply in model.supplies.items() if supply.breaker_w}
    if not limits:
        return Power()
    on: dict[tuple[str, str], list[Load]] = {}
    unassigned: dict[str, list[str]] = {}
    for load in loads(model, ask(wiring)):
        for supply, breaker in leads(model, load.fed_by or load.device):
            if supply not in limits:
                continue
            written = breaker or (next(iter(limits[supply])) if len(limits[supply]) == 1 else "")
            if written in limits[supply]:
                on.setdefault((supply, written), []).append(load)
            elif load.fed_by is None:
                unassigned.setdefault(supply, []).append(load.device)
    breakers = tuple(
        Breaker(
            supply,
            name,
            limit_w,
            limit_w * model.supplies[supply].breaker_share_max / 100,
            tuple(on.get((supply, name), ())),
        )
        for supply, names in limits.items()
        for name, limit_w in names.items()
    )
    return Power(breakers, {supply: tuple(names) for supply, names in unassigned.items()})


def leads(model: Model, device: str) -> list[tuple[str, str]]:
    """Return (supply, breaker) of each lead of a device. Each must carry all of it once the other is gone."""
    record, first = model.devices[device], known_supply(model, device)
    found = [] if first is None else [(first, record.breaker)]
    second = record.second_supply
    if second is not None and second in model.supplies and (second, record.second_breaker) not in found:
        found.append((second, record.second_breaker))
    return found


def loads(model: Model, wired: Wiring) -> Iterator[Load]:
    """Yield what each device draws, from its supply or from the switch that feeds it."""
    for name, device in model.devices.items():
        kind = model.kind_of(name)
        example = f"kind {kind.id}" if kind.figures.startswith("example value") else None
        if device.load_w is not None:
            yield Load(name, device.load_w)
        elif kind.load_w is not None:
            yield Load(name, kind.load_w, None, example)
        elif is_fed(kind):
            source = feeding_switch(model, wired, name)
            if source is not None:
                yield Load(name, drawn_w(kind), source, example)
        elif not is_unpowered(kind):
            yield Load(name, None)


def is_fed(kind: Kind) -> bool:
    """Return whether a kind is powered over its data cable."""
    return kind.poe_power_w is not None or any(port.poe_class is not None for port in (kind.ports or {}).values())


def drawn_w(kind: Kind) -> float | None:
    """Return what a kind draws over its data cable: its stated figure, else the limit of its class at the source."""
    if kind.poe_power_w is not None:
        return kind.poe_power_w
    classes = [port.poe_class for port in (kind.ports or {}).values() if port.poe_class is not None]
    return max(map(source_power_w, classes), default=None)


def feeding_switch(model: Model, wired: Wiring, device: str) -> str | None:
    """Return the switch that feeds a device over a data cable, or None where none does."""
    for jack, port in (model.kind_of(device).ports or {}).items():
        for cable in wired.at.get(f"{device}/{jack}", ()) if port.medium == "network" else ():
            far = wired.far_end(cable, f"{device}/{jack}")
            config = model.ports.get(far or "")
            if far is not None and config is not None and config.poe and model.cables[cable].state == "plugged":
                return device_of(far)
    return None


def is_unpowered(kind: Kind) -> bool:
    """Return whether a kind draws nothing from a supply: by what it is, or a loudspeaker that an amplifier drives."""
    driven = [port for port in (kind.ports or {}).values() if port.level == "loudspeaker" and port.way == "in"]
    return kind.role in UNPOWERED_ROLES or (kind.role == "loudspeaker" and bool(driven))
