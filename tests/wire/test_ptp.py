"""Clock messages: captured ones and broken twins, exact sentences, round trips, and the published values of PTP on the wire.

The frames were captured from ptp4l of linuxptp 3.1.1 between two network namespaces: a leader with priority1 100, class 13,
accuracy 0x21 and variance 0x4E5D in domain 7, a follower; over UDP with end-to-end delay, over Ethernet with peer delay.
"""

from __future__ import annotations

from dataclasses import replace
from ipaddress import IPv4Address

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.physics.clock import By, Comparison, DataSet, compared, identity_of_mac
from tailboard.physics.ip import PTP_PEER_DELAY, PTP_PRIMARY
from tailboard.wire import ptp
from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.ptp import Announce, Answer, Body, Exchange, Header, Kind, Message, Moment, Port

LEADER, FOLLOWER = identity_of_mac("02-00-00-00-00-01"), identity_of_mac("02-00-00-00-00-02")
OVER_UDP = {  # whole frames: Ethernet 14, IPv4 20, UDP 8 bytes, then the message
    Kind.ANNOUNCE: "01005e00018102000000000108004500005c284e40000111adc0c0000201e0000181014001400048a3dc0b020040070000000000"
    "00000000000000000000020000fffe0000010001000005fe00000000000000000000002500640d214e5d80020000fffe0000010000a0",
    Kind.SYNC: "01005e000181020000000001080045000048286640000111adbcc0000201e0000181013f013f0034a3c80002002c0700020000000000"
    "0000000000000000020000fffe0000010001000000fd00000000000000000000",
    Kind.FOLLOW_UP: "01005e000181020000000001080045000048286740000111adbbc0000201e0000181014001400034a3c80802002c070000000000"
    "00000000000000000000020000fffe0000010001000002fd00006b07004a16dabba0",
    Kind.DELAY_REQ: "01005e00018102000000000208004500004890794000011145a8c0000202e0000181013f013f0034a3c90102002c070000000000"
    "00000000000000000000020000fffe00000200010000017f00000000000000000000",
    Kind.DELAY_RESP: "01005e000181020000000001080045000052299440000111ac84c0000201e000018101400140003ea3d2090200360700000000"
    "0000000000000000000000020000fffe00000100010000030000006b07004c10516a5f020000fffe0000020001",
}
OVER_ETHERNET = {  # whole frames: Ethernet 14 bytes, then the message
    Kind.ANNOUNCE: "011b1900000002000000000188f70b02004007000000000000000000000000000000020000fffe0000010001000005fe00000000"
    "000000000000002500640d214e5d80020000fffe0000010000a0",
    Kind.SYNC: "011b1900000002000000000188f70002002c07000200000000000000000000000000020000fffe0000010001000000fd00000000000000"
    "000000",
    Kind.FOLLOW_UP: "011b1900000002000000000188f70802002c07000000000000000000000000000000020000fffe0000010001000002fd00006b07"
    "004f11352112",
    Kind.PDELAY_REQ: "0180c200000e02000000000288f70202003607000000000000000000000000000000020000fffe00000200010000057f0000000"
    "000000000000000000000000000000000",
    Kind.PDELAY_RESP: "0180c200000e02000000000188f70302003607000200000000000000000000000000020000fffe00000100010000057f00006b"
    "07004f161c52ed020000fffe0000020001",
    Kind.PDELAY_RESP_FOLLOW_UP: "0180c200000e02000000000188f70a02003607000000000000000000000000000000020000fffe00000100010000"
    "057f00006b07004f161d5fcf020000fffe0000020001",
}
UDP_MESSAGES = {kind: bytes.fromhex(frame)[42:] for kind, frame in OVER_UDP.items()}
ETHERNET_MESSAGES = {kind: bytes.fromhex(frame)[14:] for kind, frame in OVER_ETHERNET.items()}
CAPTURED = [*UDP_MESSAGES.items(), *ETHERNET_MESSAGES.items()]


@pytest.mark.parametrize(("kind", "octets"), CAPTURED)
def test_a_captured_message_is_read_and_written_as_it_was(kind: Kind, octets: bytes) -> None:
    message = ptp.read(octets)
    assert message.kind is kind
    assert message.header.domain == 7
    assert message.header.source.clock in {LEADER, FOLLOWER}
    assert message.header.source.number == 1
    assert ptp.write(message) == octets


