"""Framing against published values, each by the id of the project's list of them, with the formulas of physics.

'Text' means the value was read in the source named; 'second-hand' in a text that restates it; 'second tool' that an
independent program gave it; 'derived' that it is arithmetic on such values. The values of RTP, RTCP, SDP and SAP stand
in tests/wire. What no code of this project computes:

| id | value | why not |
|---|---|---|
| FRM-27 to FRM-30 | channel limits of ST 2110-30 levels AX, B, BX, C, CX | no table of levels here; second-hand. Held below: they fit |
| FRM-31 | AES67 receiver buffer of 3 packet times, 20 recommended | second-hand of second-hand; the buffer is an input |
| FRM-32 | AES67 sender jitter below 17 packet times | second-hand of second-hand; the release jitter is an input |
| FRM-77 | local scope 239.255.0.0/16 | not needed by a rule; its two neighbours are held below |
"""

from __future__ import annotations

import math
from ipaddress import IPv4Address, IPv4Network

import pytest

from tailboard.answers import marking
from tailboard.physics import ethernet, ip

AES67_PAYLOAD_BYTES = 1440  # what AES67 lets a packet hold (second-hand)


def test_frm_02_to_frm_06_sizes_of_headers() -> None:
    assert ethernet.UDP_HEADER_BYTES == 8  # FRM-02, RFC 768 (text)
    assert ethernet.IPV4_HEADER_BYTES == 5 * 4  # FRM-03, RFC 791 section 3.1: IHL of at least 5 words (text)
    assert ethernet.wire_bytes(0) * 8 == 64 + 96  # FRM-04, RFC 2544 appendix B: preamble and gap in bits (text)
    assert ethernet.rtp_frame_bytes(0, tagged=False) - 12 - 8 - 20 == 18  # FRM-05, IEEE 802.3 clause 3 (second tool)
    tag_bytes = ethernet.rtp_frame_bytes(0, tagged=True) - ethernet.rtp_frame_bytes(0, tagged=False)
    assert (tag_bytes, ethernet.VLAN_TPID) == (4, 0x8100)  # FRM-06, IEEE 802.1Q; RFC 7042 appendix B (text)


@pytest.mark.parametrize(
    ("frame_bytes", "published"),
    [(64, 14_880), (128, 8445), (256, 4528), (512, 2349), (768, 1586), (1024, 1197), (1280, 961), (1518, 812)],
)
def test_frm_07_and_frm_08_frame_rates_at_10_megabit(frame_bytes: int, published: int) -> None:
    """FRM-07 (64 bytes), FRM-08 (the rest): the table of RFC 2544 appendix B, fractions cut off (text)."""
    assert math.floor(ethernet.frame_rate_per_s_max(frame_bytes, 10e6)) == published


def test_frm_09_frame_rate_at_1_gigabit() -> None:
    """FRM-09: the formula of RFC 2544 appendix B (derived)."""
    assert ethernet.frame_rate_per_s_max(64, 1e9) == pytest.approx(1_488_095.24, abs=0.01)


def test_frm_10_bytes_around_the_audio() -> None:
    """FRM-10: sizes of RFC 3550, 768, 791 and 2544 (derived)."""
    around = [ethernet.wire_bytes(ethernet.rtp_frame_bytes(0, tagged=tagged)) for tagged in (False, True)]
    assert around == [78, 82]


def test_frm_11_and_frm_12_the_frame_of_8_channels_of_1_ms() -> None:
    """FRM-11: RFC 3190 section 4 (derived). FRM-12: a tagged frame of 1210 bytes without its check sum (second tool)."""
    payload_bytes = ethernet.audio_payload_bytes(8, 48)
    assert payload_bytes == 1152
    assert [ethernet.rtp_frame_bytes(payload_bytes, tagged=tagged) for tagged in (False, True)] == [1210, 1214]


@pytest.mark.parametrize(
    ("channels", "packet_time_s", "tagged", "untagged"),
    [
        (8, 1e-3, 9_872_000, 9_840_000),  # FRM-13
        (1, 1e-3, 1_808_000, 1_776_000),  # FRM-14
        (2, 1e-3, 2_960_000, 2_928_000),  # FRM-15
        (2, 125e-6, 7_552_000, 7_296_000),  # FRM-16
        (8, 125e-6, 14_464_000, 14_208_000),  # FRM-17
        (64, 125e-6, 78_976_000, 78_720_000),  # FRM-18
        (2, 250e-6, 4_928_000, None),  # FRM-19
        (2, 1e-3 / 3, 4_272_000, None),  # FRM-19
        (2, 4e-3, 2_468_000, None),  # FRM-19
    ],
)
def test_frm_13_to_frm_19_wire_rates_of_24_bits_at_48_khz(
    channels: int, packet_time_s: float, tagged: int, untagged: int | None
) -> None:
    """Sizes of the rows above (derived), exact; the first agrees with a packet builder's frame (second tool)."""
    assert ethernet.stream_rate_bit_per_s(channels, 48e3, packet_time_s, tagged=True) == tagged
    if untagged is not None:
        assert ethernet.stream_rate_bit_per_s(channels, 48e3, packet_time_s, tagged=False) == untagged


def test_frm_16_the_share_of_audio_in_the_smallest_packets() -> None:
    """FRM-16: 30.5 % of the tagged bytes on the wire (derived)."""
    payload_bytes = ethernet.audio_payload_bytes(2, ethernet.samples_per_packet(48e3, 125e-6))
    wire = ethernet.wire_bytes(ethernet.rtp_frame_bytes(payload_bytes, tagged=True))
    assert 100 * payload_bytes / wire == pytest.approx(30.5, abs=0.05)


