"""Ethernet frames: sizes, time on the wire, VLAN tags, and the bit rate of an audio stream.

Sizes are in bytes as a switch counts them, from destination address to check sum, unless a name says wire.
"""

from __future__ import annotations

import math

RTP_HEADER_BYTES = 12  # RFC 3550 section 5.1, without CSRC and extension
UDP_HEADER_BYTES = 8  # RFC 768
IPV4_HEADER_BYTES = 20  # RFC 791 section 3.1, without options
ETHERNET_HEADER_BYTES = 14  # IEEE 802.3 clause 3: two addresses and the type
ETHERNET_CHECK_BYTES = 4  # IEEE 802.3 clause 3: frame check sequence
VLAN_TAG_BYTES = 4  # IEEE 802.1Q: TPID and TCI
WIRE_EXTRA_BYTES = 20  # RFC 2544 appendix B: 64 bits of preamble and start, 96 bits of gap
FRAME_BYTES_MAX = 1518  # RFC 2544 section 9: largest frame without a tag
PAYLOAD_BYTES_MAX = 1500  # IEEE 802.3 clause 3: what an untagged frame of 1518 bytes carries
PROPAGATION_S_PER_M = (
    4.9e-9  # glass of index 1.468: 1.468 / 299,792,458 m/s; copper pairs take a little longer (from memory)
)

VLAN_NUMBER_FIRST = 1  # RFC 4363: VlanId is 1..4094; 0 marks a priority tag, 4095 is reserved
VLAN_NUMBER_LAST = 4094
VLAN_TPID = 0x8100  # RFC 7042 appendix B: C-tag


def audio_payload_bytes(channel_count: int, sample_count: int, sample_bytes: int = 3) -> int:
    """Return the audio in one packet. [bytes]

        channels x samples x bytes of a sample

    sample_bytes  3 for L24, 2 for L16.
    Source: RFC 3190 section 4 (samples packed without gaps).
    Check (published rule, arithmetic): 8 channels, 48 samples, L24 -> 1152.
    >>> audio_payload_bytes(8, 48)
    1152
    """
    return channel_count * sample_count * sample_bytes


def samples_per_packet(rate_hz: float, packet_time_s: float) -> int:
    """Return the samples of one channel in one packet.

    Packet times are written short (0.333 ms), so the product is rounded to the nearest whole sample.
    Source: AES67 section 7.2 names 48, 16, 12 and 6 samples at 48 kHz (second-hand).
    >>> samples_per_packet(48e3, 0.125e-3)
    6
    """
    return round(rate_hz * packet_time_s)


def rtp_frame_bytes(payload_bytes: int, *, tagged: bool) -> int:
    """Return the size of the Ethernet frame that carries an RTP packet over UDP and IPv4. [bytes]

        payload + RTP 12 + UDP 8 + IP 20 + Ethernet 14 + 4 (+ tag 4)

    Source: RFC 3550, 768, 791; IEEE 802.3 clause 3; IEEE 802.1Q.
    Check (second tool: a captured frame without check sum has 1210 bytes): 1152 bytes of audio, tagged -> 1214.
    >>> rtp_frame_bytes(1152, tagged=True)
    1214
    """
    return udp_frame_bytes(RTP_HEADER_BYTES + payload_bytes, tagged=tagged)


def udp_frame_bytes(payload_bytes: int, *, tagged: bool) -> int:
    """Return the size of the Ethernet frame that carries a UDP packet over IPv4, before short ones are filled up. [bytes]

        payload + UDP 8 + IP 20 + Ethernet 14 + 4 (+ tag 4)

    Source: RFC 768, 791; IEEE 802.3 clause 3; IEEE 802.1Q.
    Check (published values, PTP-28): 44 bytes -> 90, and 110 on the wire.
    >>> udp_frame_bytes(44, tagged=False)
    90
    """
    headers = UDP_HEADER_BYTES + IPV4_HEADER_BYTES + ETHERNET_HEADER_BYTES + ETHERNET_CHECK_BYTES
    return payload_bytes + headers + (VLAN_TAG_BYTES if tagged else 0)


