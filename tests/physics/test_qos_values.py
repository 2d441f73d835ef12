"""Published values of VLANs, marking and the bounds of delay (section 3). RFC texts were read.

QOS-14, QOS-18 and QOS-23 stand in test_queueing.py.

Not computed by any code of this project, and why:

| id | why |
|---|---|
| QOS-08, all but the class of audio | a plan states its marking; nothing here chooses one by kind of traffic |
| QOS-09 | two generations of the table of VLAN priorities exist; the order of classes is a setting of the show, by DSCP |
| QOS-24 | from memory; nothing here bounds how much is in a queue, only for how long |
"""

from __future__ import annotations

import math

import pytest

from support.draft import Draft
from tailboard.answers.marking import AUDIO_DSCP, CLOCK_DSCP, place
from tailboard.model.records import Vlan
from tailboard.physics import ethernet
from tailboard.physics.ip import default_priority, dscp_of, service_byte
from tailboard.physics.queueing import Arrivals, Line, Traffic, bounds, longest, straight
from tailboard.physics.queueing_ways import Ways
from tailboard.text.fields import columns_of
from tailboard.text.shapes import FieldError

US = 1e6


def test_vlan_numbers_that_may_be_used() -> None:
    """QOS-01: RFC 4363 VlanId: 1..4094; 0 is a priority tag, 4095 reserved."""
    assert (ethernet.VLAN_NUMBER_FIRST, ethernet.VLAN_NUMBER_LAST) == (1, 4094)
    (shape,) = [column.shape for column in columns_of(Vlan) if column.name == "id"]
    assert shape is not None
    assert (shape.parse("1"), shape.parse("4094")) == (1, 4094)
    for outside in ("0", "4095"):
        with pytest.raises(FieldError):
            shape.parse(outside)


@pytest.mark.parametrize(("priority", "vlan", "tci"), [(6, 30, 0xC01E), (5, 10, 0xA00A)])
def test_tag_control_information(priority: int, vlan: int, tci: int) -> None:
    """QOS-03: IEEE 802.1Q 9.6; a packet builder emits c01e for the first (second tool)."""
    assert ethernet.tag_control(priority, vlan) == tci
    assert ethernet.tag_control(priority, vlan, drop_eligible=True) == tci | 0x1000


@pytest.mark.parametrize(
    ("name", "dscp"),
    [
        ("EF", 0b101110),
        ("AF41", 0b100010),
        ("CS6", 48),
        ("CS5", 40),
        ("CS4", 32),
        ("AF31", 26),
        ("CS3", 24),
        ("AF23", 22),
    ],
)
def test_numbers_of_the_classes(name: str, dscp: int) -> None:
    """QOS-04: RFC 4594 Figure 3 prints them; QOS-05: AFxy is 8x + 2y, RFC 2597."""
    assert dscp_of(name) == dscp


@pytest.mark.parametrize("name", ["AF44", "AF51", "AF4", "CS8", "CS", "ef", "", "BE", "CS44"])
def test_a_name_that_is_no_class_is_refused(name: str) -> None:
    with pytest.raises(ValueError, match="no class of packets"):
        dscp_of(name)


def test_every_class_has_a_number_of_its_own() -> None:
    names = ["EF", *(f"CS{number}" for number in range(8)), *(f"AF{x}{y}" for x in range(1, 5) for y in range(1, 4))]
    numbers = {dscp_of(name) for name in names}
    assert len(numbers) == len(names) == 21
    assert numbers < set(range(64))


@pytest.mark.parametrize(("name", "octet"), [("EF", 0xB8), ("AF41", 0x88)])
def test_the_byte_of_a_class_in_the_header(name: str, octet: int) -> None:
    """QOS-06: RFC 2474 section 3: the upper six bits; a packet builder has 0x88 for 34 (second tool)."""
    assert service_byte(dscp_of(name)) == octet


