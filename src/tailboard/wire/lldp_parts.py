"""The parts of an LLDP message: who speaks, from which port, and what it says of itself, as octets and as records.

Source: IEEE 802.1AB section 8.5, IEEE 802.1Q annex D (VLANs), IEEE 802.3 clause 79 (port); layouts from memory, checked
against frames that others sent.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum
from ipaddress import IPv4Address, IPv6Address

from tailboard.wire.broken import BrokenPacketError, must_fit

DOT1 = bytes.fromhex("0080C2")  # IEEE 802.1Q annex D
DOT3 = bytes.fromhex("00120F")  # IEEE 802.3 clause 79 (from memory)
TEXT_BYTES_MAX = 255  # IEEE 802.1AB sections 8.5.5 to 8.5.7
VLAN_NAME_BYTES_MAX = 32  # IEEE 802.1Q annex D.2.3 (from memory)
VLAN_MAX = 4094  # IEEE 802.1Q section 9.6 (from memory)
ADDRESS_FAMILIES = {(1, 4): IPv4Address, (2, 16): IPv6Address}  # IANA address family numbers
ADDRESS_BYTES_MAX = 31  # IEEE 802.1AB section 8.5.9
OBJECT_BYTES_MAX = 128  # IEEE 802.1AB section 8.5.9
MAC_BYTES = 6


class Part(IntEnum):
    """Which part of a message it is. Source: IEEE 802.1AB section 8.4.1."""

    END = 0
    CHASSIS_ID = 1
    PORT_ID = 2
    TIME_TO_LIVE = 3
    PORT_DESCRIPTION = 4
    SYSTEM_NAME = 5
    SYSTEM_DESCRIPTION = 6
    CAPABILITIES = 7
    MANAGEMENT_ADDRESS = 8
    ORGANISATION = 127


TEXTS = frozenset({Part.PORT_DESCRIPTION, Part.SYSTEM_NAME, Part.SYSTEM_DESCRIPTION})


class ChassisKind(IntEnum):
    """What names a chassis. Source: IEEE 802.1AB section 8.5.2."""

    CHASSIS_COMPONENT = 1
    PORT_ALIAS = 2
    PORT_COMPONENT = 3
    MAC = 4
    ADDRESS = 5
    PORT_NAME = 6
    LOCAL = 7


class PortKind(IntEnum):
    """What names a port. Source: IEEE 802.1AB section 8.5.3."""

    PORT_ALIAS = 1
    PORT_COMPONENT = 2
    MAC = 3
    ADDRESS = 4
    PORT_NAME = 5
    CIRCUIT = 6
    LOCAL = 7


@dataclass(frozen=True, slots=True)
class ChassisId:
    """What names the neighbour; `kind` is a ChassisKind, or a number that is none yet.

    Over SNMP the same two stand in lldpRemChassisIdSubtype and lldpRemChassisId; those of PortId in lldpRemPortIdSubtype
    and lldpRemPortId.
    """

    kind: int
    octets: bytes

    @property
    def words(self) -> str:
        """The name as people write it."""
        return identity_words(self.octets, mac=self.kind == ChassisKind.MAC, address=self.kind == ChassisKind.ADDRESS)


@dataclass(frozen=True, slots=True)
class PortId:
    """What names the neighbour's port; `kind` is a PortKind, or a number that is none yet."""

    kind: int
    octets: bytes

    @property
    def words(self) -> str:
        """The name as people write it."""
        return identity_words(self.octets, mac=self.kind == PortKind.MAC, address=self.kind == PortKind.ADDRESS)


@dataclass(frozen=True, slots=True)
class Text:
    """A name or description; `part` says of what."""

    part: Part
    octets: bytes

    @property
    def words(self) -> str:
        """The text; octets that are no UTF-8 are replaced."""
        return self.octets.decode("utf-8", errors="replace")


@dataclass(frozen=True, slots=True)
class Capabilities:
    """What a neighbour can be and what it is now, as bits. Source: IEEE 802.1AB section 8.5.8, table 8-4."""

    able: int
    enabled: int


@dataclass(frozen=True, slots=True)
class ManagementAddress:
    """Where a neighbour can be asked. Source: IEEE 802.1AB section 8.5.9.

    family         1 IPv4, 2 IPv6 (IANA address family numbers).
    numbering      how `port_number` counts: 1 unknown, 2 ifIndex, 3 system port number.
    object_octets  an object identifier, as it came; often empty.
    """

    family: int
    address: bytes
    numbering: int
    port_number: int
    object_octets: bytes = b""

    @property
    def words(self) -> str:
        """The address as people write it."""
        return identity_words(bytes((self.family,)) + self.address, address=True)


@dataclass(frozen=True, slots=True)
class PortVlan:
    """The VLAN of untagged frames at the neighbour's port; 0 for none. Source: IEEE 802.1Q annex D.2.1."""

    vlan: int


@dataclass(frozen=True, slots=True)
class VlanName:
    """A VLAN at the neighbour's port, with its name. Source: IEEE 802.1Q annex D.2.3."""

    vlan: int
    octets: bytes


@dataclass(frozen=True, slots=True)
class FrameSize:
    """The largest frame of the neighbour's port. Source: IEEE 802.3 clause 79 (from memory)."""

    size_bytes: int


@dataclass(frozen=True, slots=True)
class Organisation:
    """A part that an organisation defines and that is not read further. Source: IEEE 802.1AB section 8.6."""

    organisation: bytes
    kind: int
    octets: bytes


@dataclass(frozen=True, slots=True)
class Unread:
    """A part as it came: of a number that means nothing yet, or broken; then `fault` says in one sentence how."""

    part: int
    octets: bytes
    fault: str = ""