def wire_bytes(frame_bytes: int) -> int:
    """Return how much of the line a frame occupies: with preamble, start and gap. [bytes]

    Source: RFC 2544 appendix B.
    >>> wire_bytes(1214)
    1234
    """
    return frame_bytes + WIRE_EXTRA_BYTES


def serialisation_time_s(frame_bytes: int, rate_bit_per_s: float) -> float:
    """Return the time a frame takes to leave a port, gap not counted. [s]

        8 x frame / rate

    Source: definition of bit rate.
    Check (hand): 226 bytes at 1 Gb/s -> 1.808 us.
    >>> round(serialisation_time_s(226, 1e9) * 1e6, 3)
    1.808
    """
    if rate_bit_per_s <= 0:
        raise ValueError(f"not above zero: {rate_bit_per_s} bit/s")
    return 8 * frame_bytes / rate_bit_per_s


def frame_rate_per_s_max(frame_bytes: int, rate_bit_per_s: float) -> float:
    """Return how many frames of one size a line carries in a second, at most. [1/s]

        rate / (8 x (frame + 20))

    Source: RFC 2544 appendix B, whose table cuts the fraction off.
    Check (published): 64 bytes at 10 Mb/s -> 14 880.
    >>> int(frame_rate_per_s_max(64, 10e6))
    14880
    """
    return rate_bit_per_s / (8 * wire_bytes(frame_bytes))


def stream_rate_bit_per_s(
    channel_count: int, rate_hz: float, packet_time_s: float, *, tagged: bool, sample_bytes: int = 3
) -> float:
    """Return what a stream of linear audio occupies of a line. [bit/s]

        8 x (frame + 20) x sample rate / samples of a packet

    Source: the sizes above; one packet every (samples of a packet / sample rate) seconds.
    Check (second tool: a capture of one): 8 channels, 48 kHz, 1 ms, L24, tagged -> 9.872 Mb/s.
    >>> stream_rate_bit_per_s(8, 48e3, 1e-3, tagged=True)
    9872000.0
    """
    samples = samples_per_packet(rate_hz, packet_time_s)
    frame = rtp_frame_bytes(audio_payload_bytes(channel_count, samples, sample_bytes), tagged=tagged)
    return 8 * wire_bytes(frame) * rate_hz / samples


def channels_per_packet_max(sample_count: int, sample_bytes: int = 3) -> int:
    """Return the channels that fit one packet in an untagged frame of 1518 bytes.

        floor((1500 - 20 - 8 - 12) / (samples x bytes of a sample))

    Source: RFC 3550, 768, 791 sizes in the 1500 bytes that IEEE 802.3 allows. AES67 caps the audio at 1440 bytes
        (second-hand), which gives 80 in place of 81 channels at 6 samples.
    Check (second-hand): 48 samples, L24 -> 10.
    >>> channels_per_packet_max(48)
    10
    """
    room_bytes = PAYLOAD_BYTES_MAX - IPV4_HEADER_BYTES - UDP_HEADER_BYTES - RTP_HEADER_BYTES
    return math.floor(room_bytes / (sample_count * sample_bytes))


def tag_control(priority: int, vlan_number: int, *, drop_eligible: bool = False) -> int:
    """Return the tag control information of a VLAN tag: 3 bits of priority, 1 drop eligible, 12 of VLAN.

    Raises ValueError outside 0..7 and 0..4095.
    Source: IEEE 802.1Q section 9.6 (from memory).
    Check (second tool: a packet builder): priority 6, VLAN 30 -> 0xC01E.
    >>> hex(tag_control(6, 30))
    '0xc01e'
    """
    if not (0 <= priority <= 7 and 0 <= vlan_number <= 4095):
        raise ValueError(f"no tag: priority {priority}, VLAN {vlan_number}")
    return priority << 13 | int(drop_eligible) << 12 | vlan_number
