"""The multicast groups of the streams: who sends to which, in which VLAN, under which Ethernet address."""

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.answers.flows import flows
from tailboard.model.records import Stream
from tailboard.model.show import Model


@dataclass(frozen=True, slots=True)
class GroupUse:
    """One stream that goes to a group.

    vlan       where it runs; empty where the plan does not tell.
    attribute  'group', or 'second_group' on the second network.
    """

    stream: Stream
    vlan: str
    address: IPv4Address
    attribute: str

    @property
    def low_bits(self) -> int:
        """The 23 bits that become its Ethernet address (RFC 1112 section 6.4)."""
        return int(self.address) & 0x7F_FF_FF

    @property
    def subject(self) -> tuple[str, ...]:
        """The names under which it is claimed."""
        return (self.stream.id,) if self.attribute == "group" else (self.stream.id, "second")


def group_uses(ask: Ask) -> tuple[GroupUse, ...]:
    """Return every group that a declared stream goes to, in the order written."""
    vlans = {(flow.stream, flow.second): flow.vlan for flow in ask(flows).all if flow.multicast}
    found: list[GroupUse] = []
    for stream in ask.model.streams.values():
        for attribute, second in (("group", False), ("second_group", True)):
            address = as_address(getattr(stream, attribute))
            if address is not None and (not second or stream.second_vlan):
                found.append(GroupUse(stream, vlans.get((stream.id, second), stream.vlan or ""), address, attribute))
    return tuple(found)


def as_address(text: str | None) -> IPv4Address | None:
    """Return an address; None for nothing and for the word dhcp."""
    try:
        return IPv4Address(text) if text else None
    except ValueError:
        return None


def is_ours(model: Model, device: str) -> bool:
    """Return whether a device is the unit's or a guest's of ours: nobody else is written as its owner."""
    record = model.devices.get(device)
    return record is not None and not record.owner
