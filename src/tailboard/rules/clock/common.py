"""What the clock rules share: how an island is called, and what suffers with a device."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from tailboard.answers.clock import Island
from tailboard.answers.clock_members import Member
from tailboard.model.show import Model, device_of
from tailboard.units.wording import listed


def subject(island: Island, parts: tuple[Island, ...]) -> tuple[str, ...]:
    """Return how claims call an island: VLAN and domain; where the network parts them, the lesser parts add a device."""
    names = (island.vlan, f"domain {island.domain}") if island.vlan else (f"domain {island.domain}",)
    return names if island is parts[0] else (*names, head(island))


def head(island: Island) -> str:
    """Return the device by which a part is called: its leader, else the first by name."""
    return island.leader.device if island.leader else min(island.devices)


def called(members: Iterable[Member]) -> str:
    """Return the devices of some clocks as a spoken list."""
    return listed([member.device for member in members])


def defaults(*members: Member | None) -> list[str]:
    """Return the assumptions behind priorities that are the standard's and not written."""
    return [f"{member.device} priority1" for member in members if member is not None and member.default]


def lines_at(model: Model, devices: Collection[str]) -> list[str]:
    """Return the lines that enter by one of the devices."""
    return [name for name, line in model.lines.items() if line.hole and device_of(line.hole) in devices]


def feeds_at(model: Model, devices: Collection[str]) -> list[str]:
    """Return the feeds that leave by one of the devices."""
    return [name for name, feed in model.feeds.items() if any(device_of(output) in devices for output in feed.outputs)]
