"""What sits in each hole, strip, output and receiver channel, and what is free."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.model.show import Model, device_of, jack_of

Users = dict[str, dict[str, tuple[str, ...]]]
LINE_JACKS = frozenset({"analogue", "digital"})


@dataclass(frozen=True, slots=True)
class Occupancy:
    """Who uses what. Each table is device: jack, strip or channel: the users, in the order written.

    holes     box: hole: lines plugged into it.
    strips    console: strip: lines that come up on it.
    goals     device: input: lines that go to it instead of a strip.
    outputs   device: jack: feeds that leave by it. A feed that leaves by a stream stands under the stream's name and ''.
    receives  device: receiver channel: streams that enter it.
    cables    DEVICE/JACK: plugged cables; laid and capped ones are left out.
    """

    model: Model
    holes: Users
    strips: Users
    goals: Users
    outputs: Users
    receives: Users
    cables: dict[str, tuple[str, ...]]

    def free_jacks(self, device: str, way: str) -> tuple[str, ...]:
        """Return the audio jacks of a device with nothing planned and nothing plugged; `way` is 'in' or 'out'."""
        table = (self.holes, self.goals) if way == "in" else (self.outputs,)
        ports = self.model.kind_of(device).ports or {}
        return tuple(
            name
            for name, port in ports.items()
            if port.medium in LINE_JACKS
            and port.way in {way, "both"}
            and not any(name in users.get(device, {}) for users in table)
            and f"{device}/{name}" not in self.cables
        )

    def free_strips(self, console: str) -> tuple[str, ...]:
        """Return the strips of a console without a line."""
        used = self.strips.get(console, {})
        count = self.model.kind_of(console).strips or 0
        return tuple(name for name in map(str, range(1, count + 1)) if name not in used)

    def free_addresses(self, vlan: str) -> Iterator[str]:
        """Yield the addresses of a VLAN's subnet that no device, querier or DHCP range has, lowest first."""
        record = self.model.vlans[vlan]
        if record.subnet is None:
            return
        used = {address for device in self.model.devices.values() for address in (device.address or {}).values()}
        used.update((record.querier or {}).values())
        given_out = range(0)
        if record.dhcp:
            first, last = map(IPv4Address, record.dhcp)
            given_out = range(int(first), int(last) + 1)
        for address in record.subnet.hosts():
            if int(address) not in given_out and str(address) not in used:
                yield str(address)


def occupancy(ask: Ask) -> Occupancy:
    """Return what is used, by device and jack."""
    model = ask.model
    lines = model.lines.items()
    feeds = model.feeds.items()
    streams = model.streams.items()
    return Occupancy(
        model,
        holes=grouped((line.hole, name) for name, line in lines if line.hole),
        strips=grouped((strip, name) for name, line in lines for strip in line.strips),
        goals=grouped((goal, name) for name, line in lines for goal in line.goes_to),
        outputs=grouped((output, name) for name, feed in feeds for output in feed.outputs),
        receives=grouped(
            (f"{device}/{channel}", name)
            for name, stream in streams
            for device, channels in (stream.receivers or {}).items()
            for channel in channels
        ),
        cables=plugged(ask),
    )


def grouped(uses: Iterable[tuple[str, str]]) -> Users:
    """Return (DEVICE/JACK, user) pairs by device and jack; a user is listed once a jack."""
    found: dict[str, dict[str, dict[str, None]]] = {}
    for port, user in uses:
        found.setdefault(device_of(port), {}).setdefault(jack_of(port), {})[user] = None
    return {device: {jack: tuple(users) for jack, users in jacks.items()} for device, jacks in found.items()}


def plugged(ask: Ask) -> dict[str, tuple[str, ...]]:
    """Return the plugged cables by DEVICE/JACK (or `line 7`, or a bare device)."""
    cables = ask.model.cables
    found = {
        end: tuple(name for name in names if cables[name].state == "plugged") for end, names in ask(wiring).at.items()
    }
    return {end: names for end, names in found.items() if names}
