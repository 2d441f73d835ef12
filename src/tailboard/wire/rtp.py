"""RTP: packets as bytes and as records, linear audio in them, the media clock, and what was received, lost and late.

Our names beside those of RFC 3550: number (sequence number), mark (M), source (SSRC), mixed sources (CSRC), extra (header
extension).
"""

from __future__ import annotations

import struct
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from tailboard.wire.broken import BrokenPacketError, must_fit

VERSION = 2  # RFC 3550 section 5.1
HEADER = struct.Struct("!BBHII")  # RFC 3550 section 5.1: flags, mark and type, number, timestamp, source
EXTRA_HEADER = struct.Struct("!HH")  # RFC 3550 section 5.3.1: profile, length in words of four bytes
DYNAMIC_TYPES = range(96, 128)  # RFC 3551 section 6, table 5
DEFAULT_PORT = 5004  # RFC 3551 section 8 (from memory)
NUMBERS = 1 << 16  # RFC 3550 appendix A.1: RTP_SEQ_MOD
TIMESTAMPS = 1 << 32  # RFC 3550 section 5.1: 32 bits
DROPOUT_MAX = 3000  # RFC 3550 appendix A.1: MAX_DROPOUT
MISORDER_MAX = 100  # RFC 3550 appendix A.1: MAX_MISORDER
SEQUENTIAL_MIN = 2  # RFC 3550 appendix A.1: MIN_SEQUENTIAL
LOST_MAX, LOST_MIN = 0x7FFFFF, -0x800000  # RFC 3550 appendix A.3: 24 bits with sign
JITTER_SHARE = 16  # RFC 3550 section 6.4.1: a new difference counts for one sixteenth


@dataclass(frozen=True, slots=True)
class Packet:
    """One RTP packet. Source: RFC 3550 section 5.1.

    extra          the profile's 16 bits and the bytes of the header extension, a multiple of four; None without one.
    padding_bytes  bytes behind the payload, the last of which says how many; 0 without padding.
    """

    payload_type: int
    number: int
    timestamp: int
    source: int
    payload: bytes
    mark: bool = False
    mixed_sources: tuple[int, ...] = ()
    extra: tuple[int, bytes] | None = None
    padding_bytes: int = 0


def read(data: bytes) -> Packet:
    """Return the packet in the bytes of a UDP datagram. Raises BrokenPacketError where they are none.

    Source: RFC 3550 section 5.1 and the checks of appendix A.1.
    """
    if len(data) < HEADER.size:
        raise BrokenPacketError(f"an RTP header has {HEADER.size} bytes; these are {len(data)}")
    flags, kind, number, timestamp, source = HEADER.unpack_from(data)
    if flags >> 6 != VERSION:
        raise BrokenPacketError(f"RTP version {flags >> 6}, not {VERSION}")
    count = flags & 0x0F
    start = HEADER.size + 4 * count
    if len(data) < start:
        raise BrokenPacketError(f"{count} mixed sources need {start} bytes; these are {len(data)}")
    mixed = struct.unpack_from(f"!{count}I", data, HEADER.size)
    extra, start = _extra(data, start) if flags & 0x10 else (None, start)
    padding_bytes = data[-1] if flags & 0x20 else 0
    room = len(data) - start
    if flags & 0x20 and not 0 < padding_bytes <= room:
        raise BrokenPacketError(f"padding of {padding_bytes} bytes in a packet that has {room} behind its header")
    payload = data[start : len(data) - padding_bytes]
    return Packet(kind & 0x7F, number, timestamp, source, payload, bool(kind & 0x80), mixed, extra, padding_bytes)


def _extra(data: bytes, start: int) -> tuple[tuple[int, bytes], int]:
    """Return the header extension that starts at an index, and the index behind it."""
    end = start + EXTRA_HEADER.size
    if len(data) < end:
        raise BrokenPacketError(f"the header extension starts at byte {start}; the packet has {len(data)} bytes")
    profile, words = EXTRA_HEADER.unpack_from(data, start)
    if len(data) < end + 4 * words:
        raise BrokenPacketError(
            f"the header extension ends at byte {end + 4 * words}; the packet has {len(data)} bytes"
        )
    return (profile, data[end : end + 4 * words]), end + 4 * words