@pytest.mark.parametrize(("name", "priority"), [("EF", 5), ("AF41", 4), ("CS6", 6), ("AF31", 3)])
def test_the_priority_switches_take_for_a_class(name: str, priority: int) -> None:
    """QOS-07: RFC 8325 section 2.3, which gives EF -> 5."""
    assert default_priority(dscp_of(name)) == priority


def test_the_order_of_classes_follows_the_upper_three_bits() -> None:
    """QOS-07: where a show states no order, what has the higher three bits goes first."""
    model = Draft({"lines.csv": "id,source\n1,Anna\n"}).read().model
    for one in range(64):
        for other in range(64):
            if default_priority(one) > default_priority(other):
                assert place(model, one) < place(model, other)


def test_audio_and_clock_are_in_classes_of_rfc_4594() -> None:
    """QOS-08: RFC 4594 Figure 3: multimedia conferencing is AF4x, telephony EF; audio counts as the first, the clock as EF."""
    assert AUDIO_DSCP in {dscp_of("AF41"), dscp_of("AF42"), dscp_of("AF43")}
    assert dscp_of("EF") == CLOCK_DSCP


@pytest.mark.parametrize(
    ("rate_bit_per_s", "times_us"),
    [(100e6, (5.12, 121.44, 121.76, 721.44)), (1e9, (0.512, 12.144, 12.176, 72.144)),
     (10e9, (0.0512, 1.2144, 1.2176, 7.2144))],
)  # fmt: skip
def test_time_to_send_a_frame(rate_bit_per_s: float, times_us: tuple[float, ...]) -> None:
    """QOS-10, QOS-11, QOS-12 (arithmetic): 64, 1518, 1522 and 9018 bytes."""
    for frame_bytes, time_us in zip((64, 1518, 1522, 9018), times_us, strict=True):
        assert ethernet.serialisation_time_s(frame_bytes, rate_bit_per_s) * US == pytest.approx(time_us, rel=1e-9)


@pytest.mark.parametrize(("rate_bit_per_s", "time_us"), [(100e6, 123.36), (1e9, 12.336)])
def test_time_a_tagged_frame_occupies_the_line(rate_bit_per_s: float, time_us: float) -> None:
    """QOS-13: RFC 2544 appendix B: 1522 bytes and 20 more (arithmetic)."""
    frame_bytes = ethernet.wire_bytes(ethernet.FRAME_BYTES_MAX + ethernet.VLAN_TAG_BYTES)
    assert ethernet.serialisation_time_s(frame_bytes, rate_bit_per_s) * US == pytest.approx(time_us, rel=1e-9)


def burst(count: int, *route: str) -> list[Traffic]:
    """Return 10 000 bits that may come at once, in so many frames."""
    return [Traffic(10e-3, 10_000 / count, 0.0, 0, straight(*route))] * count


def test_delay_of_a_burst_behind_a_latency() -> None:
    """QOS-16: T + b/R, RFC 9320 section 6.5: 50 us and 10 000 bit at 100 Mb/s give 150 us.

    The latency of 50 us is here a frame of 5000 bit that has the line already.
    """
    for count in (1, 5, 50):
        found = bounds(burst(count, "A"), {"A": Line(100e6, other_bits=5000)})
        assert found.through_s["A", 0] * US == pytest.approx(150, rel=1e-9)


@pytest.mark.parametrize("count", [5, 10, 100])
def test_a_burst_is_paid_for_once(count: int) -> None:
    """QOS-17: sum of T + b / least R, RFC 9320 section 6.5: 300 us over 100 and 50 Mb/s, for a fluid.

    Frames are stored before they go on, so the bound here is that of the fluid and one frame on the first line; added
    node by node it would be 400 us.
    """
    lines = {"A": Line(100e6, other_bits=5000), "B": Line(50e6, other_bits=2500)}
    flows = burst(count, "A", "B")
    total_s = Ways(flows, lines, bounds(flows, lines)).total_s(flows[0], ("A", "B"))
    assert total_s is not None
    frame_us = 10_000 / count / 100e6 * US
    assert total_s * US == pytest.approx(300 + frame_us, rel=1e-9)
    assert total_s * US < 400


