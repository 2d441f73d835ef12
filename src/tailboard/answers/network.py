"""The network graph: which frames get where, followed tag by tag through every port as it is set on its own side."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.network_links import Link, live_links
from tailboard.answers.network_ports import Ports, Setting, ports, takes_tags
from tailboard.findings import NOWHERE, Spot
from tailboard.model.show import Model, device_of

UNTAGGED = ""  # label of an untagged frame inside a device that passes every frame


@dataclass(frozen=True, slots=True)
class Hop:
    """One cable crossed by a frame.

    vlan_before  VLAN in which the sending device holds the frame; vlan_after the one into which the next puts it.
    tag          VLAN whose tag the frame bears on the cable; None: untagged.
    """

    port_out: str
    cable: str
    port_in: str
    vlan_before: str
    vlan_after: str
    tag: str | None

    @property
    def words(self) -> str:
        """The hop as a reader follows it."""
        tag = "untagged" if self.tag is None else f"tagged {self.tag}"
        changed = f", lands in {self.vlan_after}" if self.vlan_after not in {self.vlan_before, UNTAGGED} else ""
        return f"{self.port_out} - {self.cable} - {self.port_in} {tag}{changed}"


@dataclass(frozen=True, slots=True)
class Stop:
    """Where and why a frame gets no further; `keys` are what the journey rests on and did not get."""

    words: str
    spot: Spot
    keys: frozenset[str]


@dataclass(frozen=True, slots=True)
class Journey:
    """The way of a frame from one port to another."""

    arrives: bool
    hops: tuple[Hop, ...] = ()
    stop: Stop | None = None


ARRIVED = Journey(True)
State = tuple[str, str, str]  # device, VLAN (or tag, in a device that passes every frame), port by which the frame came in


@dataclass(frozen=True, slots=True)
class Flood:
    """Everywhere a frame gets to: each state with the state and the hop before it; the first has none."""

    before: dict[State, tuple[State, Hop] | None]
    labels: dict[str, dict[str, State]]  # device: label: the first state there

    def hops(self, state: State) -> tuple[Hop, ...]:
        """Return the hops from the beginning to a state."""
        found: list[Hop] = []
        entry = self.before[state]
        while entry is not None:
            found.append(entry[1])
            entry = self.before[entry[0]]
        return tuple(reversed(found))


@dataclass(eq=False)
class Network:
    """The network of one plan.

    written  False where no network cable is written at all: every journey then arrives, and nothing is claimed.
    links    network cable: its ends and why it carries nothing, if so.
    """

    model: Model
    ports: Ports
    links: dict[str, Link]
    forwarding: frozenset[str]
    live_at: dict[str, tuple[Link, ...]] = field(default_factory=dict)
    between: dict[str, tuple[tuple[str, Link, str], ...]] = field(default_factory=dict)
    floods: dict[State, Flood] = field(default_factory=dict)

    @property
    def written(self) -> bool:
        """Whether any network cable is written."""
        return bool(self.links)

    def end_ports(self, device: str) -> tuple[str, ...]:
        """Return the network ports of a device that have a cable."""
        return self.ports.of_device.get(device, ())

    def vlans_of(self, port: str) -> tuple[str, ...]:
        """Return the VLANs a port is in: as its device means it, or, for a switch port, as it is set. Empty: unknown."""
        setting = self.ports.settings.get(port)
        if setting is not None:
            return tuple(sorted(setting.vlans - {""}))
        return self.ports.vlans.get(port, ())

    def vlans_of_device(self, device: str) -> tuple[str, ...]:
        """Return the VLANs a device means to be in, by its ports and addresses."""
        record = self.model.devices.get(device)
        names = [vlan for port in self.end_ports(device) for vlan in self.ports.vlans.get(port, ())]
        own = record.address or {} if record else {}
        return tuple(dict.fromkeys([*own, *names]))

    def shared_vlans(self, device_a: str, device_b: str) -> tuple[str, ...]:
        """Return the VLANs that both devices mean to be in."""
        others = set(self.vlans_of_device(device_b))
        return tuple(vlan for vlan in self.vlans_of_device(device_a) if vlan in others)

    def sent_tag(self, port: str, vlan: str) -> str | None:
        """Return the tag with which an end port sends and takes frames of a VLAN; None is untagged.

        An end port is untagged unless it takes tags; then its cable decides, and without a word there it is tagged
        where it is in several VLANs.
        """
        if not vlan or not takes_tags(self.model, port):
            return None
        for cable in self.ports.at.get(port, ()):
            record = self.model.cables[cable]
            if record.native == vlan:
                return None
            if record.carries is not None:
                return vlan
        return vlan if len(self.ports.vlans.get(port, ())) > 1 else None

    def journey(self, from_port: str, to_port: str, vlan: str) -> Journey:
        """Return the way of a frame that `from_port` sends in a VLAN (empty: untagged) to `to_port`.

        A port is DEVICE/PORT; a switch's own address is reached under the switch's name. Both ports of one device: arrives.
        """
        if not self.written or device_of(from_port) == device_of(to_port):
            return ARRIVED
        for port in (from_port, to_port):
            if not self.end_is_open(port):
                return Journey(False, (), self.no_cable(port))
        start = self.start(from_port, vlan)
        hops = self.arrival(start, from_port, to_port, vlan)
        return Journey(True, hops) if hops is not None else Journey(False, (), self.why_not(from_port, to_port, vlan))

    def reach(self, from_port: str, vlan: str) -> dict[str, Journey]:
        """Return every end port to which a frame of a VLAN gets, whether its device wants the VLAN or not."""
        found: dict[str, Journey] = {}
        for device, cabled in self.ports.of_device.items():
            if device == device_of(from_port) or device in self.forwarding:
                continue
            for port in cabled:
                hops = self.arrival(self.start(from_port, vlan), from_port, port, None)
                if hops is not None:
                    found[port] = Journey(True, hops)
        return found

    def meeting(self, device_a: str, device_b: str, vlan: str = "") -> Journey:
        """Return the way of a frame from one device to another over any VLAN both are in, or over `vlan` alone.

        Where neither says its VLANs, frames are followed as they leave: untagged. A router that forwards between a
        VLAN of the one and a VLAN of the other joins them.
        """
        if not self.written or device_a == device_b or not self.is_known(device_a) or not self.is_known(device_b):
            return ARRIVED
        for device in (device_a, device_b):
            if not self.attached(device):
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

    # -- how a frame gets in, through and out ------------------------------------------------------------------

    def is_known(self, device: str) -> bool:
        """Return whether the device and its kind exist; what does not is reported by the reader."""
        record = self.model.devices.get(device)
        return record is not None and (record.kind in self.model.library.kinds or device in self.ports.of_device)

    def common(self, device_a: str, device_b: str) -> tuple[str, ...]:
        """Return the VLANs to try between two devices; the empty name where one of them says none."""
        of_a, of_b = self.vlans_of_device(device_a), self.vlans_of_device(device_b)
        if not of_a or not of_b:
            return (*of_a, *of_b, "") if not (of_a and of_b) else ()
        return self.shared_vlans(device_a, device_b)

    def attached(self, device: str, vlan: str | None = None) -> tuple[str, ...]:
        """Return the end ports of a device, of a VLAN if one is given; a switch is its own end."""
        if self.model.kind_of(device).role == "switch":
            return (device,) if device in self.ports.of_device else ()
        cabled = self.end_ports(device)
        if not vlan:
            return cabled
        return tuple(port for port in cabled if vlan in self.ports.vlans.get(port, (vlan,)))

    def end_is_open(self, port: str) -> bool:
        """Return whether a port has a cable, or is a switch's own address."""
        return port in self.ports.at or port in self.forwarding

    def start(self, port: str, vlan: str) -> list[State]:
        """Return the states in which a frame that a port sends begins: at the first device that passes frames on."""
        device = device_of(port)
        if device in self.forwarding:
            label = vlan if device not in self.ports.passing else self.sent_tag(port, vlan) or UNTAGGED
            return [(device, label, "")]
        tag = self.sent_tag(port, vlan)
        begins = []
        for link in self.live_at.get(port, ()):
            far = link.far(port)
            label = self.entered(far, tag)
            if device_of(far) in self.forwarding and label is not None:
                begins.append((device_of(far), label, self.way_in(far, port)))
        return begins

    def way_in(self, far: str, port: str) -> str:
        """Return the port by which a frame came in; empty where no frame could go back to do harm: a plain end is there.

        All ends of one VLAN at one switch then share one flood.
        """
        return "" if device_of(port) not in self.forwarding else far

    def entered(self, port: str, tag: str | None) -> str | None:
        """Return the label a frame has after it entered by a port, or None where the port drops it."""
        setting = self.ports.settings.get(port)
        if setting is not None:
            return setting.classified(tag)
        return tag or UNTAGGED

    def left(self, port: str, label: str) -> tuple[bool, str | None]:
        """Return whether a frame leaves by a port, and with which tag."""
        setting = self.ports.settings.get(port)
        if setting is not None:
            return setting.sends(label), setting.tag_of(label)
        return True, label or None

    def flood(self, start: State) -> Flood:
        """Return everywhere a frame gets to from a state; it never leaves by the port it came in by."""
        known = self.floods.get(start)
        if known is not None:
            return known
        before: dict[State, tuple[State, Hop] | None] = {start: None}
        labels: dict[str, dict[str, State]] = {start[0]: {start[1]: start}}
        left_out: dict[tuple[str, str], str] = {}
        queue = deque([start])
        while queue:
            state = queue.popleft()
            device, label, way_in = state
            skipped = left_out.setdefault((device, label), way_in)
            for port, link, far in self.between.get(device, ()):
                if port == way_in or (skipped != way_in and port != skipped):
                    continue  # the first arrival left by every port but its own; a later one adds only that port
                hop = self.hop(port, link, far, label)
                if hop is None:
                    continue
                after = (device_of(far), hop.vlan_after, far)
                if after not in before:
                    before[after] = (state, hop)
                    labels.setdefault(after[0], {}).setdefault(after[1], after)
                    queue.append(after)
        found = Flood(before, labels)
        self.floods[start] = found
        return found

    def hop(self, port: str, link: Link, far: str, label: str) -> Hop | None:
        """Return the hop of a frame over a cable between two devices that pass frames on, or None where it is dropped."""
        passes, tag = self.left(port, label)
        after = self.entered(far, tag) if passes else None
        return None if after is None else Hop(port, link.cable, far, label, after, tag)

    def arrival(self, start: list[State], from_port: str, to_port: str, vlan: str | None) -> tuple[Hop, ...] | None:
        """Return the hops by which a frame gets to a port, or None. `vlan` None takes it with whatever tag it bears."""
        target = device_of(to_port)
        tag_in = None if vlan is None else self.sent_tag(to_port, vlan)
        if device_of(from_port) not in self.forwarding:
            tag = self.sent_tag(from_port, vlan or "")
            for link in self.live_at.get(from_port, ()):
                if link.far(from_port) == to_port and target not in self.forwarding and tag == tag_in:
                    return (Hop(from_port, link.cable, to_port, vlan or "", vlan or "", tag),)
        for state in start:
            flood = self.flood(state)
            first = self.first_hop(from_port, state, vlan or "")
            if target in self.forwarding:
                label = (tag_in or UNTAGGED) if target in self.ports.passing else vlan or ""
                there = flood.labels.get(target, {}).get(label)
                if there is not None:
                    return (*first, *flood.hops(there))
                continue
            for link in self.live_at.get(to_port, ()):
                last = self.last_hop(flood, link, to_port, vlan, tag_in)
                if last is not None:
                    return (*first, *last)
        return None

    def first_hop(self, port: str, state: State, vlan: str) -> tuple[Hop, ...]:
        """Return the hop from an end port into the first device that passes frames on."""
        if device_of(port) == state[0]:
            return ()
        for link in self.live_at.get(port, ()):
            far = link.far(port)
            tag = self.sent_tag(port, vlan)
            if device_of(far) == state[0] and self.entered(far, tag) == state[1]:
                return (Hop(port, link.cable, far, vlan, state[1], tag),)
        return ()

    def last_hop(self, flood: Flood, link: Link, to_port: str, vlan: str | None, tag_in: str | None) -> tuple[Hop, ...] | None:
        """Return the hops of a flood that end at an end port behind `link`, or None."""
        port = link.far(to_port)
        for label, state in flood.labels.get(device_of(port), {}).items():
            passes, tag = self.left(port, label)
            if passes and (vlan is None or tag == tag_in) and (tag is None or takes_tags(self.model, to_port)):
                return (*flood.hops(state), Hop(port, link.cable, to_port, label, label if vlan is None else vlan, tag))
        return None

    def routed(self, device_a: str, device_b: str) -> Journey | None:
        """Return the way through a router that forwards between a VLAN of each, or None."""
        for router, record in self.model.devices.items():
            if len(record.forwards) < 2 or router in {device_a, device_b}:
                continue
            into = self.meeting(device_a, router) if self.shares_forwarded(device_a, router) else None
            out = self.meeting(router, device_b) if self.shares_forwarded(device_b, router) else None
            if into and out and into.arrives and out.arrives:
                return Journey(True, (*into.hops, *out.hops))
        return None

    def shares_forwarded(self, device: str, router: str) -> bool:
        """Return whether a device is in a VLAN between which a router forwards."""
        return bool(set(self.vlans_of_device(device)) & set(self.model.devices[router].forwards))

    # -- why a frame does not arrive ---------------------------------------------------------------------------

    def no_cable(self, port: str) -> Stop:
        """Return the stop at a device that has no network cable."""
        device = device_of(port)
        record = self.model.devices.get(device)
        return Stop(f"{device} has no network cable", record.at.spot() if record else NOWHERE, frozenset({f"device {device}"}))

    def nothing_shared(self, device_a: str, device_b: str) -> Stop:
        """Return the stop between devices that are in no VLAN together."""
        of_a = ", ".join(self.vlans_of_device(device_a)) or "no VLAN that is written"
        of_b = ", ".join(self.vlans_of_device(device_b)) or "no VLAN that is written"
        spot = self.model.devices[device_b].at.spot("address")
        return Stop(f"{device_a} is in {of_a}, {device_b} in {of_b}", spot,
                    frozenset({f"device {device_a}", f"device {device_b}"}))

    def why_not(self, from_port: str, to_port: str, vlan: str) -> Stop:
        """Return where a frame of a VLAN stops on the shortest way of cables to a port."""
        way = self.shortest(from_port, to_port, live=True) or self.shortest(from_port, to_port, live=False)
        if way is None:
            device = self.model.devices[device_of(to_port)]
            return Stop(f"no cables lead from {device_of(from_port)} to {device_of(to_port)}", device.at.spot(),
                        frozenset({f"device {device_of(from_port)}", f"device {device_of(to_port)}"}))
        label: str = vlan
        tag = self.sent_tag(from_port, vlan)
        for port, link, far in way:
            if link.dead is not None:
                return Stop(link.dead.words, link.dead.spot, frozenset({f"cable {link.cable}"}))
            setting = self.ports.settings.get(port)
            if device_of(port) in self.forwarding:
                passes, tag = self.left(port, label)
                if not passes:
                    assert setting is not None
                    return self.dropped(setting, link, label, f"{port} does not pass {label or 'untagged frames'}")
            after = self.entered(far, tag)
            if after is None:
                drop = self.ports.settings[far]
                how = "untagged frames" if tag is None else f"frames tagged {tag}"
                return self.dropped(drop, link, label, f"{far} drops {how}")
            label = after
        return self.not_wanted(way[-1], vlan, label, tag)

    def dropped(self, setting: Setting, link: Link, label: str, words: str) -> Stop:
        """Return the stop at a switch port that drops a frame."""
        said = setting.untagged_said if setting.access else setting.tagged_said
        return Stop(words, said.spot, frozenset({f"{link.cable}~{label}", f"port {setting.port}"}))

    def not_wanted(self, last: tuple[str, Link, str], vlan: str, label: str, tag: str | None) -> Stop:
        """Return the stop at an end port that gets a frame with another tag, or from another VLAN."""
        port, link, far = last
        how = "untagged" if tag is None else f"tagged {tag}"
        setting = self.ports.settings.get(port)
        spot = setting.untagged_said.spot if setting else self.model.cables[link.cable].at.spot()
        words = f"{far} gets {vlan or 'frames'} {how} and does not take it so" if label == vlan else f"{port} is in {label}, not in {vlan}"
        return Stop(words, spot, frozenset({f"{link.cable}~{vlan}", f"port {port}"}))

    def shortest(self, from_port: str, to_port: str, *, live: bool) -> list[tuple[str, Link, str]] | None:
        """Return the fewest cables between two ports, tags and settings set aside."""
        target = device_of(to_port)
        before: dict[str, tuple[str, str, Link, str] | None] = {device_of(from_port): None}
        queue = deque([device_of(from_port)])
        while queue and target not in before:
            device = queue.popleft()
            if before[device] is not None and device not in self.forwarding:
                continue
            for port, link, far in self.steps(device, live=live):
                if before[device] is None and device not in self.forwarding and port != from_port:
                    continue
                if device_of(far) == target and target not in self.forwarding and far != to_port:
                    continue
                if device_of(far) not in before:
                    before[device_of(far)] = (device, port, link, far)
                    queue.append(device_of(far))
        if target not in before:
            return None
        way: list[tuple[str, Link, str]] = []
        entry = before[target]
        while entry is not None:
            way.append(entry[1:])
            entry = before[entry[0]]
        return way[::-1]

    def steps(self, device: str, *, live: bool) -> Iterator[tuple[str, Link, str]]:
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
    """Return the network of a plan's ports."""
    links = live_links(model, found)
    forwarding = frozenset(
        device for device in found.of_device if model.kind_of(device).role == "switch" or device in found.passing
    )
    live_at: dict[str, list[Link]] = {}
    between: dict[str, list[tuple[str, Link, str]]] = {}
    for link in links.values():
        if link.dead is not None:
            continue
        for port in dict.fromkeys((link.port_a, link.port_b)):
            live_at.setdefault(port, []).append(link)
        if device_of(link.port_a) in forwarding and device_of(link.port_b) in forwarding:
            between.setdefault(device_of(link.port_a), []).append((link.port_a, link, link.port_b))
            between.setdefault(device_of(link.port_b), []).append((link.port_b, link, link.port_a))
    return Network(model, found, links, forwarding,
                   {port: tuple(items) for port, items in live_at.items()},
                   {device: tuple(items) for device, items in between.items()})