def test_what_the_leader_announced_is_what_it_was_given() -> None:
    """The figures are those of its settings; 37 s is the offset from UTC since 2017, 0xA0 an oscillator of its own."""
    message = ptp.read(UDP_MESSAGES[Kind.ANNOUNCE])
    assert message.body == Announce(LEADER, 100, 13, 0x21, 0x4E5D, 128, 0, 0xA0, 37)
    assert message.header.interval_s == 0.25


def test_a_request_and_its_answer() -> None:
    request, answer = ptp.read(UDP_MESSAGES[Kind.DELAY_REQ]), ptp.read(UDP_MESSAGES[Kind.DELAY_RESP])
    assert request.header.interval_s is None
    assert isinstance(answer.body, Answer)
    assert answer.body.asked_by == request.header.source == Port(FOLLOWER, 1)
    assert answer.body.time == Moment(0x6B07004C, 0x10516A5F)


def test_a_sync_of_two_steps_takes_its_time_from_what_follows() -> None:
    sync, follow_up = ptp.read(UDP_MESSAGES[Kind.SYNC]), ptp.read(UDP_MESSAGES[Kind.FOLLOW_UP])
    assert sync.header.is_two_step
    assert not follow_up.header.is_two_step
    slow = replace(sync, header=replace(sync.header, correction=3))
    late = replace(follow_up, header=replace(follow_up.header, correction=4))
    whole = ptp.with_origin(slow, late)
    assert whole is not None
    assert whole.body == follow_up.body == Moment(0x6B07004A, 0x16DABBA0)
    assert whole.header.correction == 7
    assert ptp.with_origin(sync, replace(late, header=replace(late.header, sequence=1))) is None
    assert ptp.with_origin(sync, sync) is None


# What the leader answered, over its own socket, to QUESTION as `write` makes it (DEFAULT_DATA_SET, IEEE 1588-2008 15.5.3.3).
QUESTION = Message(
    Kind.MANAGEMENT, Header(Port(b"\1" * 8, 1), domain=7), Port(b"\xff" * 8, 0xFFFF),
    bytes.fromhex("01010000" + "000100022000"),
)  # fmt: skip
MANAGEMENT_ANSWER = bytes.fromhex(
    "0d02004a07000000000000000000000000000000020000fffe00000100000000047f"
    "010101010101010100010000020000010016200001000001640d214e5d80020000fffe0000010700"
)


def test_the_leader_answered_a_question_of_ours() -> None:
    answer = ptp.read(MANAGEMENT_ANSWER)
    assert answer.kind is Kind.MANAGEMENT
    assert answer.body == QUESTION.header.source
    assert answer.extra[4:] == bytes.fromhex("00010016" + "2000" + "01000001" + "640d214e5d80") + LEADER + b"\x07\x00"
    assert ptp.write(answer) == MANAGEMENT_ANSWER
    assert ptp.read(ptp.write(QUESTION)) == QUESTION


def test_the_leader_beats_another_by_what_is_in_its_announcement() -> None:
    """PTP-11 from the wire: priority1 100 against 128, though the other is better in all that comes after it."""
    body = ptp.read(UDP_MESSAGES[Kind.ANNOUNCE]).body
    assert isinstance(body, Announce)
    heard = DataSet(
        body.priority1,
        body.clock_class,
        body.accuracy,
        body.variance,
        body.priority2,
        body.identity,
        body.steps_removed,
    )
    assert compared(heard, DataSet(128, 6, 0x20, 0, 0, b"\0" * 8)) == Comparison(-1, By.PRIORITY1)


def test_message_lengths() -> None:
    """PTP-02: IEEE 1588-2008 clause 13, read in linuxptp msg.h: 44, 64 and 54 bytes; the captured ones are as long."""
    lengths = {
        44: {Kind.SYNC, Kind.DELAY_REQ, Kind.FOLLOW_UP},
        64: {Kind.ANNOUNCE},
        54: {Kind.DELAY_RESP, Kind.PDELAY_REQ, Kind.PDELAY_RESP, Kind.PDELAY_RESP_FOLLOW_UP},
    }
    for length, kinds in lengths.items():
        for kind in kinds:
            assert kind.size_bytes == length
    for kind, octets in CAPTURED:
        assert len(octets) == kind.size_bytes


