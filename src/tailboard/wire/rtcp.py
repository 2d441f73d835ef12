"""RTCP: compound packets as bytes and as records, NTP time, and the round trip that two reports measure.

Our names beside those of RFC 3550: source (SSRC), number (sequence number), last report (LSR), since report (DLSR).
The layout of descriptions and goodbyes (sections 6.5, 6.6) and the numbers of the types (section 12.1) are from memory.
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from tailboard.wire.broken import BrokenPacketError, must_fit
from tailboard.wire.rtp import LOST_MAX, LOST_MIN, VERSION

HEADER = struct.Struct("!BBH")  # RFC 3550 section 6.4.1: flags and count, type, length in words of four bytes less one
SENDER = struct.Struct("!IQIII")  # RFC 3550 section 6.4.1: source and sender info
REPORT = struct.Struct("!IIIIII")  # RFC 3550 section 6.4.1: report block
SENDER_REPORT, RECEIVER_REPORT, DESCRIPTION, GOODBYE, APPLICATION = range(200, 205)  # RFC 3550 section 12.1
COUNT_MAX = 31  # RFC 3550 section 6.4.1: five bits
NTP_EPOCH = datetime(1900, 1, 1, tzinfo=UTC)  # RFC 3550 section 4
NTP_FRACTION = 1 << 32  # RFC 3550 section 4: the low 32 bits are a binary fraction of a second
MIDDLE_UNIT = 1 << 16  # RFC 3550 section 6.4.1: the middle 32 bits count 1/65536 s
MIDDLES = 1 << 32


@dataclass(frozen=True, slots=True)
class Report:
    """What a receiver says of one source. Source: RFC 3550 section 6.4.1, report block.

    lost_share    share lost since the last report, in 256ths; lost: packets lost in all, below zero where copies came.
    highest       highest number received, with the rounds before it.
    jitter        interarrival jitter in units of the timestamp.
    last_report   middle 32 bits of the NTP time in the last sender report of that source; 0 without one.
    since_report  time since that came, in 1/65536 s.
    """

    source: int
    lost_share: int
    lost: int
    highest: int
    jitter: int
    last_report: int
    since_report: int


@dataclass(frozen=True, slots=True)
class SenderReport:
    """What a sender says of itself, and of those it hears. ntp_time: 64 bits. Source: RFC 3550 section 6.4.1.

    extension  what a profile adds behind the reports, a multiple of four bytes.
    """

    source: int
    ntp_time: int
    timestamp: int
    packet_count: int
    payload_bytes: int
    reports: tuple[Report, ...] = ()
    extension: bytes = b""


@dataclass(frozen=True, slots=True)
class ReceiverReport:
    """What one who only listens says of those it hears. Source: RFC 3550 section 6.4.2."""

    source: int
    reports: tuple[Report, ...] = ()
    extension: bytes = b""


@dataclass(frozen=True, slots=True)
class Description:
    """Who the sources are: (source, ((item type, text), ...)) each; item type 1 is CNAME. Source: RFC 3550 section 6.5."""

    chunks: tuple[tuple[int, tuple[tuple[int, bytes], ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class Goodbye:
    """Sources that leave, and why; None where no reason is given. Source: RFC 3550 section 6.6."""

    sources: tuple[int, ...]
    reason: bytes | None = None


@dataclass(frozen=True, slots=True)
class Other:
    """A packet of another type, APP too: the count of its header and the bytes behind it, a multiple of four."""

    kind: int
    count: int
    body: bytes


Packet = SenderReport | ReceiverReport | Description | Goodbye | Other


def read(data: bytes) -> tuple[Packet, ...]:
    """Return the packets of a compound packet. Raises BrokenPacketError where the bytes are none.

    Source: RFC 3550 section 6.1 and the checks of appendix A.2: every packet of version 2, a report first, padding only in
    the last, lengths that add up.
    """
    found: list[Packet] = []
    start = 0
    while start < len(data) or not found:
        if len(data) - start < HEADER.size:
            raise BrokenPacketError(f"an RTCP header has {HEADER.size} bytes; {len(data) - start} are left")
        flags, kind, words = HEADER.unpack_from(data, start)
        end = start + 4 * (words + 1)
        if flags >> 6 != VERSION:
            raise BrokenPacketError(f"RTCP version {flags >> 6}, not {VERSION}")
        if not found and kind not in {SENDER_REPORT, RECEIVER_REPORT}:
            raise BrokenPacketError(f"a compound packet begins with a report, type 200 or 201; this is type {kind}")
        if end > len(data):
            raise BrokenPacketError(f"an RTCP packet of {end - start} bytes where {len(data) - start} are left")
        body = data[start + HEADER.size : end]
        if flags & 0x20:
            body = _without_padding(body, last=end == len(data))
        found.append(_packet(kind, flags & COUNT_MAX, body))
        start = end
    return tuple(found)


def _without_padding(body: bytes, *, last: bool) -> bytes:
    """Return the bytes of a packet before its padding. RFC 3550 section 6.4.1: a multiple of four, the last byte says it."""
    if not last:
        raise BrokenPacketError("padding in an RTCP packet that is not the last")
    count = body[-1] if body else 0
    if not count or count % 4 or count > len(body):
        raise BrokenPacketError(f"padding of {count} bytes in an RTCP packet with {len(body)} behind its header")
    return body[:-count]


def _packet(kind: int, count: int, body: bytes) -> Packet:
    """Return the record of one packet."""
    if kind == SENDER_REPORT:
        _must_hold("a sender report", body, SENDER.size + count * REPORT.size)
        source, ntp_time, timestamp, packet_count, size = SENDER.unpack_from(body)
        reports, extension = _reports(body, count, SENDER.size)
        return SenderReport(source, ntp_time, timestamp, packet_count, size, reports, extension)
    if kind == RECEIVER_REPORT:
        _must_hold("a receiver report", body, 4 + count * REPORT.size)
        return ReceiverReport(int.from_bytes(body[:4], "big"), *_reports(body, count, 4))
    if kind == DESCRIPTION:
        return _description(count, body)
    if kind == GOODBYE:
        return _goodbye(count, body)
    return Other(kind, count, body)


def _must_hold(what: str, body: bytes, size: int) -> None:
    """Raise BrokenPacketError where a packet is shorter than its count says."""
    if len(body) < size:
        raise BrokenPacketError(f"{what} that needs {size} bytes behind its header has {len(body)}")


def _reports(body: bytes, count: int, start: int) -> tuple[tuple[Report, ...], bytes]:
    """Return the report blocks of a packet, and what stands behind them."""
    found = []
    for index in range(count):
        source, loss, *rest = REPORT.unpack_from(body, start + index * REPORT.size)
        lost = loss & 0xFFFFFF
        found.append(Report(source, loss >> 24, lost - (1 << 24) if lost > LOST_MAX else lost, *rest))
    return tuple(found), body[start + count * REPORT.size :]


def _description(count: int, body: bytes) -> Description:
    """Return a source description. RFC 3550 section 6.5: items end with a zero byte and are filled to four bytes."""
    chunks = []
    at = 0
    for _ in range(count):
        _must_hold("a description", body, at + 5)
        source = int.from_bytes(body[at : at + 4], "big")
        at += 4
        items = []
        while at < len(body) and body[at]:
            _must_hold("a description", body, at + 2)
            end = at + 2 + body[at + 1]
            _must_hold("a description", body, end)
            items.append((body[at], body[at + 2 : end]))
            at = end
        _must_hold("a description", body, at + 1)
        chunks.append((source, tuple(items)))
        at = 4 * (at // 4 + 1)
    return Description(tuple(chunks))


def _goodbye(count: int, body: bytes) -> Goodbye:
    """Return a goodbye. RFC 3550 section 6.6: the reason is a length and as many bytes."""
    _must_hold("a goodbye", body, 4 * count)
    sources = struct.unpack_from(f"!{count}I", body)
    rest = body[4 * count :]
    if not rest:
        return Goodbye(sources)
    _must_hold("a goodbye", body, 4 * count + 1 + rest[0])
    return Goodbye(sources, rest[1 : 1 + rest[0]])


def write(packets: Sequence[Packet]) -> bytes:
    """Return the bytes of a compound packet. Raises ValueError where it does not begin with a report or a field is too big."""
    if not packets or not isinstance(packets[0], SenderReport | ReceiverReport):
        raise ValueError("a compound packet begins with a report")
    return b"".join(_written(packet) for packet in packets)


def _written(packet: Packet) -> bytes:
    """Return the bytes of one packet."""
    if isinstance(packet, SenderReport):
        own = (packet.source, packet.ntp_time, packet.timestamp, packet.packet_count, packet.payload_bytes)
        for what, value in zip(("source", "NTP time", "timestamp", "packets", "bytes"), own, strict=True):
            must_fit(what, value, 64 if what == "NTP time" else 32)
        body = SENDER.pack(*own) + _written_reports(packet.reports) + packet.extension
        return _framed(SENDER_REPORT, len(packet.reports), body)
    if isinstance(packet, ReceiverReport):
        body = must_fit("source", packet.source, 32).to_bytes(4, "big") + _written_reports(packet.reports)
        return _framed(RECEIVER_REPORT, len(packet.reports), body + packet.extension)
    if isinstance(packet, Description):
        return _framed(DESCRIPTION, len(packet.chunks), b"".join(_chunk(*chunk) for chunk in packet.chunks))
    if isinstance(packet, Goodbye):
        sources = b"".join(must_fit("source", source, 32).to_bytes(4, "big") for source in packet.sources)
        reason = b"" if packet.reason is None else _filled(_counted(packet.reason))
        return _framed(GOODBYE, len(packet.sources), sources + reason)
    return _framed(packet.kind, packet.count, packet.body)


def _framed(kind: int, count: int, body: bytes) -> bytes:
    """Return a packet with its header."""
    words, rest = divmod(len(body), 4)
    if rest:
        raise ValueError(f"an RTCP packet of {len(body)} bytes behind its header is no multiple of four")
    flags = VERSION << 6 | must_fit("count", count, 5)
    return HEADER.pack(flags, must_fit("type", kind, 8), must_fit("length", words, 16)) + body


def _written_reports(reports: tuple[Report, ...]) -> bytes:
    """Return report blocks as bytes."""
    found = []
    for report in reports:
        if not LOST_MIN <= report.lost <= LOST_MAX:
            raise ValueError(f"lost {report.lost} does not fit 24 bits with sign")
        loss = must_fit("lost share", report.lost_share, 8) << 24 | report.lost & 0xFFFFFF
        last = (report.highest, report.jitter, report.last_report, report.since_report)
        found.append(REPORT.pack(*(must_fit("a report's field", value, 32) for value in (report.source, loss, *last))))
    return b"".join(found)


def _chunk(source: int, items: tuple[tuple[int, bytes], ...]) -> bytes:
    """Return the items of one source, ended and filled."""
    if any(not 0 < kind <= 0xFF for kind, _ in items):
        raise ValueError("item types are 1 to 255; 0 ends the items")
    body = b"".join(bytes([kind]) + _counted(text) for kind, text in items)
    return must_fit("source", source, 32).to_bytes(4, "big") + _filled(body + b"\0")


def _counted(text: bytes) -> bytes:
    """Return a text with its length before it."""
    return bytes([must_fit("length of a text", len(text), 8)]) + text


def _filled(body: bytes) -> bytes:
    """Return bytes with zeros behind them up to a multiple of four."""
    return body + bytes(-len(body) % 4)


def ntp_utc(ntp_time: int) -> datetime:
    """Return the date of an NTP time of 64 bits, to the microsecond, in its first era (until 2036).

    Source: RFC 3550 section 4.
    Check (published, RFC 3550 figure 2): 0xb44db705.20000000 is 10 November 1995, 11:33:25.125 UTC.
    >>> ntp_utc(0xb44db705_20000000).isoformat()
    '1995-11-10T11:33:25.125000+00:00'
    """
    seconds, fraction = divmod(ntp_time, NTP_FRACTION)
    return NTP_EPOCH + timedelta(seconds=seconds, microseconds=fraction * 1_000_000 // NTP_FRACTION)


def ntp_middle(ntp_time: int) -> int:
    """Return the middle 32 of an NTP time's 64 bits: 1/65536 s, round every 18.2 hours. Source: RFC 3550 section 4."""
    return ntp_time >> 16 & MIDDLES - 1


def round_trip_s(arrival: int, report: Report) -> float:
    """Return the time to the one who sent a report and back. [s]

        A - LSR - DLSR, modulo 2^32, in 1/65536 s

    arrival  middle 32 bits of the NTP time at which the report came.

    A result of more than half a round is below zero: clocks that do not run alike can give that.
    Source: RFC 3550 section 6.4.1. Raises ValueError for a report that answers no sender report.
    Check (published, RFC 3550 figure 2): 6.125 s.
    >>> round_trip_s(0xb7108000, Report(0, 0, 0, 0, 0, 0xb7052000, 0x00054000))
    6.125
    """
    if not report.last_report:
        raise ValueError("no sender report was answered")
    half = MIDDLES // 2
    return ((arrival - report.last_report - report.since_report + half) % MIDDLES - half) / MIDDLE_UNIT
