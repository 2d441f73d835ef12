"""Where the time of a packet goes: the ledger from its first sample to its play-out, step by step, with places."""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.delay import Arrival
from tailboard.answers.delay_network import queues
from tailboard.answers.flows import Hop
from tailboard.findings import Because, Spot
from tailboard.model.show import Model
from tailboard.units.wording import counted, worded

LEAST_SHOWN_S = 5e-9  # own choice: a smaller part of a wait is a rounding


def time(time_s: float) -> str:
    """Return a time of packets in words, to the nearest 10 ns: '21.31 us'."""
    return worded(round(time_s, 8), "s")


def ledger(ask: Ask, found: Arrival) -> Iterator[Because]:
    """Yield the steps of an arrival of which the bound is known."""
    model, flow = ask.model, found.flow
    sender = model.kind_of(flow.sender)
    yield Because(stream_spot(model, found), f"a packet of {flow.stream} is full after {time(flow.period_s or 0.0)}")
    jitter = time(sender.release_jitter_s or 0.0)
    yield Because(model.devices[flow.sender].at.spot("kind"), f"{flow.sender} releases it up to {jitter} late")
    for hop, through_s in zip(found.hops, found.through_s, strict=True):
        yield Because(model.cables[hop.cable].at.spot(), f"{hop.port}: {hop_words(ask, found, hop, through_s)}")
    receiver = model.devices[found.receiver]
    clocks = f"; the clocks may differ by {time(found.clock_error_s)}" if found.clock_error_s else ""
    yield Because(receiver.at.spot("kind"), f"{found.receiver} needs {time(found.playout_s)} before play-out{clocks}")
    if found.offset_s is not None:
        yield Because(found.offset_at, f"{found.receiver} plays it out {time(found.offset_s)} after its first sample")


def hop_words(ask: Ask, found: Arrival, hop: Hop, through_s: float) -> str:
    """Return what a port may cost: the whole, what it consists of, and the way behind it."""
    all_queues = ask(queues)
    line = all_queues.lines[hop.port]
    own_s = 8 * (found.flow.frame_bytes or 0) / line.rate_bit_per_s
    other_s, clock_s = line.other_bits / line.rate_bit_per_s, line.first_bits / line.rate_bit_per_s
    rest_s = through_s - own_s - other_s - clock_s
    frames = all_queues.clock_frames[hop.port]
    parts = [f"itself {time(own_s)}", f"a large frame of others {time(other_s)}"]
    parts += [f"{counted(frames, 'clock message')} {time(clock_s)}"] if frames else []
    parts += [f"other streams {time(rest_s)}"] if rest_s > LEAST_SHOWN_S else []
    return f"up to {time(through_s)} ({', '.join(parts)}), then {time(line.way_s)} by {hop.cable} to {hop.into}"


def dearest(ask: Ask, found: Arrival) -> tuple[str, float]:
    """Return the port that costs most on a way, and its time with the way behind it. [s]"""
    lines = ask(queues).lines
    costs = [
        (through_s + lines[hop.port].way_s, hop.port)
        for hop, through_s in zip(found.hops, found.through_s, strict=True)
    ]
    cost_s, port = max(costs)
    return port, cost_s


def stream_spot(model: Model, found: Arrival) -> Spot:
    """Return where the packet time of a stream is written, or belongs."""
    stream = model.streams.get(found.flow.stream)
    device = model.devices[found.flow.sender]
    return device.at.spot("kind") if stream is None else stream.at.spot("packet_time_s")


def keys(found: Arrival) -> list[str]:
    """Return what an arrival in time rests on: its ports, cables, and the receiver's link offset."""
    way = [key for hop in found.hops for key in (f"port {hop.port}", f"cable {hop.cable}")]
    return [*way, f"link offset {found.offset_of}"]