def test_message_types() -> None:
    """PTP-03: IEEE 1588-2008 Table 19, read in linuxptp msg.h; the first byte of what is written."""
    published = {
        "Sync": 0x0, "Delay_Req": 0x1, "Pdelay_Req": 0x2, "Pdelay_Resp": 0x3, "Follow_Up": 0x8, "Delay_Resp": 0x9,
        "Pdelay_Resp_Follow_Up": 0xA, "Announce": 0xB, "Signaling": 0xC, "Management": 0xD,
    }  # fmt: skip
    written = {kind.words: ptp.write(plain(kind))[0] for kind in Kind}
    assert written == published


def plain(kind: Kind) -> Message:
    """Return a message of a kind without figures of its own."""
    bodies: dict[type, Body] = {
        Moment: Moment(0, 0),
        Port: Port(FOLLOWER, 1),
        Answer: Answer(Moment(0, 0), Port(FOLLOWER, 1)),
        Announce: Announce(LEADER, 128, 248, 0xFE, 0xFFFF, 128, 0, 0xA0),
    }
    extra = bytes(4) if kind is Kind.MANAGEMENT else b""
    return Message(kind, Header(Port(LEADER, 1)), bodies[ptp.BODY_OF[kind]], extra)


@pytest.mark.parametrize(
    ("change", "offset", "count"),
    [
        ({"origin": Moment(0x010203040506, 0x0708090A)}, 34, 10), ({"utc_offset": 0x0101}, 44, 2), ({"priority1": 1}, 47, 1),
        ({"clock_class": 1}, 48, 1), ({"accuracy": 1}, 49, 1), ({"variance": 0x0101}, 50, 2), ({"priority2": 1}, 52, 1),
        ({"identity": b"\1" * 8}, 53, 8), ({"steps_removed": 0x0101}, 61, 2), ({"time_source": 1}, 63, 1),
    ],
)  # fmt: skip
def test_offsets_in_announce(change: dict[str, object], offset: int, count: int) -> None:
    """PTP-04: IEEE 1588-2008 13.5, derived by adding up linuxptp's struct announce_msg: which bytes a field changes."""
    base = Announce(bytes(8), 0, 0, 0, 0, 0, 0, 0)
    message = Message(Kind.ANNOUNCE, Header(Port(LEADER, 1)), base)
    changed = replace(message, body=replace(base, **change))  # type: ignore[arg-type]  # a field of its own each time
    one, other = ptp.write(message), ptp.write(changed)
    assert [index for index in range(64) if one[index] != other[index]] == list(range(offset, offset + count))


def test_udp_ports_and_groups() -> None:
    """PTP-05: 319 for events, 320 for the rest (linuxptp udp.c); PTP-06: group 224.0.1.129: as captured."""
    assert (ptp.EVENT_PORT, ptp.GENERAL_PORT) == (319, 320)
    for kind, text in OVER_UDP.items():
        frame = bytes.fromhex(text)
        assert int.from_bytes(frame[36:38], "big") == kind.udp_port
        assert IPv4Address(frame[30:34]) == PTP_PRIMARY == IPv4Address("224.0.1.129")
    assert IPv4Address("224.0.0.107") == PTP_PEER_DELAY


def test_ethernet_addresses_and_type() -> None:
    """PTP-06: 01:1B:19:00:00:00 and 01:80:C2:00:00:0E (linuxptp configs/default.cfg); PTP-07: 0x88F7 (raw.c): as captured."""
    assert (ptp.PRIMARY_MAC, ptp.PEER_MAC, ptp.ETHER_TYPE) == ("01:1B:19:00:00:00", "01:80:C2:00:00:0E", 0x88F7)
    for kind, text in OVER_ETHERNET.items():
        frame = bytes.fromhex(text)
        assert frame[:6].hex(":").upper() == kind.mac
        assert int.from_bytes(frame[12:14], "big") == ptp.ETHER_TYPE


