"""The clock after a failure: who leads each island then, and who has to follow somebody else."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.clock import Clocks, Island, clock
from tailboard.answers.faults import faults
from tailboard.answers.network import network
from tailboard.model.show import Model


@dataclass(frozen=True, slots=True)
class Handover:
    """Clocks that follow another leader after a failure.

    island    VLAN and domain in words; leader: who led before; next: who leads then, empty where nobody can.
    devices   those that change over; one that leads itself then is among them.
    tied      whether only an unknown hardware address decides who it is.
    """

    island: str
    leader: str
    next: str
    devices: tuple[str, ...]
    tied: bool = False


def handovers(ask: Ask, thing: str) -> tuple[Handover, ...]:
    """Return what changes in the clock when a thing fails; nothing where every clock keeps its leader."""
    keys = ask(faults).things.takes.get(thing, frozenset([thing]))
    devices = {key.removeprefix("device ") for key in keys if key.startswith("device ")}
    cables = {key.removeprefix("cable ") for key in keys if key.startswith("cable ")}
    ports = [key.removeprefix("port ") for key in keys if key.startswith("port ")]
    cables.update(cable for port in ports for cable in ask(network).ports.at.get(port, ()))
    before = ask(clock)
    if not (devices | cables) & before.rests_on:
        return ()
    after = clock(Ask(without(ask.model, devices, cables)))
    return changes(before, after, devices)


def without(model: Model, devices: set[str], cables: set[str]) -> Model:
    """Return a model without some devices and cables."""
    kept = {name: record for name, record in model.devices.items() if name not in devices}
    left = {name: record for name, record in model.cables.items() if name not in cables}
    return model.changed(devices=kept, cables=left)


def changes(before: Clocks, after: Clocks, gone: set[str]) -> tuple[Handover, ...]:
    """Return the clocks whose leader is another one than before, by leader before and after."""
    then = {(i.vlan, i.domain, device): i for i in after.islands for device in i.devices}
    found: dict[tuple[str, str, str], list[str]] = {}
    tied: set[tuple[str, str, str]] = set()
    for island in before.islands:
        for member in island.members:
            device = member.device
            if device in gone:
                continue
            other = then.get((island.vlan, island.domain, device))
            alone = device if other is None and member.can_lead else ""  # it hears nobody, and leads itself
            key = (island.name, leader_of(island), leader_of(other) or alone)
            if key[1] != key[2]:
                found.setdefault(key, []).append(device)
                tied.update([key] if other is not None and other.tied else [])
    return tuple(Handover(*key, tuple(names), key in tied) for key, names in found.items())


def leader_of(island: Island | None) -> str:
    """Return the device that leads an island, or an empty text."""
    return island.leader.device if island is not None and island.leader is not None else ""