def write(packet: Packet) -> bytes:
    """Return the bytes of a packet. Raises ValueError where a field does not fit. Source: RFC 3550 section 5.1."""
    padding_bytes = must_fit("padding", packet.padding_bytes, 8)
    flags = VERSION << 6 | bool(padding_bytes) << 5 | (packet.extra is not None) << 4
    head = HEADER.pack(
        flags | must_fit("count of mixed sources", len(packet.mixed_sources), 4),
        packet.mark << 7 | must_fit("payload type", packet.payload_type, 7),
        must_fit("number", packet.number, 16),
        must_fit("timestamp", packet.timestamp, 32),
        must_fit("source", packet.source, 32),
    )
    mixed = b"".join(must_fit("mixed source", source, 32).to_bytes(4, "big") for source in packet.mixed_sources)
    extra = b""
    if packet.extra is not None:
        profile, body = packet.extra
        words, rest = divmod(len(body), 4)
        if rest:
            raise ValueError(f"a header extension of {len(body)} bytes is no multiple of four")
        extra = EXTRA_HEADER.pack(must_fit("profile", profile, 16), must_fit("words", words, 16)) + body
    padding = bytes(padding_bytes - 1) + bytes([padding_bytes]) if padding_bytes else b""
    return head + mixed + extra + packet.payload + padding


def audio_payload(frames: Sequence[Sequence[int]], sample_bytes: int = 3) -> bytes:
    """Return linear audio as it stands in a packet: signed, big-endian, all channels of one instant together.

    frames        one entry an instant, each with one sample a channel, channel 1 first.
    sample_bytes  3 for L24, 2 for L16.

    Raises OverflowError where a sample has more bits than that.
    Source: RFC 3190 section 4 (L24), RFC 3551 section 4.5.11 (L16).
    >>> audio_payload([(1, -1)]).hex()
    '000001ffffff'
    """
    return b"".join(sample.to_bytes(sample_bytes, "big", signed=True) for frame in frames for sample in frame)


def audio_frames(payload: bytes, channel_count: int, sample_bytes: int = 3) -> tuple[tuple[int, ...], ...]:
    """Return the samples in a payload, one entry an instant. Raises BrokenPacketError where one is cut.

    Source: RFC 3190 section 4: the samples of one instant are in one packet.
    """
    size = channel_count * sample_bytes
    if len(payload) % size:
        raise BrokenPacketError(
            f"{channel_count} channels of {sample_bytes} bytes make frames of {size} bytes; {len(payload)} is no multiple"
        )
    samples = [
        int.from_bytes(payload[start : start + sample_bytes], "big", signed=True)
        for start in range(0, len(payload), sample_bytes)
    ]
    return tuple(tuple(samples[start : start + channel_count]) for start in range(0, len(samples), channel_count))


