"""SAP against the values that RFC 2974 publishes, and against broken packets.

The ids are those of the project's list of published values. 'Text' means that the value was read in the RFC named;
'derived' that it is arithmetic on its rule.
"""

from __future__ import annotations

import doctest
from dataclasses import replace
from ipaddress import IPv4Address, IPv4Network, IPv6Address

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.physics.ip import ORGANISATION_LOCAL, group_mac
from tailboard.wire import sap
from tailboard.wire.broken import BrokenPacketError

SDP = b"v=0\r\ns=Stage\r\n"
PLAIN = sap.Announcement(IPv4Address("192.0.2.1"), 0x1234, SDP)
HEAD = bytes.fromhex("20001234 c0000201")


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(sap).failed == 0


@pytest.mark.parametrize(
    ("announcement", "first"),
    [
        (PLAIN, 0x20),
        (replace(PLAIN, deletion=True, payload=b"o=- 1 1 IN IP4 192.0.2.1\r\n"), 0x24),
        (replace(PLAIN, source=IPv6Address("2001:db8::1")), 0x30),
    ],
)
def test_frm_67_the_first_byte(announcement: sap.Announcement, first: int) -> None:
    """FRM-67. RFC 2974 section 6, figure 1: V = 1 in three bits, then A, R, T, E, C (derived)."""
    data = sap.write(announcement)
    assert data[0] == first
    assert sap.read(data) == announcement


def test_an_announcement_is_read_with_and_without_its_type() -> None:
    """RFC 2974 section 6 (text): without a type the payload begins with v=0; the reserved bit is not looked at."""
    assert sap.write(PLAIN) == HEAD + SDP
    assert sap.read(b"\x28" + HEAD[1:] + SDP) == PLAIN
    assert sap.read(HEAD + b"application/sdp\0" + SDP) == replace(PLAIN, payload_type=sap.SDP_TYPE)


def test_the_proof_is_left_as_it_is() -> None:
    """RFC 2974 section 6 (text): its length is counted in words of four bytes."""
    signed = replace(PLAIN, proof=bytes(range(8)))
    assert sap.write(signed)[1] == 2
    assert sap.read(sap.write(signed)) == signed


def test_a_closed_payload_is_left_as_it_is() -> None:
    closed = replace(PLAIN, payload=b"\x78\x9c\x01\x02", compressed=True)
    assert sap.write(closed)[0] == 0x21
    assert sap.read(sap.write(closed)) == closed


def test_frm_69_port_groups_and_ttl() -> None:
    """FRM-69. RFC 2974 section 3 (text). FRM-75: the group on Ethernet, RFC 1112 section 6.4 (derived)."""
    assert (sap.PORT, str(sap.GLOBAL_GROUP), sap.TTL) == (9875, "224.2.127.254", 255)
    assert sap.group_ipv6(0xE) == IPv6Address("FF0E::2:7FFE")
    assert group_mac(sap.GLOBAL_GROUP) == "01:00:5E:02:7F:FE"


@pytest.mark.parametrize(
    ("scope", "group"),
    [
        (
            IPv4Network("239.16.32.0/23"),
            "239.16.33.255",
        ),  # FRM-70, RFC 2974 section 3: 239.16.32.0 to 239.16.33.255 (text)
        (IPv4Network("239.255.0.0/16"), "239.255.255.255"),  # FRM-71, with RFC 2365 section 6.1 (derived)
        (ORGANISATION_LOCAL, "239.195.255.255"),  # FRM-71, with RFC 2365 section 6.2 (derived)
    ],
)
def test_frm_70_and_frm_71_the_group_of_a_scope_is_its_highest_address(scope: IPv4Network, group: str) -> None:
    assert sap.group(scope) == IPv4Address(group)


@pytest.mark.parametrize(
    ("count", "size_bytes", "interval_s", "lapse_s"), [(1, 500, 300, 3600), (1000, 400, 800, 8000)]
)
def test_frm_72_and_frm_73_intervals_and_lapses(count: int, size_bytes: int, interval_s: float, lapse_s: float) -> None:
    """FRM-72: RFC 2974 section 3.1, at its default of 4000 bit/s. FRM-73: section 4 (both derived)."""
    assert sap.interval_s(count, size_bytes) == interval_s
    assert sap.lapse_s(sap.interval_s(count, size_bytes)) == lapse_s


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "a SAP header has 4 bytes and an address; these are 0 bytes"),
        (HEAD[:3], "a SAP header has 4 bytes and an address; these are 3 bytes"),
        (b"\x40" + HEAD[1:] + SDP, "SAP version 2, not 1"),
        (HEAD[:7], "a SAP header of 8 bytes in a packet of 7"),
        (b"\x30" + HEAD[1:], "a SAP header of 20 bytes in a packet of 8"),
        (b"\x20\x02" + HEAD[2:] + b"1234", "a SAP header of 16 bytes in a packet of 12"),
        (HEAD + b"hello", "neither a payload type with a zero byte behind it, nor SDP that begins with v=0"),
        (HEAD + b"\xff/\0" + SDP, "a payload type is text such as application/sdp; this is b'\\xff/'"),
        (HEAD + b"hello\0" + SDP, "a payload type is text such as application/sdp; this is b'hello'"),
    ],
)
def test_a_broken_packet_is_refused_in_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(BrokenPacketError) as caught:
        sap.read(data)
    assert str(caught.value) == words


ANNOUNCEMENTS = st.builds(
    sap.Announcement,
    st.ip_addresses(),
    st.integers(0, 0xFFFF),
    st.binary(max_size=30).map(lambda tail: b"v=0" + tail),
    st.sampled_from(["", sap.SDP_TYPE, "text/plain"]),
    st.booleans(),
    proof=st.binary(max_size=12).map(lambda body: body[: len(body) // 4 * 4]),
)
CLOSED = st.builds(
    sap.Announcement, st.ip_addresses(), st.integers(0, 0xFFFF), st.binary(max_size=30), encrypted=st.just(value=True)
)


@settings(max_examples=200, derandomize=True, deadline=None)
@given(ANNOUNCEMENTS | CLOSED)
def test_every_announcement_comes_back_from_its_bytes(announcement: sap.Announcement) -> None:
    assert sap.read(sap.write(announcement)) == announcement


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.binary(max_size=40) | st.binary(max_size=40).map(lambda tail: HEAD + tail))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        announcement = sap.read(data)
    except BrokenPacketError:
        return
    assert sap.read(sap.write(announcement)) == announcement


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"proof": b"abc"}, "authentication data of 3 bytes is no multiple of four"),
        ({"message_hash": 0x10000}, "hash 65536 does not fit 16 bits"),
        ({"payload": b"hello"}, "a payload other than SDP needs its type"),
        ({"payload_type": "hello"}, "a type is text such as application/sdp"),
        ({"payload_type": "a/b", "encrypted": True}, "the type of an encrypted or compressed payload is inside it"),
    ],
)
def test_what_could_not_be_read_back_is_not_written(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        sap.write(replace(PLAIN, **wrong))  # type: ignore[arg-type]
