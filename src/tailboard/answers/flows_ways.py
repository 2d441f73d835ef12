"""Which ports a flow leaves by: one way to each receiver, the tree of a group, and where a group floods."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.answers.flows_records import Hop
from tailboard.answers.network import Network, network
from tailboard.answers.network_records import Journey, State
from tailboard.model.records import Vlan
from tailboard.model.show import Model, device_of
from tailboard.physics.ip import always_flooded


@dataclass(frozen=True, slots=True)
class Tree:
    """The ports that a group's frames leave by, and which of them lead to nobody who asked."""

    ports: tuple[Hop, ...]
    flooded: frozenset[str]


@dataclass(frozen=True, eq=False)
class Ways:
    """Ways through one network; each cable's hop and each flood is worked out once."""

    net: Network
    hop_of: dict[tuple[str, str], Hop] = field(default_factory=dict)
    floods: dict[State, tuple[Hop, ...]] = field(default_factory=dict)

    @property
    def model(self) -> Model:
        """The plan."""
        return self.net.model

    def hop(self, port: str, cable: str, into: str) -> Hop:
        """Return the hop out of a port over a cable."""
        known = self.hop_of.get((port, cable))
        if known is None:
            pieces = self.model.cables[cable].pieces_m
            known = Hop(port, into, cable, speed_bit_per_s(self.model, (port, into)), sum(pieces) if pieces else None)
            self.hop_of[port, cable] = known
        return known

    def along(self, journey: Journey) -> tuple[Hop, ...]:
        """Return the hops of a journey."""
        return tuple(self.hop(hop.port_out, hop.cable, hop.port_in) for hop in journey.hops)

    def tree(self, sender: str, vlan: str, group: str, ways: Iterable[tuple[Hop, ...]]) -> Tree:
        """Return what a group loads, from the ways to its receivers; without any it leaves its sender all the same.

        A VLAN that snoops and has a querier sends a group to those who asked and to the querier (RFC 4541 section
        2.1.2); any other VLAN, and a group that is always flooded, goes to every port of the VLAN. A device that passes
        every frame unchanged floods its own ports.
        """
        wanted = {hop.port: hop for way in ways for hop in way}
        if not wanted:
            wanted = {hop.port: hop for hop in self.out_of(sender, vlan)}
        if not wanted:
            return Tree((), frozenset())
        first = next(iter(wanted.values()))
        record = self.model.vlans.get(vlan)
        if not vlan or record is None or not is_snooped(self.model, record) or is_flooded(group):
            more: Iterable[Hop] = self.everywhere(first.port, vlan)
        else:
            asked = self.to_querier(first.port, record)
            wanted.update({hop.port: hop for hop in asked})
            more = self.passed_on(first.port, vlan, wanted)
        ports = {**wanted, **{hop.port: hop for hop in more}}
        return Tree(tuple(ports.values()), frozenset(ports.keys() - wanted.keys()))

    def out_of(self, sender: str, vlan: str) -> tuple[Hop, ...]:
        """Return the first hop of what a device sends in a VLAN."""
        ends = self.net.attached(sender, vlan) if vlan else ()
        links = [(end, link) for end in ends for link in self.net.frames.live_at.get(end, ())]
        return tuple(self.hop(end, link.cable, link.far(end)) for end, link in links[:1])

    def to_querier(self, port: str, vlan: Vlan) -> tuple[Hop, ...]:
        """Return the way to the querier that is first in the plan and reached."""
        for name in vlan.querier or {}:
            for end in self.net.attached(name, vlan.id) if name in self.model.devices else ():
                journey = self.net.journey(port, end, vlan.id)
                if journey.arrives:
                    return self.along(journey)
        return ()

    def everywhere(self, port: str, vlan: str) -> tuple[Hop, ...]:
        """Return every port by which a frame of a VLAN leaves, the sender's own not among them."""
        hops: list[Hop] = []
        for start in self.net.frames.starts(port, vlan):
            known = self.floods.get(start)
            if known is None:
                known = self.floods[start] = tuple(self.spread(start, None))
            hops += [hop for hop in known if hop.into != port]
        return tuple(hops)

    def passed_on(self, port: str, vlan: str, wanted: dict[str, Hop]) -> tuple[Hop, ...]:
        """Return the ports of devices on a tree that pass every frame unchanged and so flood."""
        passing = self.net.ports.passing
        if not any(device_of(hop.into) in passing for hop in wanted.values()):
            return ()
        starts = self.net.frames.starts(port, vlan)
        return tuple(hop for start in starts for hop in self.spread(start, wanted.keys()) if hop.into != port)

    def spread(self, start: State, wanted: Iterable[str] | None) -> Iterable[Hop]:
        """Yield the ports by which a frame leaves; with `wanted`, a device that snoops sends it by these alone."""
        frames, keep = self.net.frames, None if wanted is None else set(wanted)
        there: set[State] = set()
        for state, entry in frames.flood(start).before.items():
            if entry is not None:
                before, hop = entry
                free = keep is None or device_of(hop.port_out) in self.net.ports.passing
                if before not in there or not (free or hop.port_out in (keep or ())):
                    continue
                yield self.hop(hop.port_out, hop.cable, hop.port_in)
            there.add(state)
            if keep is None or state[0] in self.net.ports.passing:
                yield from self.to_ends(state)

    def to_ends(self, state: State) -> Iterable[Hop]:
        """Yield the ports of a device by which a frame leaves to devices that pass nothing on."""
        device, label, way_in = state
        frames = self.net.frames
        for port in self.net.end_ports(device):
            if port == way_in or not frames.left(port, label)[0]:
                continue
            for link in frames.live_at.get(port, ()):
                if device_of(link.far(port)) not in frames.forwarding:
                    yield self.hop(port, link.cable, link.far(port))


def ways(ask: Ask) -> Ways:
    """Return the ways through the network."""
    return Ways(ask(network))


def is_snooped(model: Model, vlan: Vlan) -> bool:
    """Return whether groups of a VLAN go to those alone who asked: it snoops, and a querier of the plan exists."""
    return vlan.snooping and any(name in model.devices for name in vlan.querier or {})


def is_flooded(group: str) -> bool:
    """Return whether every switch sends a group to all ports; text that is no address is none."""
    try:
        return always_flooded(IPv4Address(group))
    except ValueError:
        return False


def speed_bit_per_s(model: Model, ends: tuple[str, str]) -> float | None:
    """Return the speed of a link: the slowest of what both ends, their optics and their planned speeds allow. [bit/s]"""
    rates: list[float | None] = []
    for end in ends:
        own, jack, optic = model.ports.get(end), model.port_kind(end), model.optic_of(end)
        rates += [item.rate_bit_per_s for item in (own, jack, optic) if item is not None]
    return min((rate for rate in rates if rate), default=None)
