"""LLDP: what a neighbour says of itself on a cable, as bytes and as records.

A frame whose outline or first three parts are wrong is refused as a whole. A later part that is wrong is kept as it
came, with a sentence: what the neighbour says beside it still counts.
Source: IEEE 802.1AB section 8 (frame and parts), IEEE 802.1Q annex D (VLANs), IEEE 802.3 clause 79 (port); layouts from
memory, checked against frames that others sent.
"""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.wire.broken import BrokenPacketError, must_fit
from tailboard.wire.lldp_parts import ChassisId, Extra, Part, PortId, extra_octets, read_extra

ETHERTYPE = 0x88CC  # RFC 7042 appendix B.1
NEAREST_BRIDGE = bytes.fromhex("0180C200000E")  # IEEE 802.1AB section 7.1: no bridge passes it on
LENGTH_MAX = 511  # IEEE 802.1AB section 8.4: nine bits
IDENTITY_BYTES_MAX = 255  # IEEE 802.1AB sections 8.5.2 and 8.5.3
TTL_MAX_S = 65_535  # IEEE 802.1AB section 8.5.4: sixteen bits
HEADER_BYTES = 14  # two MAC addresses and the EtherType


@dataclass(frozen=True, slots=True)
class Message:
    """What a neighbour says of itself. `ended` tells whether the part that marks the end was there.

    ttl_s  how long this counts; 0 where the neighbour says that it leaves.
    """

    chassis: ChassisId
    port: PortId
    ttl_s: int
    parts: tuple[Extra, ...] = ()
    ended: bool = True


@dataclass(frozen=True, slots=True)
class Frame:
    """A message with the MAC addresses that it was sent to and from."""

    source: bytes
    message: Message
    destination: bytes = NEAREST_BRIDGE


def time_to_live_s(interval_s: int, hold: int) -> int:
    """Return how long a message counts where one is sent every `interval_s` and `hold` of them may count at once.

        min(65535, interval * hold)

    Source: IEEE 802.1AB-2005 section 10.5.3.3; the edition of 2009 adds 1 (from memory).
    """
    return min(TTL_MAX_S, interval_s * hold)


def part_bytes(part: int, octets: bytes) -> bytes:
    """Return a part: seven bits of number, nine of length, then its octets. Source: IEEE 802.1AB section 8.4."""
    must_fit("the number of a part", part, 7)
    must_fit("the length of a part", len(octets), 9)
    return (part << 9 | len(octets)).to_bytes(2, "big") + octets


def write(message: Message) -> bytes:
    """Return the octets of a message. Raises ValueError where they would not be read as the same message again."""
    octets = b"".join(
        (
            part_bytes(Part.CHASSIS_ID, must_fit("kind", message.chassis.kind, 8).to_bytes() + message.chassis.octets),
            part_bytes(Part.PORT_ID, must_fit("kind", message.port.kind, 8).to_bytes() + message.port.octets),
            part_bytes(Part.TIME_TO_LIVE, must_fit("time to live", message.ttl_s, 16).to_bytes(2)),
            *(part_bytes(*extra_octets(part)) for part in message.parts),
            part_bytes(Part.END, b"") if message.ended else b"",
        )
    )
    try:
        same = read(octets) == message
    except BrokenPacketError as fault:
        raise ValueError(str(fault)) from fault
    if not same:
        raise ValueError("a part of the message does not fit its place")
    return octets


def write_frame(frame: Frame) -> bytes:
    """Return the Ethernet frame of a message, untagged, without padding and check sequence."""
    return frame.destination + frame.source + ETHERTYPE.to_bytes(2) + write(frame.message)


def read_frame(data: bytes) -> Frame:
    """Return the frame in the octets from destination address to payload. Raises BrokenPacketError where it is none."""
    if len(data) < HEADER_BYTES:
        raise BrokenPacketError(f"an Ethernet frame begins with {HEADER_BYTES} octets; these are {len(data)}")
    kind = int.from_bytes(data[12:14], "big")
    if kind != ETHERTYPE:
        raise BrokenPacketError(f"the EtherType is 0x{kind:04X}; that of LLDP is 0x{ETHERTYPE:04X}")
    return Frame(data[6:12], read(data[HEADER_BYTES:]), data[:6])


def read(data: bytes) -> Message:
    """Return the message in the octets behind the EtherType; padding behind the end is left out.

    Raises BrokenPacketError where a part is cut, or the first three are not chassis, port and time to live, once each.
    Source: IEEE 802.1AB section 9.2.7.7.1 (from memory).
    """
    parts, ended = _outline(data)
    numbers = [number for number, _ in parts]
    if numbers[:3] != [Part.CHASSIS_ID, Part.PORT_ID, Part.TIME_TO_LIVE]:
        raise BrokenPacketError(f"a message must begin with the parts 1, 2, 3; this one has {numbers[:3]}")
    again = sorted({1, 2, 3} & set(numbers[3:]))
    if again:
        raise BrokenPacketError(f"part {again[0]} comes twice; it may come once")
    (_, chassis), (_, port), (_, ttl), *rest = parts
    if len(ttl) != 2:
        raise BrokenPacketError(f"the time to live has {len(ttl)} octets, not 2")
    for what, octets in (("chassis", chassis), ("port", port)):
        if not 2 <= len(octets) <= 1 + IDENTITY_BYTES_MAX:
            raise BrokenPacketError(f"the name of the {what} has {len(octets)} octets with its kind; 2 to 256 may be")
    return Message(
        ChassisId(chassis[0], chassis[1:]),
        PortId(port[0], port[1:]),
        int.from_bytes(ttl, "big"),
        tuple(read_extra(number, octets) for number, octets in rest),
        ended,
    )


def _outline(data: bytes) -> tuple[list[tuple[int, bytes]], bool]:
    """Return (number, octets) of each part, and whether the last one marked the end."""
    parts: list[tuple[int, bytes]] = []
    at = 0
    while at < len(data):
        if len(data) - at < 2:
            raise BrokenPacketError(f"at octet {at} a part should begin, and 1 octet is left")
        head = int.from_bytes(data[at : at + 2], "big")
        number, size, at = head >> 9, head & LENGTH_MAX, at + 2
        if number == Part.END:
            if size:
                raise BrokenPacketError(f"the part that marks the end has {size} octets; it must have none")
            return parts, True
        if len(data) - at < size:
            raise BrokenPacketError(
                f"part {number} at octet {at - 2} says {size} octets, and {len(data) - at} are left"
            )
        parts.append((number, data[at : at + size]))
        at += size
    return parts, False
