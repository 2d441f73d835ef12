"""Frame sizes, wire rates and tags against published values.

'Text' means the value was read in the source named; 'second-hand' in a text that restates it; 'second tool' that an
independent program gave it.
"""

from __future__ import annotations

import doctest
import math

import pytest

from tailboard.physics import ethernet

MEGABIT = 1e6


def stream(channels: int, packet_time_s: float, *, tagged: bool = True, rate_hz: float = 48e3) -> float:
    return ethernet.stream_rate_bit_per_s(channels, rate_hz, packet_time_s, tagged=tagged) / MEGABIT


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    assert doctest.testmod(ethernet).failed == 0


@pytest.mark.parametrize(
    ("value", "published"),
    [
        (ethernet.RTP_HEADER_BYTES, 12),  # RFC 3550 section 5.1, text
        (ethernet.UDP_HEADER_BYTES, 8),  # RFC 768, text
        (ethernet.IPV4_HEADER_BYTES, 20),  # RFC 791 section 3.1, text: IHL of at least 5 words
        (ethernet.WIRE_EXTRA_BYTES * 8, 64 + 96),  # RFC 2544 appendix B, text: preamble and gap in bits
        (ethernet.ETHERNET_HEADER_BYTES + ethernet.ETHERNET_CHECK_BYTES, 18),  # IEEE 802.3 clause 3, second tool
        (ethernet.VLAN_TAG_BYTES, 4),  # IEEE 802.1Q, second tool
        (ethernet.VLAN_TPID, 0x8100),  # RFC 7042 appendix B, text
        ((ethernet.VLAN_NUMBER_FIRST, ethernet.VLAN_NUMBER_LAST), (1, 4094)),  # RFC 4363 VlanId, text
    ],
)
def test_header_sizes_are_those_of_the_standards(value: object, published: object) -> None:
    assert value == published


@pytest.mark.parametrize(
    ("frame_bytes", "published"),
    [(64, 14880), (128, 8445), (256, 4528), (512, 2349), (768, 1586), (1024, 1197), (1280, 961), (1518, 812)],
)
def test_frame_rates_at_10_megabit_are_those_of_rfc_2544_appendix_b(frame_bytes: int, published: int) -> None:
    """Text: the table of RFC 2544 appendix B, which cuts the fraction off."""
    assert math.floor(ethernet.frame_rate_per_s_max(frame_bytes, 10e6)) == published


def test_frame_rate_at_1_gigabit_is_a_hundred_times_that_at_10_megabit() -> None:
    """RFC 2544 appendix B formula at 1 Gb/s: 1 488 095.24 (derived)."""
    assert ethernet.frame_rate_per_s_max(64, 1e9) == pytest.approx(1_488_095.24, abs=0.005)


def test_headers_of_an_audio_packet_add_up_to_78_bytes_and_82_with_a_tag() -> None:
    """Sum of RFC 3550, 768, 791 and 2544 sizes (derived)."""
    assert ethernet.wire_bytes(ethernet.rtp_frame_bytes(0, tagged=False)) == 78
    assert ethernet.wire_bytes(ethernet.rtp_frame_bytes(0, tagged=True)) == 82


def test_8_channels_of_1_ms_make_frames_of_1210_and_1214_bytes() -> None:
    """RFC 3190 section 4 packs 1152 bytes; a captured tagged frame without check sum had 1210 bytes (second tool)."""
    payload = ethernet.audio_payload_bytes(8, 48)
    assert payload == 1152
    assert ethernet.rtp_frame_bytes(payload, tagged=False) == 1210
    assert ethernet.rtp_frame_bytes(payload, tagged=True) == 1210 + ethernet.ETHERNET_CHECK_BYTES


@pytest.mark.parametrize(
    ("channels", "packet_time_s", "tagged", "untagged"),
    [
        (8, 1e-3, 9.872, 9.840), (1, 1e-3, 1.808, 1.776), (2, 1e-3, 2.960, 2.928), (2, 0.125e-3, 7.552, 7.296),
        (8, 0.125e-3, 14.464, 14.208), (64, 0.125e-3, 78.976, 78.720), (16, 0.125e-3, 23.680, None),
        (8, 0.25e-3, 11.840, None), (2, 0.25e-3, 4.928, None), (2, 1e-3 / 3, 4.272, None), (2, 4e-3, 2.468, None),
    ],
)  # fmt: skip
def test_wire_rates_of_24_bit_audio_at_48_khz(
    channels: int, packet_time_s: float, tagged: float, untagged: float | None
) -> None:
    """Arithmetic on the sizes above (derived); 8 channels of 1 ms agree with a captured stream of 1234 bytes a packet."""
    assert stream(channels, packet_time_s) == pytest.approx(tagged, abs=1e-9)
    if untagged is not None:
        assert stream(channels, packet_time_s, tagged=False) == pytest.approx(untagged, abs=1e-9)


@pytest.mark.parametrize(
    ("packet_time_s", "samples"),
    [(0.125e-3, 6), (0.25e-3, 12), (0.333e-3, 16), (1e-3 / 3, 16), (1e-3, 48), (4e-3, 192)],
)
def test_samples_of_a_packet_at_48_khz_are_those_of_aes67_section_7_2(packet_time_s: float, samples: int) -> None:
    """Packet times second-hand, counts by arithmetic."""
    assert ethernet.samples_per_packet(48e3, packet_time_s) == samples


@pytest.mark.parametrize(
    ("samples", "sample_bytes", "channels"),
    [(48, 3, 10), (16, 3, 30), (12, 3, 40), (6, 3, 81), (192, 3, 2), (48, 2, 15), (96, 3, 5)],
)
def test_channels_that_fit_one_packet(samples: int, sample_bytes: int, channels: int) -> None:
    """10 and 81 channels of L24, 15 of L16 and 5 at 96 kHz are asserted by a public unit test (second-hand)."""
    assert ethernet.channels_per_packet_max(samples, sample_bytes) == channels


@pytest.mark.parametrize(("priority", "vlan", "tci"), [(6, 30, 0xC01E), (5, 10, 0xA00A)])
def test_tag_control_information(priority: int, vlan: int, tci: int) -> None:
    """IEEE 802.1Q section 9.6; 0xC01E emitted by a packet builder (second tool)."""
    assert ethernet.tag_control(priority, vlan) == tci


@pytest.mark.parametrize(("priority", "vlan"), [(8, 1), (-1, 1), (0, 4096), (0, -1)])
def test_a_tag_outside_its_bits_is_refused(priority: int, vlan: int) -> None:
    with pytest.raises(ValueError, match="no tag"):
        ethernet.tag_control(priority, vlan)


def test_a_226_byte_frame_takes_1_808_us_at_1_gigabit_and_ten_times_that_at_100_megabit() -> None:
    """Hand: 226 x 8 bits."""
    assert ethernet.serialisation_time_s(226, 1e9) == pytest.approx(1.808e-6)
    assert ethernet.serialisation_time_s(226, 100e6) == pytest.approx(18.08e-6)
    with pytest.raises(ValueError, match="not above zero"):
        ethernet.serialisation_time_s(226, 0)
