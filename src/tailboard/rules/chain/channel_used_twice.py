"""Two streams enter one receiver channel.

What it finds: a receiver channel that two streams are written into.
Why it matters: a receiver channel plays one sender; the one patched last silences the other.
Example: ST-1 goes to CON-1 channels 1..8, ST-2 to CON-1 channels 8..15.
Fix: move one of the streams to free channels of the receiver.
Does not find: a sender's channel in several streams; a sender may send one channel to many.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import occupancy
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.chain.common import many, natural

RULE = Rule("channel-used-twice", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a receiver: each of its channels has one sender."""
    for device, channels in ask(occupancy).receives.items():
        says = f"each receiver channel of {device} has one sender"
        doubled = {channel: streams for channel, streams in channels.items() if len(streams) > 1}
        yield shared(ask, device, says, doubled) if doubled else RULE.holds(device, says)


def shared(ask: Ask, device: str, says: str, doubled: dict[str, tuple[str, ...]]) -> Claim:
    """Return the claim of a receiver with channels that several streams enter."""
    streams = sorted({name for names in doubled.values() for name in names}, key=natural)
    rows = ask.model.streams
    return RULE.broken(
        device,
        says,
        spot=rows[streams[-1]].at.spot("receivers"),
        message=f"{' and '.join(streams)} enter the same receiver {many('channel', doubled)} of {device}",
        because=[Because(rows[name].at.spot("receivers"), f"{name} goes to {device}") for name in streams[:-1]],
        fix=f"give {streams[-1]} channels of {device} that no other stream enters",
        breaks=[f"stream {name}" for name in streams],
    )
