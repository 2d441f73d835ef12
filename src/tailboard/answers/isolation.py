"""Isolation: whether a frame or a packet of one VLAN gets to another, and by which hops and routers."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_groups import reversible, site_of
from tailboard.answers.network_records import Hop, State
from tailboard.model.show import device_of


@dataclass(frozen=True, slots=True)
class Crossing:
    """A way from one VLAN into another.

    begins   the end whose frames cross; empty where routers alone join the two.
    reached  an end of the other VLAN that gets them; empty where they are only put into it.
    hops     the cables crossed, each with the tag on it.
    routers  the devices that forward, each with the VLANs on both of its sides.
    """

    vlan: str
    into: str
    begins: str = ""
    reached: str = ""
    hops: tuple[Hop, ...] = ()
    routers: tuple[tuple[str, str, str], ...] = ()


Reached = dict[str, dict[str, tuple[str, State, State]]]  # label: device: the end that sent, its state, the one reached


@dataclass(frozen=True, eq=False)
class Isolation:
    """Answers for pairs of VLANs; what one VLAN's frames reach is followed once."""

    net: Network
    reached: dict[str, Reached] = field(default_factory=dict, repr=False)
    ends: dict[str, dict[str, dict[str, tuple[str, ...]]]] = field(default_factory=dict, repr=False)

    def crossing(self, vlan: str, other: str) -> Crossing | None:
        """Return a way from one VLAN into another, frames before packets, or None."""
        return self.by_frame(vlan, other) or self.by_router(vlan, other)

    def by_frame(self, vlan: str, other: str) -> Crossing | None:
        """Return a way by which frames get from an end of a VLAN to an end of another, or are put into it."""
        if not self.net.written:
            return None
        there = self.reached_by(vlan)
        for label, devices in self.takers(other).items():
            for device, (end, start, state) in there.get(label, {}).items():
                reached = next((to for to in devices.get(device, ()) if self.apart(to, end, vlan)), "")
                if reached:
                    return Crossing(vlan, other, end, reached, self.hops(vlan, (end, start, state), label, reached))
        for device, (end, start, state) in there.get(other, {}).items():
            if device not in self.net.ports.passing:
                return Crossing(vlan, other, end, "", self.hops(vlan, (end, start, state), other, ""))
        return self.by_lead(vlan, other)

    def apart(self, to: str, end: str, vlan: str) -> bool:
        """Return whether an end is another device's, and not meant to be in the VLAN as well."""
        return device_of(to) != device_of(end) and vlan not in self.net.vlans_of(to)

    def by_lead(self, vlan: str, other: str) -> Crossing | None:
        """Return a cable that joins an end of a VLAN to one of another, with nothing between them."""
        live_at, members = self.net.frames.live_at, self.net.members
        others = set(members.get(other, ()))
        for end in members.get(vlan, ()):
            for link in live_at.get(end, ()):
                far = link.far(end)
                if far in others and self.apart(far, end, vlan) and other not in self.net.vlans_of(end):
                    tag = self.net.frames.sent_tag(end, vlan)
                    if tag is None and self.net.frames.sent_tag(far, other) is None:
                        return Crossing(vlan, other, end, far, (Hop(end, link.cable, far, vlan, other, None),))
        return None

    def reached_by(self, vlan: str) -> Reached:
        """Return where the frames of a VLAN's ends get to, by label and device.

        Where every hop of a flood can be gone back, all that it reaches would reach the same: it is followed once.
        """
        if vlan in self.reached:
            return self.reached[vlan]
        got: Reached = {}
        covered: set[tuple[str, str]] = set()
        frames = self.net.frames
        for end in self.net.members.get(vlan, ()):
            for start in frames.starts(end, vlan):
                if start[:2] in covered or (start[1] != vlan and start[1] in self.net.vlans_of(end)):
                    continue
                flood = frames.flood(start)
                for device, labels in flood.there.items():
                    for label, state in labels.items():
                        got.setdefault(label, {}).setdefault(device, (end, start, state))
                covered.add(start[:2])
                if reversible(self.net, flood):
                    covered.update(state[:2] for state in flood.before)
        self.reached[vlan] = got
        return self.reached[vlan]

    def takers(self, vlan: str) -> dict[str, dict[str, tuple[str, ...]]]:
        """Return the ends of a VLAN by the label their device gets frames from, and that device."""
        if vlan not in self.ends:
            found: dict[str, dict[str, tuple[str, ...]]] = {}
            for end in self.net.members.get(vlan, ()):
                site = site_of(self.net, end, vlan)
                if site.takes is not None:
                    devices = found.setdefault(site.takes, {})
                    devices[site.device] = (*devices.get(site.device, ()), end)
            self.ends[vlan] = found
        return self.ends[vlan]

    def hops(self, vlan: str, way: tuple[str, State, State], label: str, reached: str) -> tuple[Hop, ...]:
        """Return the hops from the end that sends to the end reached; to where the frame is put, if that is empty."""
        end, start, state = way
        frames = self.net.frames
        found = [*self.net.first_hop(end, start, vlan), *frames.flood(start).hops(state)]
        for link in frames.live_at.get(reached, ()):
            port = link.far(reached)
            if device_of(port) == state[0]:
                found.append(Hop(port, link.cable, reached, label, label, frames.left(port, label)[1]))
        return tuple(found)

    def by_router(self, vlan: str, other: str) -> Crossing | None:
        """Return the fewest routers that pass packets on from one VLAN to another, or None."""
        before: dict[str, tuple[str, str] | None] = {vlan: None}
        queue = deque([vlan])
        while queue and other not in before:
            name = queue.popleft()
            for router, record in self.routers.items():
                for after in record if name in record else ():
                    if after not in before:
                        before[after] = (router, name)
                        queue.append(after)
        way: list[tuple[str, str, str]] = []
        at = other
        while (step := before.get(at)) is not None:
            way.append((step[0], step[1], at))
            at = step[1]
        return Crossing(vlan, other, routers=tuple(reversed(way))) if way else None

    @property
    def routers(self) -> dict[str, tuple[str, ...]]:
        """The devices that pass packets between VLANs, with these."""
        return {name: record.forwards for name, record in self.net.model.devices.items() if len(record.forwards) > 1}

    def behind(self, port: str) -> tuple[str, ...]:
        """Return the devices whose frames come in by a switch port, as far as they are in its VLANs."""
        setting, found = self.net.ports.settings.get(port), dict[str, None]()
        for link in self.net.frames.live_at.get(port, ()):
            far = link.far(port)
            if device_of(far) not in self.net.frames.forwarding:
                found[device_of(far)] = None
                continue
            for vlan in sorted(setting.vlans) if setting else ():
                label = self.net.frames.entered(far, setting.tag_of(vlan) if setting else None)
                if label is not None:
                    found.update(dict.fromkeys(self.reached_from((device_of(far), label, far), port)))
        return tuple(found)

    def reached_from(self, start: State, port: str) -> tuple[str, ...]:
        """Return the end devices that a flood reaches, without the device of the port it came out of."""
        there = self.net.frames.flood(start).there
        found: dict[str, None] = {}
        for vlan in self.net.members:
            for label, devices in self.takers(vlan).items():
                for device, ends in devices.items():
                    if label in there.get(device, {}) and device != device_of(port):
                        found.update(dict.fromkeys(map(device_of, ends)))
        return tuple(found)


def isolation(ask: Ask) -> Isolation:
    """Return the isolation of the plan's VLANs."""
    return Isolation(ask(network))
