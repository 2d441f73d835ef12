"""RTP against the values that RFC 3550, 3190, 3551 and 7273 publish, and against broken packets.

The ids are those of the project's list of published values. 'Text' means that the value, or the code that gives it, was
read in the RFC named; 'derived' that it is arithmetic on it.
"""

from __future__ import annotations

import doctest
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tailboard.wire import rtp
from tailboard.wire.broken import BrokenPacketError

# Made by hand from the figure of RFC 3550 section 5.1: mark, type 96, number 258, one mixed source, an extension of one
# word, two bytes of payload, two of padding.
FULL = bytes.fromhex("b1e00102 01020304 0a0b0c0d 11111111 abcd0001 deadbeef c0de 0002")
PLAIN = bytes.fromhex("80600102 01020304 0a0b0c0d c0de")


def counted(*numbers: int) -> tuple[rtp.Received, list[bool]]:
    """Return the state after packets of these numbers from a new source, and which of them count."""
    state, verdicts = rtp.new_source(numbers[0]), []
    for number in numbers:
        state, counts = rtp.after(state, number)
        verdicts.append(counts)
    return state, verdicts


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(rtp).failed == 0


def test_frm_01_the_fixed_header_has_12_bytes() -> None:
    """FRM-01. RFC 3550 section 5.1 (text)."""
    assert len(rtp.write(rtp.Packet(96, 0, 0, 0, b""))) == 12


def test_a_packet_with_everything_is_read() -> None:
    """RFC 3550 section 5.1 and 5.3.1 (figures read; the bytes made by hand)."""
    assert rtp.read(FULL) == rtp.Packet(
        96, 258, 0x01020304, 0x0A0B0C0D, b"\xc0\xde", True, (0x11111111,), (0xABCD, b"\xde\xad\xbe\xef"), 2
    )
    assert rtp.write(rtp.read(FULL)) == FULL
    assert rtp.read(PLAIN) == rtp.Packet(96, 258, 0x01020304, 0x0A0B0C0D, b"\xc0\xde")
    assert rtp.write(rtp.read(PLAIN)) == PLAIN


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an RTP header has 12 bytes; these are 0"),
        (PLAIN[:11], "an RTP header has 12 bytes; these are 11"),
        (b"\x40" + PLAIN[1:], "RTP version 1, not 2"),
        (b"\x81" + PLAIN[1:], "1 mixed sources need 16 bytes; these are 14"),
        (FULL[:18], "the header extension starts at byte 16; the packet has 18 bytes"),
        (FULL[:22], "the header extension ends at byte 24; the packet has 22 bytes"),
        (b"\xa0" + PLAIN[1:-1] + b"\x00", "padding of 0 bytes in a packet that has 2 behind its header"),
        (b"\xa0" + PLAIN[1:-1] + b"\x03", "padding of 3 bytes in a packet that has 2 behind its header"),
        (b"\xa0" + PLAIN[1:12], "padding of 13 bytes in a packet that has 0 behind its header"),
    ],
)
def test_a_broken_packet_is_refused_in_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(BrokenPacketError) as caught:
        rtp.read(data)
    assert str(caught.value) == words


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.binary(max_size=80))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        packet = rtp.read(data)
    except BrokenPacketError:
        return
    assert rtp.read(rtp.write(packet)) == packet


