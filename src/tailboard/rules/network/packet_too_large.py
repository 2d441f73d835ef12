"""The packets of a stream do not fit a frame.

What it finds: more audio in one packet than the 1460 bytes that a frame of 1518 leaves for it; packets of more than 1440
bytes, which receivers that follow AES67 need not take, are a warning.
Why it matters: the packet is cut into fragments or thrown away; nothing arrives, though the stream is announced.
Example: 16 channels at 48 kHz, 24 bit, with a packet time of 1 ms: 2,304 bytes.
Fix: send fewer channels in one stream, or use a shorter packet time.
Does not find: a sender or receiver that offers other packet times; see its data sheet.
Source: RFC 3550, 768, 791 sizes in IEEE 802.3's 1500 bytes; 1440 bytes is AES67's (second-hand).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.flows_packets import PAYLOAD_AES67_BYTES, PAYLOAD_BYTES, Packets, packets
from tailboard.answers.streams import streams
from tailboard.findings import Claim, Rule, Severity
from tailboard.units import worded
from tailboard.units.wording import counted

RULE = Rule("packet-too-large", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream of which the packets are known."""
    for plan in ask(streams).plans.values():
        packed = packets(ask.model, plan)
        if not isinstance(packed, Packets):
            continue
        says = f"a packet of {plan.name} holds {packed.payload_bytes} bytes of audio and fits a frame"
        if packed.payload_bytes <= PAYLOAD_AES67_BYTES:
            yield RULE.holds(plan.name, says)
            continue
        fits = PAYLOAD_AES67_BYTES // (packed.payload_bytes // packed.channel_count)
        over = packed.payload_bytes > PAYLOAD_BYTES
        limit = f"a frame holds {PAYLOAD_BYTES}" if over else f"receivers need take {PAYLOAD_AES67_BYTES} at most"
        what = f"{counted(packed.channel_count, 'channel')} in {worded(packed.period_s, 's')}"
        yield RULE.broken(
            plan.name,
            says,
            spot=plan.record.at.spot(plan.attribute),
            message=f"a packet of {plan.name} holds {packed.payload_bytes} bytes of audio ({what}); {limit}",
            fix=f"send {counted(fits, 'channel')} in one stream, or use a shorter packet time"
            if fits
            else f"use a shorter packet time for {plan.name}",
            severity=Severity.ERROR if over else Severity.WARNING,
            breaks=[plan.key] if over else (),
        )