Extra = Text | Capabilities | ManagementAddress | PortVlan | VlanName | FrameSize | Organisation | Unread


def identity_words(octets: bytes, *, mac: bool = False, address: bool = False) -> str:
    """Return what names a chassis or port as people write it: a MAC or network address, else text.

    An address begins with the number of its family. What has the wrong length for its kind is written in hexadecimal.
    """
    if mac and len(octets) == MAC_BYTES:
        return octets.hex(":")
    if address and octets:
        family = ADDRESS_FAMILIES.get((octets[0], len(octets) - 1))
        return str(family(octets[1:])) if family else octets.hex(" ")
    if mac or address:
        return octets.hex(" ")
    return octets.decode("utf-8", errors="replace")


def extra_octets(part: Extra) -> tuple[int, bytes]:
    """Return (number, octets) of a part after the first three."""
    match part:
        case Text():
            return part.part, part.octets
        case Capabilities():
            return Part.CAPABILITIES, _two(part.able) + _two(part.enabled)
        case ManagementAddress():
            address = bytes((1 + len(part.address), part.family)) + part.address
            number = bytes((part.numbering,)) + must_fit("port number", part.port_number, 32).to_bytes(4)
            return Part.MANAGEMENT_ADDRESS, address + number + bytes((len(part.object_octets),)) + part.object_octets
        case PortVlan():
            return Part.ORGANISATION, DOT1 + b"\x01" + _two(part.vlan)
        case VlanName():
            return Part.ORGANISATION, DOT1 + b"\x03" + _two(part.vlan) + bytes((len(part.octets),)) + part.octets
        case FrameSize():
            return Part.ORGANISATION, DOT3 + b"\x04" + _two(part.size_bytes)
        case Organisation():
            return Part.ORGANISATION, part.organisation + bytes((part.kind,)) + part.octets
        case Unread():
            return part.part, part.octets


def _two(value: int) -> bytes:
    """Return a number as two octets."""
    return must_fit("number", value, 16).to_bytes(2)


def read_extra(number: int, octets: bytes) -> Extra:
    """Return a part after the first three; a broken one as it came, with what is wrong."""
    try:
        if number in TEXTS:
            return _text(Part(number), octets)
        if number in READERS:
            return READERS[Part(number)](octets)
    except BrokenPacketError as fault:
        return Unread(number, octets, str(fault))
    return Unread(number, octets)


def _text(part: Part, octets: bytes) -> Text:
    """Return a name or description."""
    if len(octets) > TEXT_BYTES_MAX:
        raise BrokenPacketError(f"a text has {len(octets)} octets; {TEXT_BYTES_MAX} may be")
    return Text(part, octets)


def _capabilities(octets: bytes) -> Capabilities:
    """Return what a neighbour can be and is."""
    _must_have(octets, 4, "the capabilities")
    return Capabilities(int.from_bytes(octets[:2], "big"), int.from_bytes(octets[2:], "big"))


def _management_address(octets: bytes) -> ManagementAddress:
    """Return where a neighbour can be asked."""
    size = octets[0] if octets else 0
    if not 2 <= size <= 1 + ADDRESS_BYTES_MAX or len(octets) < size + 7:
        raise BrokenPacketError(f"a management address says {size} octets in a part of {len(octets)}")
    address, number, named = octets[2 : size + 1], octets[size + 1 : size + 6], octets[size + 7 :]
    if octets[size + 6] != len(named) or len(named) > OBJECT_BYTES_MAX:
        raise BrokenPacketError(
            f"the object of a management address says {octets[size + 6]} octets and has {len(named)}"
        )
    return ManagementAddress(octets[1], address, number[0], int.from_bytes(number[1:], "big"), named)


def _organisation(octets: bytes) -> PortVlan | VlanName | FrameSize | Organisation:
    """Return a part that an organisation defines."""
    if len(octets) < 4:
        raise BrokenPacketError(f"a part of an organisation has {len(octets)} octets; it begins with 4")
    owner, kind, content = octets[:3], octets[3], octets[4:]
    if (owner, kind) == (DOT1, 1):
        _must_have(content, 2, "the port's VLAN")
        return PortVlan(_vlan(content, 0))
    if (owner, kind) == (DOT1, 3):
        if len(content) < 3 or content[2] != len(content) - 3 or content[2] > VLAN_NAME_BYTES_MAX:
            raise BrokenPacketError(f"the name of a VLAN is cut or too long in a part of {len(octets)} octets")
        return VlanName(_vlan(content[:2], 1), content[3:])
    if (owner, kind) == (DOT3, 4):
        _must_have(content, 2, "the largest frame")
        return FrameSize(int.from_bytes(content, "big"))
    return Organisation(owner, kind, content)


def _vlan(octets: bytes, least: int) -> int:
    """Return a VLAN's number."""
    vlan = int.from_bytes(octets, "big")
    if not least <= vlan <= VLAN_MAX:
        raise BrokenPacketError(f"VLAN {vlan} must lie from {least} to {VLAN_MAX}")
    return vlan


def _must_have(octets: bytes, size: int, what: str) -> None:
    """Raise BrokenPacketError where there are more or fewer octets."""
    if len(octets) != size:
        raise BrokenPacketError(f"{what} must have {size} octets and has {len(octets)}")


READERS: dict[Part, Callable[[bytes], Extra]] = {
    Part.CAPABILITIES: _capabilities,
    Part.MANAGEMENT_ADDRESS: _management_address,
    Part.ORGANISATION: _organisation,
}
