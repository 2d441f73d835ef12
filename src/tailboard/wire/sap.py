"""SAP: announcements of streams as bytes and as records, the group they go to, how often they come and when they lapse.

That an encrypted or compressed payload holds its type inside is from memory of RFC 2974 section 6.
"""

from __future__ import annotations

from dataclasses import dataclass
from ipaddress import IPv4Address, IPv4Network, IPv6Address

from tailboard.wire.broken import BrokenPacketError, must_fit

VERSION = 1  # RFC 2974 section 6: SAPv1 and SAPv2 both write 1
PORT = 9875  # RFC 2974 section 3
GLOBAL_GROUP = IPv4Address("224.2.127.254")  # RFC 2974 section 3
GROUP_END_IPV6 = 0x2_7FFE  # RFC 2974 section 3: FF0X::2:7FFE, X the scope
TTL = 255  # RFC 2974 section 3: SHOULD
SDP_TYPE = "application/sdp"  # RFC 2974 section 6: what is meant where no type is written
RATE_LIMIT_BIT_PER_S = 4000.0  # RFC 2974 section 3.1: of all announcements of a scope
INTERVAL_S_MIN = 300.0  # RFC 2974 section 3.1
LAPSE_INTERVALS = 10  # RFC 2974 section 4
LAPSE_S_MIN = 3600.0  # RFC 2974 section 4
HEAD_BYTES = 4  # RFC 2974 section 6: flags, length of the proof, 16 bits of hash
IPV6, RESERVED, DELETION, ENCRYPTED, COMPRESSED = 0x10, 0x08, 0x04, 0x02, 0x01  # RFC 2974 section 6: A R T E C


@dataclass(frozen=True, slots=True)
class Announcement:
    """One SAP packet. Source: RFC 2974 section 6.

    source        address of the sender; with the hash it names one version of one announcement.
    proof         authentication data, a multiple of four bytes, not looked into.
    payload_type  the type in front of the payload; empty where none stands, which means SDP.
    payload       the SDP text, its `o=` line alone in a deletion; encrypted or compressed as it came, type and all.
    """

    source: IPv4Address | IPv6Address
    message_hash: int
    payload: bytes
    payload_type: str = ""
    deletion: bool = False
    encrypted: bool = False
    compressed: bool = False
    proof: bytes = b""


def read(data: bytes) -> Announcement:
    """Return the announcement in the bytes of a UDP datagram. Raises BrokenPacketError where they are none.

    The reserved bit is not looked at, as RFC 2974 section 6 has it.
    """
    if len(data) < HEAD_BYTES:
        raise BrokenPacketError(f"a SAP header has {HEAD_BYTES} bytes and an address; these are {len(data)} bytes")
    flags, words = data[0], data[1]
    if flags >> 5 != VERSION:
        raise BrokenPacketError(f"SAP version {flags >> 5}, not {VERSION}")
    proof_start = HEAD_BYTES + (16 if flags & IPV6 else 4)
    start = proof_start + 4 * words
    if len(data) < start:
        raise BrokenPacketError(f"a SAP header of {start} bytes in a packet of {len(data)}")
    address = data[HEAD_BYTES:proof_start]
    closed = bool(flags & (ENCRYPTED | COMPRESSED))
    payload_type, payload = ("", data[start:]) if closed else _typed(data[start:])
    return Announcement(
        IPv6Address(address) if flags & IPV6 else IPv4Address(address),
        int.from_bytes(data[2:4], "big"),
        payload,
        payload_type,
        deletion=bool(flags & DELETION),
        encrypted=bool(flags & ENCRYPTED),
        compressed=bool(flags & COMPRESSED),
        proof=data[proof_start:start],
    )


def _typed(body: bytes) -> tuple[str, bytes]:
    """Return the type in front of a payload and the payload.

    Without a type the payload begins with `v=0` (RFC 2974 section 6), or with `o=` in a deletion, which has that line
    alone (section 4).
    """
    if body.startswith((b"v=0", b"o=")):
        return "", body
    name, end, payload = body.partition(b"\0")
    if not end:
        raise BrokenPacketError("neither a payload type with a zero byte behind it, nor SDP that begins with v=0")
    if not name.isascii() or not name.decode("ascii").isprintable() or b"/" not in name:
        raise BrokenPacketError(f"a payload type is text such as {SDP_TYPE}; this is {name!r}")
    return name.decode("ascii"), payload


def write(announcement: Announcement) -> bytes:
    """Return the bytes of an announcement. Raises ValueError where a field does not fit, or could not be read back."""
    words, rest = divmod(len(announcement.proof), 4)
    if rest:
        raise ValueError(f"authentication data of {len(announcement.proof)} bytes is no multiple of four")
    payload_type = announcement.payload_type
    closed = announcement.encrypted or announcement.compressed
    if closed and payload_type:
        raise ValueError("the type of an encrypted or compressed payload is inside it")
    body = (payload_type.encode("ascii") + b"\0" if payload_type else b"") + announcement.payload
    if not closed and _typed_or_none(body) != (payload_type, announcement.payload):
        raise ValueError("a payload other than SDP needs its type, and a type is text such as application/sdp")
    flags = (
        VERSION << 5
        | (IPV6 if announcement.source.version == 6 else 0)
        | (DELETION if announcement.deletion else 0)
        | (ENCRYPTED if announcement.encrypted else 0)
        | (COMPRESSED if announcement.compressed else 0)
    )
    head = bytes([flags, must_fit("words of authentication data", words, 8)])
    message_hash = must_fit("hash", announcement.message_hash, 16).to_bytes(2, "big")
    return head + message_hash + announcement.source.packed + announcement.proof + body


def _typed_or_none(body: bytes) -> tuple[str, bytes] | None:
    """Return the type and the payload that a reader would find; None where it would refuse them."""
    try:
        return _typed(body)
    except BrokenPacketError:
        return None


def group(scope: IPv4Network) -> IPv4Address:
    """Return the group that announcements of an administrative scope go to: its highest address.

    Source: RFC 2974 section 3; outside such scopes it is GLOBAL_GROUP.
    >>> group(IPv4Network("239.255.0.0/16"))
    IPv4Address('239.255.255.255')
    """
    return scope.broadcast_address


def group_ipv6(scope: int) -> IPv6Address:
    """Return the group of an IPv6 scope, FF0X::2:7FFE. Source: RFC 2974 section 3.

    >>> group_ipv6(5)
    IPv6Address('ff05::2:7ffe')
    """
    return IPv6Address((0xFF00 | must_fit("scope", scope, 4)) << 112 | GROUP_END_IPV6)


def interval_s(count: int, size_bytes: int, limit_bit_per_s: float = RATE_LIMIT_BIT_PER_S) -> float:
    """Return the time between two announcements of one stream, before it is varied by up to a third. [s]

        max(300, 8 x count x size / limit)

    count       announcements in the scope.
    size_bytes  size of this one.

    Source: RFC 2974 section 3.1.
    >>> interval_s(1000, 400)
    800.0
    """
    return max(INTERVAL_S_MIN, 8 * count * size_bytes / limit_bit_per_s)


def lapse_s(interval_s: float) -> float:
    """Return the time after which an announcement that is heard no more is forgotten. [s]

        max(10 x interval, 1 hour)

    Source: RFC 2974 section 4.
    >>> lapse_s(800.0)
    8000.0
    """
    return max(LAPSE_INTERVALS * interval_s, LAPSE_S_MIN)
