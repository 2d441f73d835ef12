"""Messages of the network clock (PTP): bytes to records and back, and what four time stamps say.

Names in brackets are those of IEEE 1588-2008. The layouts were read in the packed structures of the open implementation
linuxptp (msg.h, ddt.h), clause numbers are from memory. All numbers are sent with the highest byte first.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, replace
from enum import IntEnum

from tailboard.wire.broken import BrokenPacketError

EVENT_PORT = 319  # IEEE 1588-2008 Annex D, linuxptp udp.c: messages whose moment counts
GENERAL_PORT = 320  # the same: all others
ETHER_TYPE = 0x88F7  # IEEE 1588-2008 Annex F, linuxptp raw.c
PRIMARY_MAC = "01:1B:19:00:00:00"  # IEEE 1588-2008 Annex F, linuxptp configs/default.cfg
PEER_MAC = "01:80:C2:00:00:0E"  # the same; never forwarded by a switch (IEEE 802.1Q)

IDENTITY_BYTES = 8  # EUI-64 [clockIdentity]: IEEE 1588-2008 5.3.4
VERSION = 2  # [versionPTP]
NANO_COUNT = 1_000_000_000  # nanoseconds of a second
CORRECTION_STEPS = 1 << 16  # of a nanosecond: IEEE 1588-2008 5.3.2, linuxptp ddt.h 'nanoseconds << 16'
CORRECTION_S = 1e-9 / CORRECTION_STEPS

HEADER = struct.Struct(">BBHBBHqI8sHHBb")
TIME = struct.Struct(">HII")  # 48 bits of seconds and 32 of nanoseconds: IEEE 1588-2008 5.3.3, linuxptp ddt.h
PORT = struct.Struct(">8sH")
ANNOUNCE = struct.Struct(">10shBBBBHB8sHB")


class Kind(IntEnum):
    """What a message is for [messageType]: IEEE 1588-2008 Table 19, linuxptp msg.h."""

    SYNC = 0x0
    DELAY_REQ = 0x1
    PDELAY_REQ = 0x2
    PDELAY_RESP = 0x3
    FOLLOW_UP = 0x8
    DELAY_RESP = 0x9
    PDELAY_RESP_FOLLOW_UP = 0xA
    ANNOUNCE = 0xB
    SIGNALING = 0xC
    MANAGEMENT = 0xD

    @property
    def words(self) -> str:
        """The name as the standard writes it."""
        return "_".join(word.capitalize() for word in self.name.split("_"))

    @property
    def is_event(self) -> bool:
        """Whether the moment of its sending and receiving counts."""
        return self < Kind.FOLLOW_UP

    @property
    def is_peer(self) -> bool:
        """Whether it goes to the next device on the cable alone."""
        return self in {Kind.PDELAY_REQ, Kind.PDELAY_RESP, Kind.PDELAY_RESP_FOLLOW_UP}

    @property
    def udp_port(self) -> int:
        """The port it is sent to."""
        return EVENT_PORT if self.is_event else GENERAL_PORT

    @property
    def mac(self) -> str:
        """The Ethernet address it is sent to where it is not sent over IP."""
        return PEER_MAC if self.is_peer else PRIMARY_MAC

    @property
    def size_bytes(self) -> int:
        """How long it is without what may follow (TLVs): IEEE 1588-2008 13, linuxptp msg.h."""
        return HEADER.size + REST_BYTES[self]

    @property
    def control(self) -> int:
        """What stands in [controlField], which version 1 went by: linuxptp msg.h."""
        return CONTROLS.get(self, 5)


REST_BYTES = {
    Kind.ANNOUNCE: ANNOUNCE.size,
    Kind.SYNC: TIME.size,
    Kind.DELAY_REQ: TIME.size,
    Kind.FOLLOW_UP: TIME.size,
    Kind.PDELAY_REQ: TIME.size + PORT.size,
    Kind.DELAY_RESP: TIME.size + PORT.size,
    Kind.PDELAY_RESP: TIME.size + PORT.size,
    Kind.PDELAY_RESP_FOLLOW_UP: TIME.size + PORT.size,
    Kind.SIGNALING: PORT.size,
    Kind.MANAGEMENT: PORT.size + 4,
}
CONTROLS = {Kind.SYNC: 0, Kind.DELAY_REQ: 1, Kind.FOLLOW_UP: 2, Kind.DELAY_RESP: 3, Kind.MANAGEMENT: 4}


@dataclass(frozen=True, slots=True)
class Port:
    """A port of a clock [PortIdentity]: the clock's EUI-64, and the port's number in it, from 1."""

    clock: bytes
    number: int


@dataclass(frozen=True, slots=True)
class Moment:
    """A time stamp [Timestamp]: seconds of 48 bits since 1970 in the clock's own scale, and nanoseconds below a second."""

    second_count: int
    nano_count: int

    @property
    def nanos(self) -> int:
        """Nanoseconds since 1970."""
        return self.second_count * NANO_COUNT + self.nano_count