WORD = st.integers(0, 2**32 - 1)
EXTRA = st.tuples(st.integers(0, 2**16 - 1), st.binary(max_size=12).map(lambda body: body[: len(body) // 4 * 4]))
PACKETS = st.builds(
    rtp.Packet, st.integers(0, 127), st.integers(0, 2**16 - 1), WORD, WORD, st.binary(max_size=40), st.booleans(),
    st.lists(WORD, max_size=15).map(tuple), st.none() | EXTRA, st.integers(0, 255),
)  # fmt: skip


@settings(max_examples=200, derandomize=True, deadline=None)
@given(PACKETS)
def test_every_packet_comes_back_from_its_bytes(packet: rtp.Packet) -> None:
    assert rtp.read(rtp.write(packet)) == packet


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"payload_type": 128}, "payload type 128 does not fit 7 bits"),
        ({"number": -1}, "number -1 does not fit 16 bits"),
        ({"mixed_sources": (0,) * 16}, "count of mixed sources 16 does not fit 4 bits"),
        ({"extra": (0, b"abc")}, "a header extension of 3 bytes is no multiple of four"),
    ],
)
def test_a_field_that_does_not_fit_is_a_bug_of_ours(wrong: dict[str, object], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        rtp.write(replace(rtp.read(PLAIN), **wrong))  # type: ignore[arg-type]


def test_frm_11_and_frm_66_linear_audio_is_signed_big_endian_and_kept_together_by_instant() -> None:
    """FRM-66. RFC 3190 section 4 and RFC 3551 section 4.5.11 (text). FRM-11: 8 channels of 48 samples make 1152 bytes."""
    assert rtp.audio_payload([(1, -1), (0x7FFFFF, -0x800000)]).hex() == "000001ffffff7fffff800000"
    assert rtp.audio_payload([(258, -2)], 2).hex() == "0102fffe"
    assert len(rtp.audio_payload([(0,) * 8] * 48)) == 1152
    assert rtp.audio_frames(bytes.fromhex("000001ffffff7fffff800000"), 2) == ((1, -1), (0x7FFFFF, -0x800000))
    with pytest.raises(BrokenPacketError, match="2 channels of 3 bytes make frames of 6 bytes; 7 is no multiple"):
        rtp.audio_frames(bytes(7), 2)
    with pytest.raises(OverflowError):
        rtp.audio_payload([(0x800000,)])


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.lists(st.tuples(*[st.integers(-0x800000, 0x7FFFFF)] * 3)))
def test_audio_comes_back_from_its_bytes(frames: list[tuple[int, ...]]) -> None:
    assert rtp.audio_frames(rtp.audio_payload(frames), 3) == tuple(frames)


def test_frm_34_the_dynamic_payload_types_and_the_port() -> None:
    """FRM-34. RFC 3551 table 5 for 96..127 (text); 5004 from memory, seen in the examples of RFC 7273."""
    assert (rtp.DYNAMIC_TYPES[0], rtp.DYNAMIC_TYPES[-1]) == (96, 127)
    assert rtp.DEFAULT_PORT == 5004


def test_frm_45_the_constants_of_validation() -> None:
    """FRM-45. RFC 3550 appendix A.1 (text)."""
    assert (rtp.DROPOUT_MAX, rtp.MISORDER_MAX, rtp.SEQUENTIAL_MIN, rtp.NUMBERS) == (3000, 100, 2, 65536)


def test_frm_48_the_second_packet_is_the_first_that_counts() -> None:
    """FRM-48. RFC 3550 appendix A.1 (derived: its code run)."""
    state, verdicts = counted(10, 11, 12)
    assert verdicts == [False, True, True]
    assert (state.first, state.count) == (11, 2)


def test_a_gap_on_probation_begins_it_again() -> None:
    """RFC 3550 appendix A.1 (text): probation becomes MIN_SEQUENTIAL - 1, so one more in order is enough."""
    assert counted(10, 20, 21)[1] == [False, False, True]


def test_frm_46_a_jump_of_2999_counts_and_one_of_3000_does_not_at_first() -> None:
    """FRM-46. RFC 3550 appendix A.1 (derived from the code)."""
    start, _ = counted(10, 11)
    assert rtp.after(start, 11 + 2999)[1]
    jumped, counts = rtp.after(start, 11 + 3000)
    assert not counts
    assert jumped.restart == 11 + 3001
    again, counts = rtp.after(jumped, 11 + 3001)
    assert counts
    assert again.first == 11 + 3001


def test_packets_99_behind_count_and_100_behind_do_not() -> None:
    """RFC 3550 appendix A.1 (its code; the prose says 100)."""
    start, _ = counted(1000, 1001)
    assert rtp.after(start, 1001 - 99) == (replace(start, count=2), True)
    assert not rtp.after(start, 1001 - 100)[1]


def test_frm_49_a_source_that_starts_again() -> None:
    """FRM-49. RFC 3550 appendix A.1 (derived: its code run)."""
    state, verdicts = counted(999, 1000, 9000, 9001)
    assert verdicts[2:] == [False, True]
    assert (state.first, state.count, state.rounds) == (9001, 1, 0)


def test_frm_50_probation_goes_round_at_65535() -> None:
    """FRM-50. The code of RFC 3550 appendix A.1 compares with 65536 and says no, no, yes; ours goes round, as documented."""
    state, verdicts = counted(65535, 0, 1)
    assert verdicts == [False, True, True]
    assert (state.first, state.count, state.rounds) == (0, 2, 0)


