"""LLDP frames: published octets, a frame that another sent, broken twins with their sentences, and there and back.

SNM-26 to SNM-31 are here, SNM-01 to SNM-25 in test_mib.py; every one of them is computed.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tailboard.wire import lldp
from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.lldp import Frame, Message
from tailboard.wire.lldp_parts import (
    Capabilities,
    ChassisId,
    ChassisKind,
    Extra,
    FrameSize,
    ManagementAddress,
    Organisation,
    Part,
    PortId,
    PortKind,
    PortVlan,
    Text,
    Unread,
    VlanName,
)

# Sent by Debian's lldpd 1.0.16 on a virtual port that was given this MAC and network address.
SENT = (
    "0180c200000e02000000000a88cc02070402000000000a04070302000000000a060200780a02766d0c0b7261636b207377697463680e0400"
    "9c0080100c05010a29140202000000030008027661fe0900120f030100000000fe0900120f0100800000360000"
)
NAMED = Message(
    ChassisId(ChassisKind.MAC, bytes.fromhex("aabbccddeeff")), PortId(PortKind.PORT_NAME, b"1"), 5, ended=False
)
HEAD = "020704aabbccddeeff" + "04020531" + "06020005"


def message(octets: str) -> Message:
    """Return the message in octets written in hexadecimal."""
    return lldp.read(bytes.fromhex(octets))


def test_the_ethertype_and_the_address_of_the_nearest_bridge() -> None:
    """SNM-26: 0x88CC, RFC 7042 appendix B; 01-80-C2-00-00-0E, IEEE 802.1AB."""
    octets = lldp.write_frame(Frame(bytes.fromhex("02000000000a"), NAMED))
    assert octets[:6].hex("-") == "01-80-c2-00-00-0e"
    assert octets[12:14].hex() == "88cc"


@pytest.mark.parametrize(
    ("number", "size", "head"),
    [(1, 7, "0207"), (2, 2, "0402"), (3, 2, "0602"), (8, 12, "100c"), (127, 6, "fe06"), (0, 0, "0000")],
)
def test_the_head_of_a_part(number: int, size: int, head: str) -> None:
    """SNM-27: IEEE 802.1AB section 8.4, seven bits of number and nine of length."""
    assert lldp.part_bytes(number, bytes(size))[:2].hex() == head


def test_a_frame_named_by_its_port() -> None:
    """SNM-28: octets from the tests of a public packet library, issue 3107; they have no part that marks the end."""
    octets = "88cc" + "0207" + "04aabbccddeeff" + "0402" + "0531" + "0602" + "0005"
    assert lldp.write_frame(Frame(bytes(6), NAMED))[12:].hex() == octets
    assert lldp.read_frame(bytes(12) + bytes.fromhex(octets)).message == NAMED
    assert (NAMED.chassis.words, NAMED.port.words) == ("aa:bb:cc:dd:ee:ff", "1")


def test_names_that_are_network_addresses() -> None:
    """SNM-29: octets from the tests of a public packet library."""
    octets = "0206" + "050101010101" + "0406" + "040102020202" + "0602" + "0014" + "0000"
    named = message(octets)
    assert (named.chassis.words, named.port.words, named.ttl_s) == ("1.1.1.1", "2.2.2.2", 20)
    built = Message(
        ChassisId(ChassisKind.ADDRESS, b"\x01" + bytes([1, 1, 1, 1])),
        PortId(PortKind.ADDRESS, b"\x01" + bytes([2, 2, 2, 2])),
        20,
    )
    assert lldp.write(built).hex() == octets


def test_the_vlan_of_a_port() -> None:
    """SNM-30: IEEE 802.1Q annex D, organisation 00-80-C2, kind 1; VLAN 1 stands so in a published frame."""
    assert lldp.write(replace(NAMED, parts=(PortVlan(30),))).hex() == HEAD + "fe060080c201001e"
    assert message(HEAD + "fe060080c2010001").parts == (PortVlan(1),)


def test_how_long_a_message_counts() -> None:
    """SNM-31: IEEE 802.1AB-2005 section 10.5.3.3 (LLDP-MIB): 30 s and 4 give 120 s; 65535 s at most."""
    assert lldp.time_to_live_s(30, 4) == 120
    assert lldp.time_to_live_s(32_768, 10) == 65_535


def test_a_frame_that_another_sent() -> None:
    frame = lldp.read_frame(bytes.fromhex(SENT))
    assert frame == Frame(
        bytes.fromhex("02000000000a"),
        Message(
            ChassisId(ChassisKind.MAC, bytes.fromhex("02000000000a")),
            PortId(PortKind.MAC, bytes.fromhex("02000000000a")),
            120,
            (
                Text(Part.SYSTEM_NAME, b"vm"),
                Text(Part.SYSTEM_DESCRIPTION, b"rack switch"),
                Capabilities(0x009C, 0x0080),
                ManagementAddress(1, bytes([10, 41, 20, 2]), 2, 3),
                Text(Part.PORT_DESCRIPTION, b"va"),
                Organisation(bytes.fromhex("00120f"), 3, bytes.fromhex("0100000000")),
                Organisation(bytes.fromhex("00120f"), 1, bytes.fromhex("0080000036")),
            ),
        ),
    )
    assert lldp.write_frame(frame).hex() == SENT


def test_padding_behind_the_end_is_left_out() -> None:
    """IEEE 802.3: a frame has at least 60 octets before its check sequence."""
    frame = lldp.read_frame(bytes.fromhex(SENT) + bytes(40))
    assert lldp.write_frame(frame).hex() == SENT


# Each row: the octets of a message, and the sentence.
BROKEN = [
    ("", "a message must begin with the parts 1, 2, 3; this one has []"),
    ("02", "at octet 0 a part should begin, and 1 octet is left"),
    ("0207aabb", "part 1 at octet 0 says 7 octets, and 2 are left"),
    (HEAD[:18], "a message must begin with the parts 1, 2, 3; this one has [1]"),
    (HEAD[18:26] + HEAD[:18] + HEAD[26:], "a message must begin with the parts 1, 2, 3; this one has [2, 1, 3]"),
    (HEAD[:26] + "0000", "a message must begin with the parts 1, 2, 3; this one has [1, 2]"),
    (HEAD + HEAD[18:26], "part 2 comes twice; it may come once"),
    (HEAD[:26] + "060105", "the time to live has 1 octets, not 2"),
    (HEAD[:26] + "0603000500", "the time to live has 3 octets, not 2"),
    ("020104" + HEAD[18:], "the name of the chassis has 1 octets with its kind; 2 to 256 may be"),
    (HEAD[:18] + "0400" + HEAD[26:], "the name of the port has 0 octets with its kind; 2 to 256 may be"),
    (HEAD + "000100", "the part that marks the end has 1 octets; it must have none"),
]


@pytest.mark.parametrize(("octets", "sentence"), BROKEN)
def test_a_broken_message_says_what_is_wrong(octets: str, sentence: str) -> None:
    with pytest.raises(BrokenPacketError) as broken:
        message(octets)
    assert str(broken.value) == sentence


def test_a_frame_of_something_else_is_none() -> None:
    with pytest.raises(BrokenPacketError) as broken:
        lldp.read_frame(bytes(12) + b"\x08\x00" + bytes(46))
    assert str(broken.value) == "the EtherType is 0x0800; that of LLDP is 0x88CC"
    with pytest.raises(BrokenPacketError) as broken:
        lldp.read_frame(bytes(13))
    assert str(broken.value) == "an Ethernet frame begins with 14 octets; these are 13"


# Each row: a part behind the first three, and the sentence that is kept with it.
BROKEN_PARTS = [
    ("0e03009c00", "the capabilities must have 4 octets and has 3"),
    ("1000", "a management address says 0 octets in a part of 0"),
    ("100c01010a291402020000000300", "a management address says 1 octets in a part of 12"),
    ("100b05010a2914020200000003", "a management address says 5 octets in a part of 11"),
    ("100c05010a29140202000000030a", "the object of a management address says 10 octets and has 0"),
    ("fe030080c2", "a part of an organisation has 3 octets; it begins with 4"),
    ("fe050080c2011e", "the port's VLAN must have 2 octets and has 1"),
    ("fe060080c2010fff", "VLAN 4095 must lie from 0 to 4094"),
    ("fe090080c2030000014142", "the name of a VLAN is cut or too long in a part of 9 octets"),
    ("fe080080c20300000141", "VLAN 0 must lie from 1 to 4094"),
    ("fe0500120f0405", "the largest frame must have 2 octets and has 1"),
]


@pytest.mark.parametrize(("octets", "sentence"), BROKEN_PARTS)
def test_a_broken_part_is_kept_with_its_sentence(octets: str, sentence: str) -> None:
    whole = message(HEAD + octets + "0a03" + b"MIX".hex() + "0000")
    part, name = whole.parts
    assert isinstance(part, Unread)
    assert part.fault == sentence
    assert part.octets.hex() == octets[4:]
    assert name == Text(Part.SYSTEM_NAME, b"MIX")


def test_a_part_of_an_unknown_number_is_no_fault() -> None:
    assert message(HEAD + "1202abcd").parts == (Unread(9, b"\xab\xcd"),)


def test_names_are_written_as_people_write_them() -> None:
    assert PortId(PortKind.MAC, bytes.fromhex("02000000000a")).words == "02:00:00:00:00:0a"
    assert PortId(PortKind.MAC, b"\x02\x00").words == "02 00"
    assert ChassisId(ChassisKind.ADDRESS, b"\x02" + bytes(15) + b"\x01").words == "::1"
    assert ChassisId(ChassisKind.ADDRESS, b"\x01\x0a").words == "01 0a"
    assert ChassisId(ChassisKind.LOCAL, "Bühne".encode()).words == "Bühne"
    assert ChassisId(ChassisKind.LOCAL, b"\xff").words == "\ufffd"
    assert Text(Part.SYSTEM_NAME, b"MIX-1").words == "MIX-1"
    assert ManagementAddress(1, bytes([10, 41, 20, 2]), 2, 3).words == "10.41.20.2"


@pytest.mark.parametrize(
    "wrong",
    [
        replace(NAMED, ttl_s=65_536),
        replace(NAMED, chassis=ChassisId(4, b"")),
        replace(NAMED, port=PortId(256, b"1")),
        replace(NAMED, parts=(PortVlan(4095),)),
        replace(NAMED, parts=(Text(Part.SYSTEM_NAME, bytes(256)),)),
        replace(NAMED, parts=(Text(Part.SYSTEM_NAME, bytes(512)),)),
        replace(NAMED, parts=(Organisation(bytes(2), 1, b""),)),
        replace(NAMED, parts=(Unread(1, b"\x07again"),)),
    ],
)
def test_a_message_that_would_be_read_otherwise_is_not_written(wrong: Message) -> None:
    with pytest.raises(ValueError, match=r"."):
        lldp.write(wrong)


KINDS = st.integers(0, 255)
NAMES = st.binary(min_size=1, max_size=255)
SHORT = st.integers(0, 65_535)
VLANS = st.integers(1, 4094)
OTHERS = st.sampled_from([bytes.fromhex("00120f"), bytes.fromhex("0012bb"), bytes.fromhex("020000")])
PARTS: st.SearchStrategy[Extra] = st.one_of(
    st.builds(
        Text,
        st.sampled_from([Part.PORT_DESCRIPTION, Part.SYSTEM_NAME, Part.SYSTEM_DESCRIPTION]),
        st.binary(max_size=255),
    ),
    st.builds(Capabilities, SHORT, SHORT),
    st.builds(
        ManagementAddress,
        KINDS,
        st.binary(min_size=1, max_size=31),
        KINDS,
        st.integers(0, 2**32 - 1),
        st.binary(max_size=128),
    ),
    st.builds(PortVlan, st.integers(0, 4094)),
    st.builds(VlanName, VLANS, st.binary(max_size=32)),
    st.builds(FrameSize, SHORT),
    st.builds(Organisation, OTHERS, st.integers(5, 255), st.binary(max_size=300)),
    st.builds(Unread, st.integers(9, 126), st.binary(max_size=511)),
)
MESSAGES = st.builds(
    Message,
    st.builds(ChassisId, KINDS, NAMES),
    st.builds(PortId, KINDS, NAMES),
    SHORT,
    st.lists(PARTS, max_size=6).map(tuple),
    st.booleans(),
)


@given(MESSAGES, st.binary(min_size=6, max_size=6))
def test_frames_there_and_back(sent: Message, source: bytes) -> None:
    frame = Frame(source, sent)
    assert lldp.read_frame(lldp.write_frame(frame)) == frame


def is_message_or_broken(octets: bytes) -> bool:
    """Return whether octets are broken, or a message that is read alike when it is written again."""
    try:
        came = lldp.read(octets)
    except BrokenPacketError:
        return True
    return octets.startswith(lldp.write(came))


@given(MESSAGES, st.data())
def test_a_flipped_octet_is_another_message_or_a_broken_one(sent: Message, data: st.DataObject) -> None:
    octets = bytearray(lldp.write(sent))
    octets[data.draw(st.integers(0, len(octets) - 1))] ^= data.draw(st.integers(1, 255))
    assert is_message_or_broken(bytes(octets))


@given(st.binary(max_size=60), st.booleans())
def test_any_octets_are_a_message_or_broken(octets: bytes, begun: bool) -> None:
    assert is_message_or_broken(bytes.fromhex(HEAD) + octets if begun else octets)
