"""The network graph: who reaches whom, each frame followed tag by tag through every port as it is set on its own side."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

from tailboard.answers.ask import Ask
from tailboard.answers.network_frames import UNTAGGED, Frames, Step, build_frames
from tailboard.answers.network_links import Link
from tailboard.answers.network_ports import UNWRITTEN, Ports, Setting, ports, takes_tags
from tailboard.answers.network_records import ARRIVED, Flood, Hop, Journey, State, Stop, tag_words
from tailboard.findings import NOWHERE
from tailboard.model.show import Model, device_of

__all__ = ["Hop", "Journey", "Network", "Stop", "network"]


@dataclass(frozen=True, eq=False)
class Network:
    """The network of one plan. A port is DEVICE/PORT; a switch's own address is reached under the switch's name."""

    model: Model
    ports: Ports
    frames: Frames
    journeys: dict[tuple[str, str, str], Journey] = field(init=False, default_factory=dict, repr=False)

    @property
    def written(self) -> bool:
        """Whether any network cable is written; without one every journey arrives, and nothing is claimed."""
        return bool(self.ports.links)

    @property
    def links(self) -> dict[str, Link]:
        """The network cables, each with the reason where it carries nothing."""
        return self.frames.links

    def end_ports(self, device: str) -> tuple[str, ...]:
        """Return the network ports of a device that have a cable."""
        return self.ports.of_device.get(device, ())

    def vlans_of(self, port: str) -> tuple[str, ...]:
        """Return the VLANs of a port: as its device means it, or, for a switch port, as it is set. Empty: unknown."""
        setting = self.ports.settings.get(port)
        if setting is not None:
            return tuple(sorted(setting.vlans - {UNWRITTEN}))
        return self.ports.vlans.get(port, ())

    def vlans_of_device(self, device: str) -> tuple[str, ...]:
        """Return the VLANs a device means to be in, by its addresses and its ports."""
        record = self.model.devices.get(device)
        if record is None:
            return ()
        written = [vlan for vlans in (record.ports or {}).values() for vlan in vlans]
        return tuple(dict.fromkeys([*(record.address or {}), *written]))

    def shared_vlans(self, device_a: str, device_b: str) -> tuple[str, ...]:
        """Return the VLANs that both devices mean to be in."""
        others = set(self.vlans_of_device(device_b))
        return tuple(vlan for vlan in self.vlans_of_device(device_a) if vlan in others)

    @cached_property
    def members(self) -> dict[str, tuple[str, ...]]:
        """The ends in each VLAN: ports with a cable whose device means to be in it, and switches with an address in it."""
        found: dict[str, list[str]] = {}
        for port, vlans in self.ports.vlans.items():
            for vlan in vlans:
                found.setdefault(vlan, []).append(port)
        for switch in self.model.switches:
            for vlan in self.vlans_of_device(switch) if self.attached(switch, "") else ():
                found.setdefault(vlan, []).append(switch)
        return {vlan: tuple(ends) for vlan, ends in found.items()}

    def journey(self, from_port: str, to_port: str, vlan: str) -> Journey:
        """Return the way of a frame that `from_port` sends in a VLAN (empty: untagged, none meant) to `to_port`."""
        if not self.written or device_of(from_port) == device_of(to_port):
            return ARRIVED
        for port in (from_port, to_port):
            if port not in self.ports.at and port not in self.frames.forwarding:
                return Journey(False, (), self.no_cable(port))
        hops = self.arrival(from_port, to_port, vlan)
        return Journey(True, hops) if hops is not None else Journey(False, (), self.why_not(from_port, to_port, vlan))

    def reach(self, from_port: str, vlan: str) -> dict[str, Journey]:
        """Return every end port that a frame of a VLAN gets to, whether its device is meant to be in the VLAN or not."""
        found: dict[str, Journey] = {}
        for device, cabled in self.ports.of_device.items():
            if device == device_of(from_port) or self.model.kind_of(device).role in {"switch", "media converter"}:
                continue
            for port in cabled:
                hops = self.arrival(from_port, port, vlan, any_tag=True)
                if hops is not None:
                    found[port] = Journey(True, hops)
        return found

    def meeting(self, device_a: str, device_b: str, vlan: str = "") -> Journey:
        """Return the way of a frame from one device to another over any VLAN both are in, or over `vlan` alone.

        Where one of them says no VLAN, frames are followed as they leave, untagged. A router that forwards between a
        VLAN of the one and a VLAN of the other joins them.
        """
        key = (device_a, device_b, vlan)
        if key not in self.journeys:
            self.journeys[key] = self.worked_out(device_a, device_b, vlan)
        return self.journeys[key]

    def worked_out(self, device_a: str, device_b: str, vlan: str) -> Journey:
        """Return what `meeting` does, worked out."""
        if not self.written or device_a == device_b or not (self.is_known(device_a) and self.is_known(device_b)):
            return ARRIVED
        for device in (device_a, device_b):
            if not self.attached(device, ""):
                return Journey(False, (), self.no_cable(device))
        blocked: Journey | None = None
        for name in (vlan,) if vlan else self.common(device_a, device_b):
            for port_a in self.attached(device_a, name):
                for port_b in self.attached(device_b, name):
                    way = self.journey(port_a, port_b, name)
                    if way.arrives:
                        return way
                    blocked = blocked or way
        routed = None if vlan else self.routed(device_a, device_b)
        return routed or blocked or Journey(False, (), self.nothing_shared(device_a, device_b))

    def is_known(self, device: str) -> bool:
        """Return whether the device and its kind exist, or it has a network cable; what does not, the reader reports."""
        record = self.model.devices.get(device)
        return record is not None and (record.kind in self.model.library.kinds or device in self.ports.of_device)

    def common(self, device_a: str, device_b: str) -> tuple[str, ...]:
        """Return the VLANs to try between two devices: those both are in; where one says none, the other's and none."""
        of_a, of_b = self.vlans_of_device(device_a), self.vlans_of_device(device_b)
        return self.shared_vlans(device_a, device_b) if of_a and of_b else (*of_a, *of_b, "")

    def attached(self, device: str, vlan: str) -> tuple[str, ...]:
        """Return the ends of a device in a VLAN (empty: any): its ports with a cable; a switch is its own end."""
        cabled = self.end_ports(device)
        if self.model.kind_of(device).role == "switch":
            return (device,) if cabled else ()
        return tuple(port for port in cabled if not vlan or vlan in self.ports.vlans.get(port, (vlan,)))

    def arrival(self, from_port: str, to_port: str, vlan: str, *, any_tag: bool = False) -> tuple[Hop, ...] | None:
        """Return the hops by which a frame gets to a port, or None. `any_tag`: also with a tag the port does not mean."""
        direct = self.direct_hop(from_port, to_port, vlan)
        if direct is not None:
            return direct
        target = device_of(to_port)
        tag_in = self.frames.sent_tag(to_port, vlan)
        for state in self.frames.starts(from_port, vlan):
            flood = self.frames.flood(state)
            first = self.first_hop(from_port, state, vlan)
            if target in self.frames.forwarding:
                label = (tag_in or UNTAGGED) if target in self.ports.passing else vlan
                there = flood.there.get(target, {}).get(label)
                if there is not None:
                    return (*first, *flood.hops(there))
                continue
            for link in self.frames.live_at.get(to_port, ()):
                rest = self.last_hops(flood, link, to_port, vlan, any_tag=any_tag)
                if rest is not None:
                    return (*first, *rest)
        return None

    def direct_hop(self, from_port: str, to_port: str, vlan: str) -> tuple[Hop, ...] | None:
        """Return the hop between two end ports on one cable, or None."""
        tag = self.frames.sent_tag(from_port, vlan)
        for link in self.frames.live_at.get(from_port, ()):
            is_end = link.far(from_port) == to_port and device_of(to_port) not in self.frames.forwarding
            if is_end and tag == self.frames.sent_tag(to_port, vlan):
                return (Hop(from_port, link.cable, to_port, vlan, vlan, tag),)
        return None

    def first_hop(self, port: str, state: State, vlan: str) -> tuple[Hop, ...]:
        """Return the hop from an end port into the forwarding device where its frame begins."""
        tag = self.frames.sent_tag(port, vlan)
        for link in self.frames.live_at.get(port, ()):
            far = link.far(port)
            if device_of(port) != state[0] == device_of(far) and self.frames.entered(far, tag) == state[1]:
                return (Hop(port, link.cable, far, vlan, state[1], tag),)
        return ()

    def last_hops(self, flood: Flood, link: Link, to_port: str, vlan: str, *, any_tag: bool) -> tuple[Hop, ...] | None:
        """Return the hops of a flood that end at an end port behind `link`, or None."""
        port = link.far(to_port)
        tag_in = self.frames.sent_tag(to_port, vlan)
        for label, state in flood.there.get(device_of(port), {}).items():
            leaves, tag = self.frames.left(port, label)
            taken = (tag is None or takes_tags(self.model, to_port)) if any_tag else tag == tag_in
            if leaves and taken:
                return (*flood.hops(state), Hop(port, link.cable, to_port, label, label if any_tag else vlan, tag))
        return None

    def routed(self, device_a: str, device_b: str) -> Journey | None:
        """Return the way through a router that forwards between a VLAN of each, or None."""
        of_a, of_b = set(self.vlans_of_device(device_a)), set(self.vlans_of_device(device_b))
        for router, record in self.model.devices.items():
            joined = set(record.forwards)
            if len(joined) < 2 or router in {device_a, device_b} or not (joined & of_a and joined & of_b):
                continue
            into, out = self.meeting(device_a, router), self.meeting(router, device_b)
            if into.arrives and out.arrives:
                return Journey(True, (*into.hops, *out.hops))
        return None

    def no_cable(self, port: str) -> Stop:
        """Return the stop at a device that has no network cable."""
        device = device_of(port)
        record = self.model.devices.get(device)
        spot = record.at.spot() if record else NOWHERE
        return Stop(f"{device} has no network cable", spot, frozenset({f"device {device}"}))

    def nothing_shared(self, device_a: str, device_b: str) -> Stop:
        """Return the stop between devices that are in no VLAN together."""
        said = [", ".join(self.vlans_of_device(device)) for device in (device_a, device_b)]
        spot = self.model.devices[device_b].at.spot("address")
        keys = frozenset({f"device {device_a}", f"device {device_b}"})
        return Stop(f"{device_a} is in {said[0]}, {device_b} in {said[1]}", spot, keys)

    def why_not(self, from_port: str, to_port: str, vlan: str) -> Stop:
        """Return where a frame of a VLAN stops, or first leaves its VLAN, on the shortest way of cables to a port."""
        way = self.shortest(from_port, to_port, live=True) or self.shortest(from_port, to_port, live=False)
        if way is None:
            ends = [device_of(from_port), device_of(to_port)]
            return Stop(
                f"no cables lead from {ends[0]} to {ends[1]}",
                self.model.devices[ends[1]].at.spot(),
                frozenset(f"device {end}" for end in ends),
            )
        label, tag = vlan, self.frames.sent_tag(from_port, vlan)
        for step in way:
            port, link, far = step
            if link.dead is not None:
                return Stop(link.dead.words, link.dead.spot, frozenset({f"cable {link.cable}"}))
            if device_of(port) in self.frames.forwarding:
                leaves, tag = self.frames.left(port, label)
                if not leaves:
                    return self.dropped(port, link, label, f"{port} does not pass {label or 'frames without a VLAN'}")
            if device_of(far) not in self.frames.forwarding:
                return self.not_taken(step, vlan, tag)
            after = self.frames.entered(far, tag)
            if after is None:
                return self.dropped(far, link, label, f"{far} drops frames that come {tag_words(tag)}")
            if vlan and after != vlan and device_of(far) not in self.ports.passing:
                return self.dropped(
                    far, link, vlan, f"what {port} sends {tag_words(tag)} lands in {after} at {far}", port
                )
            label = after
        return self.not_taken(way[-1], vlan, tag)

    def dropped(self, port: str, link: Link, label: str, words: str, sender: str = "") -> Stop:
        """Return the stop at a switch port that drops a frame or puts it into another VLAN."""
        setting: Setting = self.ports.settings[port]
        said = setting.untagged_said if sender or setting.access else setting.tagged_said
        ends = {port, sender} & self.ports.settings.keys()
        return Stop(words, said.spot, frozenset({f"{link.cable}~{label}", *(f"port {end}" for end in ends)}))

    def not_taken(self, step: Step, vlan: str, tag: str | None) -> Stop:
        """Return the stop at an end port that gets a frame with another tag than it takes."""
        port, link, far = step
        setting = self.ports.settings.get(port)
        spot = setting.tagged_said.spot if setting else self.model.cables[link.cable].at.spot()
        words = (
            f"{far} gets {vlan or 'frames'} {tag_words(tag)} and takes it {tag_words(self.frames.sent_tag(far, vlan))}"
        )
        return Stop(words, spot, frozenset({f"{link.cable}~{vlan}", f"port {port}"}))

    def shortest(self, from_port: str, to_port: str, *, live: bool) -> list[Step] | None:
        """Return the fewest cables between two ports, tags set aside; only those that carry frames if `live`."""
        target, begin = device_of(to_port), device_of(from_port)
        forwarding = self.frames.forwarding
        before: dict[str, tuple[str, Step] | None] = {begin: None}
        queue = deque([begin])
        while queue and target not in before:
            device = queue.popleft()
            if device != begin and device not in forwarding:
                continue
            for step in self.steps(device, live=live):
                after = device_of(step[2])
                wrong_begin = device == begin and begin not in forwarding and step[0] != from_port
                wrong_end = after == target and target not in forwarding and step[2] != to_port
                if not (wrong_begin or wrong_end) and after not in before:
                    before[after] = (device, step)
                    queue.append(after)
        way: list[Step] = []
        entry = before.get(target)
        while entry is not None:
            way.append(entry[1])
            entry = before[entry[0]]
        return way[::-1] or None

    def steps(self, device: str, *, live: bool) -> Iterator[Step]:
        """Yield the cables at a device as (own port, cable, far port)."""
        for port in self.end_ports(device):
            for cable in self.ports.at[port]:
                link = self.links[cable]
                if link.dead is None or not live:
                    yield port, link, link.far(port)


def network(ask: Ask) -> Network:
    """Return the network as planned."""
    return build(ask.model, ask(ports))


def build(model: Model, found: Ports) -> Network:
    """Return the network of a plan with these ports."""
    return Network(model, found, build_frames(model, found))