def timestamp_at(since: int | Fraction, rate: int | Fraction, offset: int = 0) -> int:
    """Return the timestamp that a media clock shows: `mediaclk:direct` of RFC 7273 section 5.2.

        (offset + rate x time) mod 2^32, whole samples

    since  seconds since the epoch of the reference clock: 1970-01-01 TAI for PTP, 1900-01-01 for NTP.
    rate   samples a second; both exact, for a float cannot tell a sample in fifty years.

    Check (published): 2013-01-01 00:00:00 TAI is 1 356 998 400 s, at 90 kHz -> 2 460 938 240.
    >>> timestamp_at(1_356_998_400, 90_000)
    2460938240
    """
    return (offset + since * rate // 1) % TIMESTAMPS


def number_wrap_s(packet_time_s: float) -> float:
    """Return the time after which sequence numbers come again. [s]

    Source: RFC 3550 section 5.1, 16 bits.
    >>> number_wrap_s(1e-3)
    65.536
    """
    return NUMBERS * packet_time_s


def timestamp_wrap_s(rate_hz: float) -> float:
    """Return the time after which timestamps come again. [s]

    Source: RFC 3550 section 5.1, 32 bits.
    >>> round(timestamp_wrap_s(48e3), 3)
    89478.485
    """
    return TIMESTAMPS / rate_hz


@dataclass(frozen=True, slots=True)
class Received:
    """What was received from one source so far. Source: RFC 3550 appendix A.1, whose names stand in brackets.

    first            number of the first packet that counts (base_seq); last: the highest number (max_seq).
    rounds           how often the numbers have come again (cycles / 65536).
    count            packets that count, copies and late ones too (received).
    needed           packets in order that are still needed before the source counts (probation).
    restart          the number that would prove that the source has started again (bad_seq).
    expected_before  expected and received when the last report was made (expected_prior, received_prior).
    """

    first: int
    last: int
    rounds: int = 0
    count: int = 0
    needed: int = 0
    restart: int | None = None
    expected_before: int = 0
    received_before: int = 0

    @property
    def highest(self) -> int:
        """The highest number, with the rounds before it: the extended highest sequence number of a report."""
        return self.rounds * NUMBERS + self.last

    @property
    def expected(self) -> int:
        """How many packets should have come. RFC 3550 appendix A.3."""
        return self.highest - self.first + 1

    @property
    def lost(self) -> int:
        """How many did not; below zero where copies came. Held to 24 bits with sign, RFC 3550 appendix A.3."""
        return max(LOST_MIN, min(LOST_MAX, self.expected - self.count))


def new_source(number: int) -> Received:
    """Return the state before the first packet of a source, whose number is given. Source: RFC 3550 appendix A.1."""
    return Received(number, (number - 1) % NUMBERS, needed=SEQUENTIAL_MIN)


def after(state: Received, number: int) -> tuple[Received, bool]:
    """Return the state after a packet, and whether the packet counts.

    Source: RFC 3550 appendix A.1, `update_seq`, with one difference: while a source is on probation that code compares
    with `max_seq + 1` without going round at 65535; here the next of 65535 is 0, so such a source counts one packet sooner.
    The prose there lets packets be 100 late, its code 99; this is the code.
    """
    ahead = (number - state.last) % NUMBERS
    if state.needed:
        if ahead != 1:
            return replace(state, last=number, needed=SEQUENTIAL_MIN - 1), False
        if state.needed > 1:
            return replace(state, last=number, needed=state.needed - 1), False
        return Received(number, number, count=1), True
    if ahead < DROPOUT_MAX:
        rounds = state.rounds + (number < state.last)
        return replace(state, last=number, rounds=rounds, count=state.count + 1), True
    if ahead <= NUMBERS - MISORDER_MAX:
        if number == state.restart:
            return Received(number, number, count=1), True
        return replace(state, restart=(number + 1) % NUMBERS), False
    return replace(state, count=state.count + 1), True


def reported(state: Received) -> tuple[Received, int]:
    """Return the state after a report, and the share lost since the report before, in 256ths.

        (lost x 256) / expected, whole; 0 where nothing was lost

    Source: RFC 3550 appendix A.3. Where all was lost the field of 8 bits holds 255.
    """
    expected = state.expected - state.expected_before
    lost = expected - (state.count - state.received_before)
    share = min((lost << 8) // expected, 0xFF) if expected > 0 and lost > 0 else 0
    return replace(state, expected_before=state.expected, received_before=state.count), share


def transit_difference_s(apart_s: float, timestamp_before: int, timestamp: int, rate_hz: float) -> float:
    """Return how much longer one packet was on its way than the packet that arrived before it. [s]

        D = (R2 - R1) - (S2 - S1) / rate

    apart_s  time between the two arrivals, R2 - R1. [s]

    Timestamps go round; their difference is read as one of less than half a round.
    Source: RFC 3550 section 6.4.1.
    Check (hand): 1.1 ms apart, 48 samples of 48 kHz -> 0.1 ms, also where the timestamp goes round.
    >>> round(transit_difference_s(1.1e-3, 2**32 - 24, 24, 48e3), 9)
    0.0001
    """
    half = TIMESTAMPS // 2
    samples = (timestamp - timestamp_before + half) % TIMESTAMPS - half
    return apart_s - samples / rate_hz


def next_jitter_s(jitter_s: float, difference_s: float) -> float:
    """Return the interarrival jitter after one more packet. [s]

        J + (|D| - J) / 16

    Source: RFC 3550 section 6.4.1 and appendix A.8, in seconds in place of units of the timestamp.
    >>> next_jitter_s(0.0, 16.0)
    1.0
    """
    return jitter_s + (abs(difference_s) - jitter_s) / JITTER_SHARE


def next_jitter_scaled(jitter_scaled: int, difference: int) -> int:
    """Return sixteen times the jitter after one more packet, in whole units of the timestamp.

        J16 + |D| - ((J16 + 8) >> 4); a report holds J16 >> 4

    Source: RFC 3550 appendix A.8, second form.
    >>> next_jitter_scaled(5, 5)
    10
    """
    return jitter_scaled + abs(difference) - ((jitter_scaled + JITTER_SHARE // 2) >> 4)
