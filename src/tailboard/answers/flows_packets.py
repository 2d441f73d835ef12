"""The packets of a stream: samples, size on the wire with every header, period and rate; and which figure is missing."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.clock_streams import rate_hz
from tailboard.answers.flows_records import Missing
from tailboard.answers.streams import StreamPlan
from tailboard.model.records import Stream
from tailboard.model.show import Model
from tailboard.physics.ethernet import (
    IPV4_HEADER_BYTES,
    PAYLOAD_BYTES_MAX,
    RTP_HEADER_BYTES,
    UDP_HEADER_BYTES,
    audio_payload_bytes,
    rtp_frame_bytes,
    samples_per_packet,
    wire_bytes,
)

SAMPLE_BYTES = {"16 bit": 2, "24 bit": 3}  # L16 of RFC 3551 section 4.5.11, L24 of RFC 3190 section 4
PAYLOAD_BYTES = PAYLOAD_BYTES_MAX - IPV4_HEADER_BYTES - UDP_HEADER_BYTES - RTP_HEADER_BYTES  # 1460
PAYLOAD_AES67_BYTES = 1440  # what AES67 lets a packet hold (second-hand)


@dataclass(frozen=True, slots=True)
class Packets:
    """How a stream is packed.

    frame_bytes  with tag, preamble, start and gap: what one packet occupies of a line that is tagged, the larger figure.
    kind         the sender's kind where the packet time is its figure; empty where the stream says it itself.
    """

    channel_count: int
    sample_count: int
    period_s: float
    payload_bytes: int
    frame_bytes: int
    kind: str

    @property
    def rate_bit_per_s(self) -> float:
        """What the stream occupies of a line."""
        return 8 * self.frame_bytes / self.period_s


def packets(model: Model, plan: StreamPlan) -> Packets | Missing:
    """Return how a stream is packed, or the figure that is not written."""
    record = plan.record if isinstance(plan.record, Stream) else None
    own = record is not None and record.packet_time_s is not None
    channel_count = len(plan.contents) or (record.count if record else None)
    rate = plan.rate_hz or rate_hz(model, plan.sender)
    kind = model.kind_of(plan.sender).id
    spot = plan.record.at.spot("packet_time_s" if record else plan.attribute)
    if not channel_count:
        return Missing(f"how many channels {plan.name} has", spot, f"write 'channel count' at {plan.name}")
    if plan.packet_time_s is None:
        where = f"at {plan.name}, or for the kind {kind}" if record else f"for the kind {kind}"
        return Missing(f"the packet time of {plan.name}", spot, f"write 'packet time' {where}")
    if rate is None:
        where = f"at {plan.name}" if record else f"for the clock of {plan.sender}"
        return Missing(f"the sample rate of {plan.name}", spot, f"write 'rate' {where}")
    sample_count = samples_per_packet(rate, plan.packet_time_s)
    if sample_count < 1:
        return Missing(f"a packet time of {plan.name} that holds one sample", spot, "write a longer 'packet time'")
    depth = SAMPLE_BYTES[record.depth if record and record.depth else "24 bit"]
    payload = audio_payload_bytes(channel_count, sample_count, depth)
    frame = rtp_frame_bytes(payload, tagged=True)
    return Packets(channel_count, sample_count, sample_count / rate, payload, wire_bytes(frame), "" if own else kind)