@pytest.mark.parametrize(
    ("packet_time_s", "samples"), [(125e-6, 6), (250e-6, 12), (1e-3 / 3, 16), (1e-3, 48), (4e-3, 192)]
)
def test_frm_20_samples_of_a_packet_at_48_khz(packet_time_s: float, samples: int) -> None:
    """FRM-20: packet times of AES67 section 7.2 (second-hand), counts derived."""
    assert ethernet.samples_per_packet(48e3, packet_time_s) == samples


@pytest.mark.parametrize(
    ("rate_hz", "packet_time_s", "sample_bytes", "channels"),
    [
        (48e3, 1e-3, 3, 10), (48e3, 1e-3 / 3, 3, 30), (48e3, 250e-6, 3, 40), (48e3, 125e-6, 3, 81), (48e3, 4e-3, 3, 2),
        (48e3, 1e-3, 2, 15), (96e3, 1e-3, 3, 5), (96e3, 125e-6, 3, 40),
    ],
)  # fmt: skip
def test_frm_22_to_frm_24_channels_that_fit_a_packet(
    rate_hz: float, packet_time_s: float, sample_bytes: int, channels: int
) -> None:
    """FRM-22 (first row), FRM-23 (16 bits), FRM-24 (96 kHz): 10, 81, 15 and 5 second-hand, the rest derived."""
    samples = ethernet.samples_per_packet(rate_hz, packet_time_s)
    assert ethernet.channels_per_packet_max(samples, sample_bytes) == channels


@pytest.mark.parametrize(("samples", "channels"), [(48, 10), (16, 30), (12, 40), (6, 80), (192, 2)])
def test_frm_22_channels_under_the_cap_of_1440_bytes(samples: int, channels: int) -> None:
    """FRM-22: the cap of AES67 (second-hand), counts derived."""
    fits = [count for count in range(1, 100) if ethernet.audio_payload_bytes(count, samples) <= AES67_PAYLOAD_BYTES]
    assert max(fits) == channels


def test_frm_25_64_channels_of_1_ms_do_not_fit() -> None:
    """FRM-25: 9228 bytes with the RTP header, asserted by a public test (second-hand)."""
    packet_bytes = ethernet.audio_payload_bytes(64, 48) + ethernet.RTP_HEADER_BYTES
    assert packet_bytes == 9228
    assert packet_bytes > ethernet.PAYLOAD_BYTES_MAX
    assert ethernet.channels_per_packet_max(48) < 64


@pytest.mark.parametrize(
    ("rate_hz", "packet_time_s", "channels"),
    [(96e3, 1e-3, 4), (48e3, 125e-6, 8), (96e3, 125e-6, 8), (48e3, 125e-6, 64), (96e3, 125e-6, 32)],
)
def test_frm_27_to_frm_30_the_limits_of_the_levels_fit_a_packet(
    rate_hz: float, packet_time_s: float, channels: int
) -> None:
    """ST 2110-30:2025 section 7, levels AX, B, BX, C, CX (second-hand): held that one packet carries as many."""
    assert ethernet.channels_per_packet_max(ethernet.samples_per_packet(rate_hz, packet_time_s)) >= channels


def test_frm_33_markings() -> None:
    """FRM-33: AES67 section 6.3 (from memory); EF = 46 and AF41 = 34 stand in RFC 4594 (text)."""
    assert (marking.CLOCK_DSCP, marking.AUDIO_DSCP, marking.OTHER_DSCP) == (46, 34, 0)


@pytest.mark.parametrize(
    ("group", "mac"),
    [
        ("239.192.10.20", "01:00:5E:40:0A:14"),  # FRM-74, RFC 1112 section 6.4 (second tool)
        ("224.0.1.129", "01:00:5E:00:01:81"),  # FRM-75, RFC 1112 section 6.4 (derived)
        ("224.2.127.254", "01:00:5E:02:7F:FE"),  # FRM-75 (derived)
        ("239.64.10.20", "01:00:5E:40:0A:14"),  # FRM-76: the same as the first (derived)
    ],
)
def test_frm_74_to_frm_76_groups_on_ethernet(group: str, mac: str) -> None:
    assert ip.group_mac(IPv4Address(group)) == mac


def test_frm_76_32_groups_share_an_address() -> None:
    """FRM-76: 2^(28 - 23), RFC 1112 section 6.4 (text: 28 significant bits)."""
    mac = ip.group_mac(IPv4Address("239.192.10.20"))
    high = (IPv4Address(0xE000_0000 | top << 20 | 0xA14 | low << 16) for top in range(256) for low in range(16))
    assert sum(ip.group_mac(group) == mac for group in high) == 32


def test_frm_77_ranges_of_groups_for_own_use() -> None:
    """FRM-77: RFC 2365 section 6 and RFC 5771 (text)."""
    assert IPv4Network("239.0.0.0/8") == ip.ADMINISTRATIVE
    assert IPv4Network("239.192.0.0/14") == ip.ORGANISATION_LOCAL
    assert ip.ORGANISATION_LOCAL.subnet_of(ip.ADMINISTRATIVE)
    assert not ip.ORGANISATION_LOCAL.overlaps(IPv4Network("239.255.0.0/16"))