def test_the_correction_counts_in_65536ths_of_a_nanosecond() -> None:
    """PTP-08: 0x0000000000028000 is 2.5 ns; IEEE 1588-2008 5.3.2, scaling read in linuxptp ddt.h, example from memory."""
    octets = bytearray(UDP_MESSAGES[Kind.SYNC])
    octets[8:16] = bytes.fromhex("0000000000028000")
    assert ptp.read(bytes(octets)).header.correction_s == pytest.approx(2.5e-9, rel=1e-12)
    octets[8:16] = bytes.fromhex("fffffffffffd8000")
    assert ptp.read(bytes(octets)).header.correction_s == pytest.approx(-2.5e-9, rel=1e-12)


def test_a_time_stamp_has_48_bits_of_seconds_and_32_of_nanoseconds() -> None:
    """PTP-09: IEEE 1588-2008 5.3.3, read in linuxptp ddt.h."""
    message = Message(Kind.FOLLOW_UP, Header(Port(LEADER, 1)), Moment(0x010203040506, 0x0708090A))
    assert ptp.write(message)[34:] == bytes(range(1, 11))
    assert Moment(1, 2).nanos == 1_000_000_002


def test_the_identity_on_the_wire_is_that_of_the_hardware_address() -> None:
    """PTP-10, second tool: the identity that ptp4l made of its interface's address, 02:00:00:00:00:01."""
    frame = bytes.fromhex(OVER_ETHERNET[Kind.SYNC])
    assert identity_of_mac(frame[6:12].hex(":")) == ptp.read(frame[14:]).header.source.clock


def at(nanos: int) -> Moment:
    return Moment(*divmod(nanos, 1_000_000_000))


def test_offset_and_delay_over_an_even_way() -> None:
    """PTP-26: IEEE 1588-2008 11.3, formula read in linuxptp tsproc.c: 1000 ns of delay, 500 ns ahead."""
    exchange = Exchange(at(1_000_000), at(1_001_500), at(1_010_000), at(1_010_500))
    assert exchange.path_delay_s == pytest.approx(1000e-9, rel=1e-12)
    assert exchange.offset_s == pytest.approx(500e-9, rel=1e-12)


def test_an_uneven_way_goes_into_the_offset_by_half() -> None:
    """PTP-27: IEEE 1588-2008 7.4.2: 1500 ns there, 500 ns back, clocks in step: 500 ns wrong."""
    exchange = Exchange(at(1_000_000), at(1_001_500), at(2_000_000), at(2_000_500))
    assert exchange.offset_s == pytest.approx(500e-9, rel=1e-12)
    assert exchange.path_delay_s == pytest.approx(1000e-9, rel=1e-12)


def test_time_that_switches_own_up_to_is_taken_out() -> None:
    """Law: what is added on the way and stated as correction changes nothing, whatever the second the clocks are in."""
    step = ptp.CORRECTION_STEPS
    for start in (0, 1_700_000_000_000_000_000):
        moments = (at(start), at(start + 1_500 + 300), at(start + 10_000), at(start + 10_500 + 70))
        exchange = Exchange(*moments, 300 * step, 70 * step)
        assert exchange.offset_s == pytest.approx(500e-9, rel=1e-12)
        assert exchange.path_delay_s == pytest.approx(1000e-9, rel=1e-12)


BROKEN = [
    (b"", "a clock message has at least 34 bytes, here are 0"),
    (UDP_MESSAGES[Kind.SYNC][:33], "a clock message has at least 34 bytes, here are 33"),
    (UDP_MESSAGES[Kind.SYNC][:43], "Sync says 44 bytes, 43 came"),
    (UDP_MESSAGES[Kind.ANNOUNCE][:60], "Announce says 64 bytes, 60 came"),
    (b"\x05" + UDP_MESSAGES[Kind.SYNC][1:], "no clock message has the type 5"),
    (b"\x0b" + UDP_MESSAGES[Kind.SYNC][1:], "Announce has at least 64 bytes, this one says 44"),
    (b"\x00\x01" + UDP_MESSAGES[Kind.SYNC][2:], "a clock message of version 1; version 2 is read here"),
    (UDP_MESSAGES[Kind.DELAY_RESP][:2] + b"\0\x2c" + UDP_MESSAGES[Kind.DELAY_RESP][4:],
     "Delay_Resp has at least 54 bytes, this one says 44"),
    (UDP_MESSAGES[Kind.FOLLOW_UP][:40] + bytes.fromhex("3b9aca00"),
     "Follow_Up holds 1000000000 nanoseconds, a second has 1000000000"),
]  # fmt: skip