def test_frm_41_packets_expected_over_the_wrap() -> None:
    """FRM-41. RFC 3550 appendix A.3 (derived): first 65530, last 5, once round -> 12."""
    state, verdicts = counted(65529, *range(65530, 65536), *range(6))
    assert all(verdicts[1:])
    assert (state.first, state.last, state.rounds * rtp.NUMBERS) == (65530, 5, 65536)
    assert state.expected == 12
    assert state.lost == 0


def test_frm_42_the_share_lost_of_100_packets() -> None:
    """FRM-42. RFC 3550 appendix A.3 (derived): 5 of 100 lost -> 12 of 256."""
    lost = {20, 40, 60, 80, 90}
    state, _ = counted(0, *(number for number in range(1, 101) if number not in lost))
    assert (state.expected, state.count) == (100, 95)
    state, share = rtp.reported(state)
    assert share == 0x0C
    assert rtp.reported(state)[1] == 0  # nothing was expected since
    for number in range(101, 201):
        state, _ = rtp.after(state, number) if number % 2 else (state, False)
    state, _ = rtp.after(state, 200)
    assert rtp.reported(state)[1] == (49 << 8) // 100  # the second hundred: the odd ones and the last came


def test_frm_43_copies_are_no_loss() -> None:
    """FRM-43. RFC 3550 appendix A.3 (text): 0 where the loss of an interval is zero or less."""
    state, _ = counted(0, 1, 2, 2, 2)
    assert state.lost == -2
    assert rtp.reported(state)[1] == 0


def test_a_whole_interval_lost_stays_in_its_8_bits() -> None:
    """Own choice, said in the document of the function: 256/256 does not fit the field of RFC 3550 section 6.4.1."""
    assert rtp.reported(rtp.Received(0, 99))[1] == 255


@pytest.mark.parametrize(
    ("state", "lost"),
    [
        (rtp.Received(0, 0, rounds=1 << 10), 0x7FFFFF),
        (rtp.Received(0, 0, count=1 << 24), -0x800000),
        (rtp.Received(0, 9, count=7), 3),
    ],
)
def test_frm_44_the_loss_is_held_to_24_bits(state: rtp.Received, lost: int) -> None:
    """FRM-44. RFC 3550 appendix A.3 (text)."""
    assert state.lost == lost


@settings(max_examples=200, derandomize=True, deadline=None)
@given(st.integers(0, 65535), st.lists(st.integers(0, 65535), max_size=60))
def test_states_stay_inside_their_bits(first: int, numbers: list[int]) -> None:
    state, verdicts = counted(first, *numbers)
    assert 0 <= state.last < rtp.NUMBERS
    assert state.count <= sum(verdicts)
    assert 0 <= rtp.reported(state)[1] <= 255


RATE_HZ = 48_000
STAMPS = (0, 48, 96, 144, 192, 240)
ARRIVALS = (0, 48, 101, 144, 192, 250)  # in units of the timestamp


def test_frm_37_one_step_of_the_jitter() -> None:
    """FRM-37. RFC 3550 section 6.4.1 and appendix A.8 (text): from 0 with a difference of 16 to exactly 1."""
    assert rtp.next_jitter_s(0.0, 16.0) == 1.0
    assert rtp.next_jitter_s(0.0, -16.0) == 1.0


def test_frm_38_the_jitter_of_a_worked_sequence() -> None:
    """FRM-38. RFC 3550 appendix A.8 (derived)."""
    jitter_s, found = 0.0, [0.0]
    for (stamp, arrival), (next_stamp, next_arrival) in pairwise(zip(STAMPS, ARRIVALS, strict=True)):
        apart_s = (next_arrival - arrival) / RATE_HZ
        jitter_s = rtp.next_jitter_s(jitter_s, rtp.transit_difference_s(apart_s, stamp, next_stamp, RATE_HZ))
        found.append(jitter_s * RATE_HZ)
    assert found == pytest.approx([0, 0, 0.3125, 0.60546875, 0.567626953125, 1.1571502685546875], abs=1e-12)


