"""RTCP against the values that RFC 3550 publishes, and against broken packets.

The ids are those of the project's list of published values. 'Text' means that the value was read in the RFC named.
"""

from __future__ import annotations

import doctest
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.wire import rtcp
from tailboard.wire.broken import BrokenPacketError
from tailboard.wire.rtp import LOST_MAX, LOST_MIN

NTP_TIME = 0xB44DB705_20000000  # RFC 3550 figure 2: when the sender report was sent
REPORT = rtcp.Report(0x22222222, 12, -2, 0x0001_0005, 1, 0xB7052000, 0x00054000)
# Made by hand from the figures of RFC 3550 sections 6.4.1, 6.5 and 6.6: a sender report with one block, a description with
# CNAME 'a@b', a goodbye with the reason 'off'.
COMPOUND = bytes.fromhex(
    "81c8000c 11111111 b44db70520000000 00000030 00000001 00000480"
    "22222222 0cfffffe 00010005 00000001 b7052000 00054000"
    "81ca0003 11111111 01036140 62000000"
    "81cb0002 11111111 036f6666"
)
RECORDS = (
    rtcp.SenderReport(0x11111111, NTP_TIME, 48, 1, 1152, (REPORT,)),
    rtcp.Description(((0x11111111, ((1, b"a@b"),)),)),
    rtcp.Goodbye((0x11111111,), b"off"),
)
EMPTY_REPORT = bytes.fromhex("80c90001 11111111")


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(rtcp).failed == 0


def test_frm_35_the_round_trip_of_the_figure() -> None:
    """FRM-35. RFC 3550 figure 2 (text): A b710:8000, LSR b705:2000, DLSR 0005:4000 -> 0006:2000, 6.125 s."""
    assert rtcp.round_trip_s(0xB7108000, REPORT) == 6.125
    assert rtcp.round_trip_s(0xB7108000, REPORT) * 65_536 == 0x0006_2000
    with pytest.raises(ValueError, match="no sender report was answered"):
        rtcp.round_trip_s(0xB7108000, replace(REPORT, last_report=0))


def test_a_round_trip_over_the_wrap_and_one_of_clocks_that_disagree() -> None:
    """Hand: 1/65536 s before and behind the wrap of 32 bits."""
    assert rtcp.round_trip_s(1, replace(REPORT, last_report=0xFFFFFFFF, since_report=0)) == 2 / 65_536
    assert rtcp.round_trip_s(5, replace(REPORT, last_report=6, since_report=0)) == -1 / 65_536


def test_frm_36_the_ntp_time_of_the_figure() -> None:
    """FRM-36. RFC 3550 figure 2 (text): 3 024 992 005.125 s is 10 November 1995, 11:33:25.125 UTC; LSR is its middle."""
    assert NTP_TIME / rtcp.NTP_FRACTION == 3_024_992_005.125
    assert rtcp.ntp_utc(NTP_TIME) == datetime(1995, 11, 10, 11, 33, 25, 125_000, tzinfo=UTC)
    assert rtcp.ntp_middle(NTP_TIME) == 0xB7052000


def test_a_compound_packet_is_read_and_written() -> None:
    assert rtcp.read(COMPOUND) == RECORDS
    assert rtcp.write(RECORDS) == COMPOUND


def test_padding_stands_in_the_last_packet_alone_and_is_left_out() -> None:
    """RFC 3550 section 6.4.1 and appendix A.2 (text)."""
    padded = bytes.fromhex("a0c90002 11111111 00000004")
    assert rtcp.read(padded) == (rtcp.ReceiverReport(0x11111111),)
    with pytest.raises(BrokenPacketError, match="padding in an RTCP packet that is not the last"):
        rtcp.read(padded + EMPTY_REPORT)


