"""Frames followed through ports and cables: what a port does with a frame, and everywhere a frame gets to."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from tailboard.answers.network_links import Link, network_links
from tailboard.answers.network_ports import Ports, takes_tags
from tailboard.answers.network_records import Flood, Hop, State
from tailboard.model.show import Model, device_of

UNTAGGED = ""  # label of an untagged frame in a device that passes every frame
Step = tuple[str, Link, str]  # own port, cable, far port


@dataclass(frozen=True, eq=False)
class Frames:
    """What happens to frames in one plan.

    links       network cable: its ends, and why it carries nothing, if so.
    forwarding  devices that pass frames on: switches, and those that pass every frame unchanged.
    live_at     port: the cables at it that carry frames.
    trunks      forwarding device: its live cables to other forwarding devices.
    """

    model: Model
    ports: Ports
    links: dict[str, Link]
    forwarding: frozenset[str]
    live_at: dict[str, tuple[Link, ...]]
    trunks: dict[str, tuple[Step, ...]]
    floods: dict[State, Flood] = field(default_factory=dict, repr=False)

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

    def entered(self, port: str, tag: str | None) -> str | None:
        """Return the label of a frame after it came in by a port of a forwarding device, or None where it is dropped."""
        setting = self.ports.settings.get(port)
        return tag or UNTAGGED if setting is None else setting.classified(tag)

    def left(self, port: str, label: str) -> tuple[bool, str | None]:
        """Return whether a frame leaves by a port of a forwarding device, and with which tag."""
        setting = self.ports.settings.get(port)
        if setting is None:
            return True, label or None
        return setting.sends(label), setting.tag_of(label)

    def hop(self, step: Step, label: str) -> Hop | None:
        """Return the hop of a frame between two forwarding devices, or None where either side drops it."""
        port, link, far = step
        leaves, tag = self.left(port, label)
        after = self.entered(far, tag) if leaves else None
        return None if after is None else Hop(port, link.cable, far, label, after, tag)

    def starts(self, port: str, vlan: str) -> tuple[State, ...]:
        """Return the states in which a frame that a port sends in a VLAN begins: in the first forwarding device.

        The frame could only go back to a plain end, which does no harm: so the port it came in by is left empty, and all
        ends of one VLAN at one switch share one flood.
        """
        device = device_of(port)
        if device in self.forwarding:
            return ((device, (self.sent_tag(port, vlan) or UNTAGGED) if device in self.ports.passing else vlan, ""),)
        tag = self.sent_tag(port, vlan)
        begins = []
        for link in self.live_at.get(port, ()):
            far = link.far(port)
            label = self.entered(far, tag) if device_of(far) in self.forwarding else None
            if label is not None:
                begins.append((device_of(far), label, ""))
        return tuple(begins)

    def flood(self, start: State) -> Flood:
        """Return everywhere a frame gets to from a state. A device never sends a frame out by the port it came in by."""
        known = self.floods.get(start)
        if known is not None:
            return known
        before: dict[State, tuple[State, Hop] | None] = {start: None}
        there: dict[str, dict[str, State]] = {start[0]: {start[1]: start}}
        first_way_in: dict[tuple[str, str], str] = {}
        queue = deque([start])
        while queue:
            state = queue.popleft()
            device, label, way_in = state
            skipped = first_way_in.setdefault((device, label), way_in)
            for step in self.trunks.get(device, ()):
                if step[0] == way_in or (skipped != way_in and step[0] != skipped):
                    continue  # the first arrival left by every port but its own; a later one adds only that port
                hop = self.hop(step, label)
                after = (device_of(step[2]), hop.vlan_after, step[2]) if hop else None
                if hop is not None and after is not None and after not in before:
                    before[after] = (state, hop)
                    there.setdefault(after[0], {}).setdefault(after[1], after)
                    queue.append(after)
        self.floods[start] = Flood(before, there)
        return self.floods[start]


def build_frames(model: Model, found: Ports) -> Frames:
    """Return the frames of a plan with these ports."""
    links = network_links(model, found)
    forwarding = frozenset(
        device for device in found.of_device if model.kind_of(device).role == "switch" or device in found.passing
    )
    live_at: dict[str, list[Link]] = {}
    trunks: dict[str, list[Step]] = {}
    for link in links.values():
        if link.dead is not None:
            continue
        for port in dict.fromkeys(link.ends):
            live_at.setdefault(port, []).append(link)
        if all(device_of(port) in forwarding for port in link.ends):
            trunks.setdefault(device_of(link.port_a), []).append((link.port_a, link, link.port_b))
            trunks.setdefault(device_of(link.port_b), []).append((link.port_b, link, link.port_a))
    return Frames(
        model,
        found,
        links,
        forwarding,
        {port: tuple(items) for port, items in live_at.items()},
        {device: tuple(items) for device, items in trunks.items()},
    )