def test_frm_39_the_jitter_of_the_same_sequence_in_whole_units() -> None:
    """FRM-39. RFC 3550 appendix A.8, second form (derived)."""
    transits = [arrival - stamp for arrival, stamp in zip(ARRIVALS, STAMPS, strict=True)]
    scaled = [0]
    for before, now in pairwise(transits):
        scaled.append(rtp.next_jitter_scaled(scaled[-1], now - before))
    assert scaled == [0, 0, 5, 10, 9, 18]
    assert [value >> 4 for value in scaled] == [0, 0, 0, 0, 0, 1]


@pytest.mark.parametrize(("steps", "share"), [(16, 0.64393), (50, 0.96032), (100, 0.99843)])
def test_frm_40_the_jitter_nears_a_steady_difference(steps: int, share: float) -> None:
    """FRM-40. RFC 3550 appendix A.8 (derived: 1 - (15/16)^n)."""
    jitter_s = 0.0
    for _ in range(steps):
        jitter_s = rtp.next_jitter_s(jitter_s, 1e-3)
    assert jitter_s / 1e-3 == pytest.approx(share, abs=5e-6)


def test_a_timestamp_that_goes_round_is_no_difference() -> None:
    """Hand: 48 samples of 48 kHz are 1 ms, over the wrap and back."""
    assert rtp.transit_difference_s(1e-3, 2**32 - 24, 24, RATE_HZ) == pytest.approx(0.0, abs=1e-12)
    assert rtp.transit_difference_s(1e-3, 24, 2**32 - 24, RATE_HZ) == pytest.approx(2e-3, abs=1e-12)


def test_frm_52_sequence_numbers_come_again() -> None:
    """FRM-52. RFC 3550 section 5.1, 16 bits (derived)."""
    assert rtp.number_wrap_s(1e-3) == pytest.approx(65.536, abs=0.0005)
    assert rtp.number_wrap_s(125e-6) == pytest.approx(8.192, abs=0.0005)


def test_frm_53_timestamps_come_again() -> None:
    """FRM-53. RFC 3550 section 5.1, 32 bits (derived)."""
    assert rtp.timestamp_wrap_s(48e3) == pytest.approx(89_478.485, abs=0.0005)
    assert rtp.timestamp_wrap_s(48e3) / 3600 == pytest.approx(24.855, abs=0.0005)


SINCE_1970_S = (datetime(2013, 1, 1, tzinfo=UTC) - datetime(1970, 1, 1, tzinfo=UTC)).days * 86_400


@pytest.mark.parametrize(
    ("rate", "offset", "published"),
    [
        (90_000, 0, 2_460_938_240),  # FRM-54, RFC 7273 section 5.2 (text)
        (90_000, 23_465, 2_460_961_705),  # FRM-54, RFC 7273 section 5.2 (text)
        (48_000, 0, 2_744_156_160),  # FRM-56, the same method (derived)
        (48_000, 963_214_424, 3_707_370_584),  # FRM-56 with the offset of RFC 7273 figure 6 (derived)
    ],
)
def test_frm_54_and_frm_56_a_direct_media_clock_on_ptp_time(rate: int, offset: int, published: int) -> None:
    """2013-01-01 00:00:00 TAI is 15 706 days or 1 356 998 400 s after the epoch of PTP, as RFC 7273 section 5.2 says."""
    assert SINCE_1970_S == 1_356_998_400
    assert rtp.timestamp_at(SINCE_1970_S, rate, offset) == published


def test_frm_55_a_direct_media_clock_on_ntp_time() -> None:
    """FRM-55. RFC 7273 section 5.2 (text): 3 565 987 225 s since 1900, 25 leap seconds among them."""
    since_1900_s = (datetime(2013, 1, 1, tzinfo=UTC) - datetime(1900, 1, 1, tzinfo=UTC)).days * 86_400 + 25
    assert since_1900_s == 3_565_987_225
    assert rtp.timestamp_at(since_1900_s, 90_000) == 1_714_023_696


def test_a_media_clock_is_exact_between_samples() -> None:
    """Hand: one sample of 48 kHz later the timestamp is one more, and not before."""
    last = rtp.timestamp_at(SINCE_1970_S, 48_000)
    assert rtp.timestamp_at(SINCE_1970_S + Fraction(1, 48_000), 48_000) == last + 1
    assert rtp.timestamp_at(SINCE_1970_S + Fraction(99, 4_800_000), 48_000) == last