@dataclass(frozen=True, slots=True)
class Header:
    """What every message begins with.

    source         the port that sent it [sourcePortIdentity].
    sequence       counts up, for each kind of message on its own [sequenceId].
    domain         clocks of one domain keep time together [domainNumber].
    flags          16 bits [flagField], the first byte above.
    correction     time spent on the way, in 1/65536 ns [correctionField].
    log_interval   power of two of the seconds between two such messages; 127: not said [logMessageInterval].
    standard       four bits that say whose messages these are, 0: plain [majorSdoId, earlier transportSpecific].
    minor_version  0: edition 2008, 1: edition 2019 [minorVersionPTP].
    """

    source: Port
    sequence: int = 0
    domain: int = 0
    flags: int = 0
    correction: int = 0
    log_interval: int = 127
    standard: int = 0
    minor_version: int = 0

    @property
    def correction_s(self) -> float:
        """Time spent on the way. [s]"""
        return self.correction * CORRECTION_S

    @property
    def interval_s(self) -> float | None:
        """Time between two such messages; None where it is not said. [s]"""
        return None if self.log_interval == 127 else 2.0**self.log_interval

    @property
    def is_two_step(self) -> bool:
        """Whether the moment of sending follows in a message of its own [twoStepFlag]."""
        return bool(self.flags & 0x0200)


@dataclass(frozen=True, slots=True)
class Announce:
    """What a clock says of the clock it takes its time from, or of itself.

    origin         when it was sent, or zero [originTimestamp].
    utc_offset     whole seconds by which the clock's scale is ahead of UTC [currentUtcOffset].
    identity       EUI-64 of the leader [grandmasterIdentity].
    steps_removed  boundary clocks between the leader and the sender [stepsRemoved].
    time_source    where the leader has its time from [timeSource].
    The other figures are those by which clocks are compared [grandmasterPriority1 to grandmasterPriority2].
    """

    identity: bytes
    priority1: int
    clock_class: int
    accuracy: int
    variance: int
    priority2: int
    steps_removed: int
    time_source: int
    utc_offset: int = 0
    origin: Moment = Moment(0, 0)


@dataclass(frozen=True, slots=True)
class Answer:
    """When a port sent or received a message that another port had sent [requestingPortIdentity]."""

    time: Moment
    asked_by: Port


Body = Announce | Moment | Answer | Port  # Port: who a Signaling or Management message is for [targetPortIdentity]
BODY_OF: dict[Kind, type[Body]] = {
    Kind.ANNOUNCE: Announce,
    Kind.SYNC: Moment,
    Kind.DELAY_REQ: Moment,
    Kind.FOLLOW_UP: Moment,
    Kind.PDELAY_REQ: Moment,
    Kind.DELAY_RESP: Answer,
    Kind.PDELAY_RESP: Answer,
    Kind.PDELAY_RESP_FOLLOW_UP: Answer,
    Kind.SIGNALING: Port,
    Kind.MANAGEMENT: Port,
}