def test_the_items_of_a_source_end_with_a_zero_byte_and_are_filled_to_four() -> None:
    """RFC 3550 section 6.5 (from memory): where they end on a word a whole word of zeros follows. Bytes made by hand."""
    data = EMPTY_REPORT + bytes.fromhex("82ca0005 11111111 01026162 00000000 22222222 00000000")
    assert rtcp.read(data)[1] == rtcp.Description(((0x11111111, ((1, b"ab"),)), (0x22222222, ())))
    assert rtcp.write(rtcp.read(data)) == data


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ("", "an RTCP header has 4 bytes; 0 are left"),
        ("80c900", "an RTCP header has 4 bytes; 3 are left"),
        ("80c90001 11111111 80", "an RTCP header has 4 bytes; 1 are left"),
        ("40c90001 11111111", "RTCP version 1, not 2"),
        ("80ca0001 11111111", "a compound packet begins with a report, type 200 or 201; this is type 202"),
        ("80c90002 11111111", "an RTCP packet of 12 bytes where 8 are left"),
        ("80c90000", "a receiver report that needs 4 bytes behind its header has 0"),
        ("81c90001 11111111", "a receiver report that needs 28 bytes behind its header has 4"),
        ("80c80001 11111111", "a sender report that needs 24 bytes behind its header has 4"),
        ("a0c90001 11111111", "padding of 17 bytes in an RTCP packet with 4 behind its header"),
        ("a0c90002 11111111 00000000", "padding of 0 bytes in an RTCP packet with 8 behind its header"),
        ("a0c90002 11111111 00000003", "padding of 3 bytes in an RTCP packet with 8 behind its header"),
        ("80c90001 11111111 81ca0001 11111111", "a description that needs 5 bytes behind its header has 4"),
        ("80c90001 11111111 81ca0002 11111111 01036140", "a description that needs 9 bytes behind its header has 8"),
        ("80c90001 11111111 81ca0002 11111111 01024040", "a description that needs 9 bytes behind its header has 8"),
        ("80c90001 11111111 82cb0001 11111111", "a goodbye that needs 8 bytes behind its header has 4"),
        ("80c90001 11111111 81cb0002 11111111 046f6666", "a goodbye that needs 9 bytes behind its header has 8"),
    ],
)
def test_a_broken_packet_is_refused_in_one_sentence(data: str, words: str) -> None:
    with pytest.raises(BrokenPacketError) as caught:
        rtcp.read(bytes.fromhex(data))
    assert str(caught.value) == words


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.binary(max_size=60) | st.binary(max_size=60).map(lambda tail: EMPTY_REPORT + b"\x81" + tail))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        packets = rtcp.read(data)
    except BrokenPacketError:
        return
    assert packets


WORD = st.integers(0, 2**32 - 1)
BODY = st.binary(max_size=16).map(lambda body: body[: len(body) // 4 * 4])
REPORTS = st.lists(
    st.builds(rtcp.Report, WORD, st.integers(0, 255), st.integers(LOST_MIN, LOST_MAX), WORD, WORD, WORD, WORD),
    max_size=3,
).map(tuple)
SENDERS = st.builds(rtcp.SenderReport, WORD, st.integers(0, 2**64 - 1), WORD, WORD, WORD, REPORTS, BODY)
RECEIVERS = st.builds(rtcp.ReceiverReport, WORD, REPORTS, BODY)
ITEMS = st.lists(st.tuples(st.integers(1, 255), st.binary(max_size=9)), max_size=3).map(tuple)
OTHERS = (
    st.builds(rtcp.Description, st.lists(st.tuples(WORD, ITEMS), max_size=3).map(tuple))
    | st.builds(rtcp.Goodbye, st.lists(WORD, max_size=3).map(tuple), st.none() | st.binary(max_size=9))
    | st.builds(rtcp.Other, st.integers(204, 255), st.integers(0, 31), BODY)
)


@settings(max_examples=200, derandomize=True, deadline=None)
@given(SENDERS | RECEIVERS, st.lists(SENDERS | RECEIVERS | OTHERS, max_size=3))
def test_every_compound_packet_comes_back_from_its_bytes(first: rtcp.Packet, rest: list[rtcp.Packet]) -> None:
    packets = (first, *rest)
    assert rtcp.read(rtcp.write(packets)) == packets


@pytest.mark.parametrize(
    ("packets", "words"),
    [
        ((), "a compound packet begins with a report"),
        ((RECORDS[2],), "a compound packet begins with a report"),
        ((replace(RECORDS[0], ntp_time=1 << 64),), "NTP time 18446744073709551616 does not fit 64 bits"),
        ((replace(RECORDS[0], reports=(REPORT,) * 32),), "count 32 does not fit 5 bits"),
        ((replace(RECORDS[0], reports=(replace(REPORT, lost=LOST_MAX + 1),)),), "lost 8388608 does not fit 24 bits"),
        ((replace(RECORDS[0], extension=b"a"),), "an RTCP packet of 49 bytes behind its header is no multiple of four"),
        ((RECORDS[0], rtcp.Description(((1, ((0, b""),)),))), "item types are 1 to 255; 0 ends the items"),
        ((RECORDS[0], rtcp.Goodbye((1,), bytes(256))), "length of a text 256 does not fit 8 bits"),
    ],
)
def test_a_field_that_does_not_fit_is_a_bug_of_ours(packets: tuple[rtcp.Packet, ...], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        rtcp.write(packets)
