"""A device cannot take a stream, for it runs at another sample rate.

What it finds: a device whose sample rate is not that of the declared streams it sends or takes, or a stream whose rate
is not that of its sender and receivers; of two that differ, the one that most of the others do not agree with.
Why it matters: the subscription is refused, or the sound is silent or at the wrong pitch.
Example: `REC-1` at 44.1 kHz is to take ST-1 at 48 kHz.
Fix: set the device to the rate of its streams, or put a gateway with a rate converter between.
Does not find: streams through gateways and intercom stations, which convert the rate; streams that are not declared.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock_streams import Differing, Node, rates
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Stream
from tailboard.model.show import Model
from tailboard.rules.clock.common import feeds_of
from tailboard.units.wording import listed, worded

RULE = Rule("clock-rate-differs", "clock", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device and one a stream: the rates agree."""
    found = ask(rates)
    for node, rate in found.values.items():
        word, name = node
        if word == "device":
            says = f"{name} runs at the sample rate of its streams"
        else:
            says = f"{name} has the sample rate of its sender and receivers"
        if node not in found.odd:
            yield RULE.holds(name, says, assumptions=example_rate(ask.model, node))
        elif word == "device":
            yield device_apart(ask.model, found, name, rate, says)
        else:
            yield stream_apart(ask.model, found, name, rate, says)


def example_rate(model: Model, node: Node) -> list[str]:
    """Return the assumption behind a rate that is an example figure of the device's kind."""
    device = model.devices.get(node[1])
    if node[0] != "device" or device is None or (device.clock is not None and device.clock.rate_hz is not None):
        return []
    kind = model.kind_of(node[1])
    return [f"kind {kind.id}"] if kind.figures.startswith("example value") else []


def device_apart(model: Model, found: Differing, device: str, rate: float, says: str) -> Claim:
    """Return the claim on a device whose rate stands against its streams."""
    names = {name for word, name in found.odd["device", device] if word == "stream"}
    peers = {name for word, name in found.odd["device", device] if word == "device"}
    streams = [record for record in model.streams.values() if record.id in names or joins(record, device, peers)]
    taken = [record for record in streams if record.sender != device]
    sent = [record for record in streams if record.sender == device]
    clauses = [f"receive {at_rates(found, taken)}"] if taken else []
    clauses += [f"send {at_rates(found, sent)}"] if sent else []
    record = model.devices[device]
    wanted = sorted({found.values[node] for node in found.odd["device", device]})
    return RULE.broken(
        device,
        says,
        spot=record.clock.at.spot("rate_hz") if record.clock else record.at.spot(),
        message=f"{device} at {worded(rate, 'Hz')} cannot {', nor '.join(clauses)}",
        because=[
            Because(stream.at.spot("rate_hz"), f"{stream.id} runs at {worded(rate_of(found, stream), 'Hz')}")
            for stream in streams
        ],
        fix=f"set {device} to {worded(wanted[0], 'Hz')}, or lead these streams through a gateway that converts the rate",
        feeds=dict.fromkeys(feed for stream in streams for feed in feeds_of(model, stream)),
    )


def stream_apart(model: Model, found: Differing, stream: str, rate: float, says: str) -> Claim:
    """Return the claim on a stream whose rate stands against its sender and receivers."""
    devices = [name for _, name in found.odd["stream", stream]]
    theirs = [worded(found.values["device", name], "Hz") for name in devices]
    record = model.streams[stream]
    return RULE.broken(
        stream,
        says,
        spot=record.at.spot("rate_hz"),
        message=f"{stream} is written at {worded(rate, 'Hz')}, but {listed(devices)} "
        f"{'runs' if len(devices) == 1 else 'run'} at {listed(list(dict.fromkeys(theirs)))}",
        because=[
            Because(model.devices[name].at.spot("clock"), f"{name}: {worded(found.values['device', name], 'Hz')}")
            for name in devices
        ],
        fix=f"write rate: {theirs[0]} at {stream}",
        feeds=feeds_of(model, record),
    )


def joins(stream: Stream, device: str, peers: set[str]) -> bool:
    """Return whether a stream without a written rate runs between a device and one of its peers."""
    if stream.rate_hz is not None:
        return False
    receivers = set(stream.receivers or {})
    return (stream.sender == device and bool(receivers & peers)) or (device in receivers and stream.sender in peers)


def rate_of(found: Differing, stream: Stream) -> float:
    """Return the rate of a stream: as written, else its sender's, else that of a receiver."""
    nodes = (("stream", stream.id), ("device", stream.sender), *(("device", name) for name in stream.receivers or {}))
    return next(found.values[node] for node in nodes if node in found.values)


def at_rates(found: Differing, streams: list[Stream]) -> str:
    """Return 'ST-1 and ST-2 at 48 kHz', or each rate with its streams."""
    by_rate: dict[float, list[str]] = {}
    for stream in streams:
        by_rate.setdefault(rate_of(found, stream), []).append(stream.id)
    return ", ".join(f"{listed(names)} at {worded(rate, 'Hz')}" for rate, names in by_rate.items())