@dataclass(frozen=True, slots=True)
class Message:
    """One message; `extra` is what follows its body as it stands: additions [TLV], and the rest of a Management message."""

    kind: Kind
    header: Header
    body: Body
    extra: bytes = b""


def read(octets: bytes) -> Message:
    """Return the message that a UDP packet, or an Ethernet frame after its type, begins with.

    Bytes behind the length it states (Ethernet's filling) are left out; reserved bits are not kept.
    Raises BrokenPacketError with a sentence where it is no message of version 2, is cut off, or holds an impossible time.
    """
    kind, length, header = header_of(octets)
    rest = octets[HEADER.size : length]
    return Message(kind, header, body_of(kind, rest), rest[used_bytes(kind) :])


def header_of(octets: bytes) -> tuple[Kind, int, Header]:
    """Return the kind, the length stated and the header. Raises BrokenPacketError."""
    if len(octets) < HEADER.size:
        raise BrokenPacketError(f"a clock message has at least {HEADER.size} bytes, here are {len(octets)}")
    code, version, length, domain, _, flags, correction, _, clock, port, sequence, _, interval = HEADER.unpack_from(
        octets
    )
    if version & 0xF != VERSION:
        raise BrokenPacketError(f"a clock message of version {version & 0xF}; version {VERSION} is read here")
    try:
        kind = Kind(code & 0xF)
    except ValueError:
        raise BrokenPacketError(f"no clock message has the type {code & 0xF:X}") from None
    if length < kind.size_bytes:
        raise BrokenPacketError(f"{kind.words} has at least {kind.size_bytes} bytes, this one says {length}")
    if length > len(octets):
        raise BrokenPacketError(f"{kind.words} says {length} bytes, {len(octets)} came")
    source = Port(clock, port)
    return kind, length, Header(source, sequence, domain, flags, correction, interval, code >> 4, version >> 4)


def used_bytes(kind: Kind) -> int:
    """Return how many bytes after the header the body takes; the rest is kept as it stands."""
    return PORT.size if kind is Kind.MANAGEMENT else REST_BYTES[kind]


def body_of(kind: Kind, rest: bytes) -> Body:
    """Return the body from the bytes after the header. Raises BrokenPacketError."""
    if kind is Kind.ANNOUNCE:
        origin, utc_offset, _, first, quality, accuracy, variance, second, identity, steps, source = (
            ANNOUNCE.unpack_from(rest)
        )
        return Announce(
            identity, first, quality, accuracy, variance, second, steps, source, utc_offset, moment_of(kind, origin)
        )
    if BODY_OF[kind] is Port:
        return Port(*PORT.unpack_from(rest))
    time = moment_of(kind, rest)
    return Answer(time, Port(*PORT.unpack_from(rest, TIME.size))) if BODY_OF[kind] is Answer else time


def moment_of(kind: Kind, octets: bytes) -> Moment:
    """Return a time stamp. Raises BrokenPacketError."""
    high, low, nano_count = TIME.unpack_from(octets)
    if nano_count >= NANO_COUNT:
        raise BrokenPacketError(f"{kind.words} holds {nano_count} nanoseconds, a second has {NANO_COUNT}")
    return Moment(high << 32 | low, nano_count)


def write(message: Message) -> bytes:
    """Return the bytes of a message. Raises ValueError where a field does not fit or the body is of another kind."""
    body, kind, head = message.body, message.kind, message.header
    if type(body) is not BODY_OF[kind]:
        raise ValueError(f"{kind.words} with {type(body).__name__}")
    filling = bytes(PORT.size) if kind is Kind.PDELAY_REQ else b""  # reserved: as long as its answer
    try:
        octets = body_bytes(body) + filling + message.extra
        start = HEADER.pack(
            head.standard << 4 | kind, head.minor_version << 4 | VERSION, HEADER.size + len(octets), head.domain, 0,
            head.flags, head.correction, 0, identity_bytes(head.source.clock), head.source.number, head.sequence,
            kind.control, head.log_interval,
        )  # fmt: skip
    except struct.error as error:
        raise ValueError(f"{kind.words} with a field that does not fit: {error}") from error
    if len(octets) < REST_BYTES[kind]:
        raise ValueError(f"{kind.words} of {HEADER.size + len(octets)} bytes")
    return start + octets