@pytest.mark.parametrize(("octets", "sentence"), BROKEN)
def test_a_broken_message_says_what_is_wrong(octets: bytes, sentence: str) -> None:
    with pytest.raises(BrokenPacketError) as caught:
        ptp.read(octets)
    assert str(caught.value) == sentence


def test_filling_behind_a_message_is_left_out_and_additions_are_kept() -> None:
    """Ethernet fills short frames with zeros (IEEE 802.3); what stands inside the stated length belongs to the message."""
    octets = ETHERNET_MESSAGES[Kind.SYNC]
    assert ptp.read(octets + bytes(2)) == ptp.read(octets)
    longer = replace(plain(Kind.ANNOUNCE), extra=bytes.fromhex("0008000801020304050607"))
    assert ptp.read(ptp.write(longer)) == longer


@pytest.mark.parametrize(
    ("message", "words"),
    [
        (replace(plain(Kind.SYNC), body=Port(LEADER, 1)), "Sync with Port"),
        (replace(plain(Kind.MANAGEMENT), extra=b""), "Management of 44 bytes"),
        (replace(plain(Kind.SYNC), header=Header(Port(b"1234", 1))), "identity of a clock has 8 bytes, this one 4"),
        (replace(plain(Kind.SYNC), header=Header(Port(LEADER, 1), 65536)), "does not fit"),
        (replace(plain(Kind.SYNC), body=Moment(1 << 48, 0)), "does not fit"),
        (replace(plain(Kind.SYNC), body=Moment(0, 10**9)), "1000000000 nanoseconds in a second"),
    ],
)
def test_a_message_that_cannot_be_is_not_written(message: Message, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        ptp.write(message)


def unsigned(bits: int) -> st.SearchStrategy[int]:
    return st.integers(0, (1 << bits) - 1)


PORTS = st.builds(Port, st.binary(min_size=8, max_size=8), unsigned(16))
MOMENTS = st.builds(Moment, unsigned(48), st.integers(0, 10**9 - 1))
HEADERS = st.builds(
    Header, PORTS, unsigned(16), unsigned(8), unsigned(16), st.integers(-(2**63), 2**63 - 1), st.integers(-128, 127),
    unsigned(4), unsigned(4),
)  # fmt: skip
BODIES: dict[type, st.SearchStrategy[Body]] = {
    Moment: MOMENTS,
    Port: PORTS,
    Answer: st.builds(Answer, MOMENTS, PORTS),
    Announce: st.builds(
        Announce, st.binary(min_size=8, max_size=8), unsigned(8), unsigned(8), unsigned(8), unsigned(16), unsigned(8),
        unsigned(16), unsigned(8), st.integers(-(2**15), 2**15 - 1), MOMENTS,
    ),
}  # fmt: skip


@st.composite
def messages(draw: st.DrawFn) -> Message:
    kind = draw(st.sampled_from(Kind))
    least = 4 if kind is Kind.MANAGEMENT else 0
    extra = draw(st.binary(min_size=least, max_size=40))
    return Message(kind, draw(HEADERS), draw(BODIES[ptp.BODY_OF[kind]]), extra)


@given(messages())
def test_what_is_written_is_read_again(message: Message) -> None:
    assert ptp.read(ptp.write(message)) == message


@given(messages(), st.data())
def test_a_message_cut_anywhere_is_refused(message: Message, data: st.DataObject) -> None:
    octets = ptp.write(message)
    with pytest.raises(BrokenPacketError):
        ptp.read(octets[: data.draw(st.integers(0, len(octets) - 1))])


@given(st.sampled_from(CAPTURED), st.data())
def test_any_bytes_are_a_message_or_are_refused(captured: tuple[Kind, bytes], data: st.DataObject) -> None:
    """Captured messages with a few bytes changed; what is read can be written and read again."""
    octets = bytearray(captured[1])
    for _ in range(data.draw(st.integers(1, 4))):
        octets[data.draw(st.integers(0, len(octets) - 1))] = data.draw(unsigned(8))
    try:
        message = ptp.read(bytes(octets))
    except BrokenPacketError:
        return
    assert ptp.read(ptp.write(message)) == message
