"""Ways round: whether frames still arrive without some devices and cables, by a ring, a second port or a second network."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_links import Link
from tailboard.answers.signal_comms import base_of
from tailboard.answers.streams import StreamPlan, streams
from tailboard.model.show import device_of

Gone = frozenset[str]  # keys of devices, cables and ports


@dataclass(frozen=True, slots=True)
class Leg:
    """Frames that must get from one device to another.

    vlans   the VLANs in which they may, the second network of a stream last; keys: what the planned way crosses.
    stream  key of the stream, empty for the link of a station.
    """

    sender: str
    receiver: str
    vlans: tuple[str, ...]
    keys: frozenset[str]
    stream: str


@dataclass(frozen=True)
class Routes:
    """The legs that may have another way, and whether they arrive without some things.

    cut  legs without some things that have been asked: whether they no longer arrive.
    """

    net: Network
    legs: tuple[Leg, ...]
    nets: dict[Gone, Network] = field(default_factory=dict, repr=False)
    asked: dict[tuple[Gone, str, str, tuple[str, ...]], bool] = field(default_factory=dict, repr=False)

    def arrives(self, leg: Leg, gone: Gone) -> bool:
        """Return whether the frames of a leg still arrive without some devices, cables and ports."""
        if {f"device {leg.sender}", f"device {leg.receiver}"} & gone:
            return False
        if leg.keys.isdisjoint(gone):
            return True
        cables = without_cables(self.net, gone)
        question = (cables, leg.sender, leg.receiver, leg.vlans)
        if question not in self.asked:
            if cables not in self.nets:
                self.nets[cables] = without(self.net, cables)
            self.asked[question] = any(ways(self.nets[cables], leg.sender, leg.receiver, leg.vlans))
        return self.asked[question]


def routes(ask: Ask) -> Routes:
    """Return the legs of all streams and stations that may have another way than the planned one."""
    net = ask(network)
    if not net.written:
        return Routes(net, ())
    circular = has_circle(net)
    found = [*stream_legs(ask, net, circular=circular), *station_legs(ask, net, circular=circular)]
    return Routes(net, tuple(found))


def stream_legs(ask: Ask, net: Network, *, circular: bool) -> Iterator[Leg]:
    """Yield the legs of the streams: from the sender to each receiver; streams between the same two take the same way."""
    known: dict[tuple[str, str, str, tuple[str, ...]], Leg | None] = {}
    for plan in ask(streams).plans.values():
        for device in plan.receivers:
            vlans = stream_vlans(net, plan, device)
            way = (plan.sender, device, plan.vlan or "", vlans)
            if way not in known:
                bends = circular or choices(net, plan.sender, device, vlans) > 1
                known[way] = next(leg(net, way[:2], vlans, way[2], ""), None) if bends else None
            made = known[way]
            if made is not None:
                yield replace(made, stream=plan.key)


def stream_vlans(net: Network, plan: StreamPlan, device: str) -> tuple[str, ...]:
    """Return the VLANs in which a stream may reach a receiver."""
    second = getattr(plan.record, "second_vlan", None)
    first = (plan.vlan,) if plan.vlan else net.common(plan.sender, device)
    return tuple(dict.fromkeys([*first, *([second] if second else [])]))


def station_legs(ask: Ask, net: Network, *, circular: bool) -> Iterator[Leg]:
    """Yield the legs of the stations: from each panel, or the one access point of the packs, to its base."""
    points = [name for name in ask.model.devices if ask.model.kind_of(name).role == "access point"]
    for station in ask.model.stations.values():
        base = base_of(ask, station) if station.device in ask.model.devices else None
        partner = station.device or ""
        if base is not None and not net.end_ports(partner):
            partner = points[0] if len(points) == 1 and ask.model.kind_of(partner).role == "belt-pack" else ""
        if base is not None and partner and partner != base:
            vlans = net.common(partner, base)
            if circular or choices(net, partner, base, vlans) > 1:
                yield from leg(net, (partner, base), vlans, "", "")


def choices(net: Network, sender: str, receiver: str, vlans: Iterable[str]) -> int:
    """Return between how many pairs of ports frames may go: more than one is a second port or a second network."""
    return sum(len(net.attached(sender, vlan)) * len(net.attached(receiver, vlan)) for vlan in vlans)


def leg(net: Network, ends: tuple[str, str], vlans: tuple[str, ...], vlan: str, stream: str) -> Iterator[Leg]:
    """Yield one leg; none where its frames do not arrive, or where a router passes them on: that is taken as one way."""
    journey = net.meeting(*ends, vlan)
    routed = any(net.model.kind_of(device_of(hop.port_in)).role == "router" for hop in journey.hops[:-1])
    if not journey.arrives or not journey.hops or routed:
        return
    keys = {f"device {name}" for name in ends}
    for hop in journey.hops:
        keys |= {f"cable {hop.cable}", f"port {hop.port_out}", f"port {hop.port_in}"}
        keys |= {f"device {device_of(hop.port_out)}", f"device {device_of(hop.port_in)}"}
    yield Leg(*ends, vlans, frozenset(keys), stream)


def ways(net: Network, sender: str, receiver: str, vlans: Iterable[str]) -> Iterator[bool]:
    """Yield true for each pair of ports between which frames of one of the VLANs arrive."""
    for vlan in vlans:
        for start in net.attached(sender, vlan):
            for end in net.attached(receiver, vlan):
                if net.arrival(start, end, vlan) is not None:
                    yield True


def has_circle(net: Network) -> bool:
    """Return whether the cables between devices that pass frames on close a circle anywhere."""
    above: dict[str, str] = {}

    def top(device: str) -> str:
        while (higher := above.get(device, device)) != device:
            device = higher
        return device

    crossed: set[str] = set()
    for device, steps in net.frames.trunks.items():
        for _, link, far in steps:
            if link.cable in crossed:
                continue
            crossed.add(link.cable)
            ends = top(device), top(device_of(far))
            if ends[0] == ends[1]:
                return True
            above[ends[0]] = ends[1]
    return False


def without_cables(net: Network, gone: Gone) -> Gone:
    """Return the network cables that carry nothing when some things are gone: themselves, at a port, at a device."""
    found: set[str] = set()
    for key in gone:
        sort, _, name = key.partition(" ")
        if sort == "cable" and name in net.links:
            found.add(name)
        elif sort == "port":
            found.update(net.ports.at.get(name, ()))
        elif sort == "device":
            found.update(cable for port in net.end_ports(name) for cable in net.ports.at[port])
    return frozenset(found)


def without(net: Network, cables: Gone) -> Network:
    """Return the network without some cables."""
    frames = net.frames
    live_at, trunks = dict(frames.live_at), dict(frames.trunks)
    for cable in cables:
        link: Link = net.links[cable]
        for port in link.ends:
            if port in live_at:
                live_at[port] = tuple(other for other in live_at[port] if other.cable != cable)
            device = device_of(port)
            if device in trunks:
                trunks[device] = tuple(step for step in trunks[device] if step[1].cable != cable)
    return replace(net, frames=replace(frames, live_at=live_at, trunks=trunks, floods={}))