def identity_bytes(identity: bytes) -> bytes:
    """Return the identity of a clock. Raises ValueError where it has not eight bytes."""
    if len(identity) != IDENTITY_BYTES:
        raise ValueError(f"the identity of a clock has {IDENTITY_BYTES} bytes, this one {len(identity)}")
    return identity


def body_bytes(body: Body) -> bytes:
    """Return the bytes of a body."""
    if isinstance(body, Moment):
        if body.nano_count >= NANO_COUNT:
            raise ValueError(f"{body.nano_count} nanoseconds in a second")
        return TIME.pack(body.second_count >> 32, body.second_count & 0xFFFFFFFF, body.nano_count)
    if isinstance(body, Port):
        return PORT.pack(identity_bytes(body.clock), body.number)
    if isinstance(body, Answer):
        return body_bytes(body.time) + body_bytes(body.asked_by)
    return ANNOUNCE.pack(
        body_bytes(body.origin), body.utc_offset, 0, body.priority1, body.clock_class, body.accuracy, body.variance,
        body.priority2, identity_bytes(body.identity), body.steps_removed, body.time_source,
    )  # fmt: skip


def with_origin(sync: Message, follow_up: Message) -> Message | None:
    """Return a two-step Sync with the time and the correction that its Follow_Up brings; None where it is not its own."""
    one, other = sync.header, follow_up.header
    same = (one.source, one.sequence, one.domain) == (other.source, other.sequence, other.domain)
    if not same or (sync.kind, follow_up.kind) != (Kind.SYNC, Kind.FOLLOW_UP):
        return None
    correction = one.correction + other.correction
    return replace(sync, header=replace(one, correction=correction), body=follow_up.body)


@dataclass(frozen=True, slots=True)
class Exchange:
    """Four time stamps between a leader and a follower, and what switches on the way have said they kept the messages.

    sync_sent, sync_received        t1 by the leader's clock, t2 by the follower's.
    request_sent, request_received  t3 by the follower's clock, t4 by the leader's.
    sync_correction                 of Sync and Follow_Up together; request_correction: of Delay_Resp. [1/65536 ns]
    """

    sync_sent: Moment
    sync_received: Moment
    request_sent: Moment
    request_received: Moment
    sync_correction: int = 0
    request_correction: int = 0

    @property
    def steps(self) -> tuple[int, int]:
        """By how much each message seems to have come later than it was sent, in 1/65536 ns: Sync, Delay_Req."""
        there = (self.sync_received.nanos - self.sync_sent.nanos) * CORRECTION_STEPS - self.sync_correction
        back = (self.request_received.nanos - self.request_sent.nanos) * CORRECTION_STEPS - self.request_correction
        return there, back

    @property
    def path_delay_s(self) -> float:
        """Mean delay of the way [meanPathDelay]. [s]

            ((t2 - t1) + (t4 - t3)) / 2

        Source: IEEE 1588-2008 11.3, as linuxptp tsproc.c has it.
        """
        return sum(self.steps) / 2 * CORRECTION_S

    @property
    def offset_s(self) -> float:
        """By how much the follower's clock seems ahead of the leader's [offsetFromMaster]. [s]

            ((t2 - t1) - (t4 - t3)) / 2

        Half of what the way there takes longer than the way back goes in unseen (IEEE 1588-2008 7.4.2).
        Source: IEEE 1588-2008 11.3, as linuxptp tsproc.c has it.
        """
        there, back = self.steps
        return (there - back) / 2 * CORRECTION_S