def smooth(burst_bytes: float, packet_bytes: float, peak: float, rate: float, grain_bytes: float) -> Arrivals:
    """Return what a cable of rate `peak` brings of a flow that is all but a fluid: a grain more at most. [byte, byte/s]"""
    period_s = grain_bytes / rate
    jitter_s = burst_bytes / grain_bytes * period_s
    return Arrivals(8 * peak, 8 * packet_bytes, [(8 * grain_bytes, period_s, jitter_s)])


@pytest.mark.parametrize("grain_bytes", [16.0, 4.0, 1.0])
def test_guaranteed_service_with_a_peak_rate(grain_bytes: float) -> None:
    """QOS-19: RFC 2212: [(b-M)/R (p-R)/(p-r)] + (M+Ctot)/R + Dtot = 6.13889 ms.

    b = 8000 B, M = 1500 B, p = 10, r = 1 and R = 2 MB/s, Ctot = 3000 B, Dtot = 1 ms. The two error terms are bits ahead of
    all; the flow comes in grains, so the bound is above that of the fluid by no more than one grain.
    """
    ahead_bits = 8 * (3000 + 1e-3 * 2e6)
    queue = longest([smooth(8000, 1500, 10e6, 1e6, grain_bytes)], [], ahead_bits, 8 * grain_bytes, 16e6)
    assert queue is not None
    over_ms = queue.through_s * 1e3 - 6.13889
    assert -1e-5 <= over_ms <= grain_bytes / 2e6 * 1e3 + 1e-5


def test_guaranteed_service_with_a_peak_rate_below_its_own() -> None:
    """QOS-20: RFC 2212, p between r and R: (M + Ctot)/R + Dtot; with the figures above and p = 1.5 MB/s 3.25 ms."""
    ahead_bits = 8 * (3000 + 1e-3 * 2e6)
    queue = longest([smooth(8000, 1500, 1.5e6, 1e6, 1.0)], [], ahead_bits, 8.0, 16e6)
    assert queue is not None
    assert queue.through_s * 1e3 == pytest.approx(3.25, abs=1e-5)


@pytest.mark.parametrize("count", [0, 1, 4, 8])
def test_a_lower_class_stays_within_the_published_bound(count: int) -> None:
    """QOS-21: RFC 9320 section 6.4.1 with an idle slope of the whole line: D = T_A + b_A / R_A, R_A = c - r_h,
    T_A = (L_nA + b_h + r_h L_n / c) / (c - r_h). Without a higher class it is L_nA / c, and ours is the same.
    """
    rate, other_bits, own_bits = 1e9, 12_336.0, 8_000.0
    high = [Traffic(125e-6, 9_872.0, 0.0, 0, straight(f"H{number}", "A")) for number in range(count)]
    low = Traffic(10e-3, own_bits, 0.0, 1, straight("L", "A"))
    lines = {port: Line(10e9) for port in ("L", *(f"H{number}" for number in range(count)))}
    found = bounds([*high, low], {**lines, "A": Line(rate, other_bits)}).through_s["A", 1]
    r_h, b_h = sum(item.rate_bit_per_s for item in high), sum(item.frame_bits for item in high)
    latency_s = (other_bits + b_h + r_h * other_bits / rate) / (rate - r_h)
    assert found <= latency_s + own_bits / (rate - r_h)
    assert found >= (other_bits + b_h + own_bits) / rate * (1 - 1e-12)
    if not count:
        assert found == pytest.approx(other_bits / rate + own_bits / rate, rel=1e-12)


@pytest.mark.parametrize("periods", [0, 1, 3])
def test_a_burst_grows_by_the_rate_times_the_delay_variation(periods: int) -> None:
    """QOS-22: RFC 9320 section 4.2: b' = b + r V; here a frame a millisecond, V a whole number of periods."""
    bits, period_s = 1000.0, 1e-3
    late = Arrivals(math.inf, bits, [(bits, period_s, periods * period_s)])
    assert late.most_bits(0.0) == pytest.approx(bits + bits / period_s * periods * period_s)
