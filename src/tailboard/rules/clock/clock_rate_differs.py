"""A device cannot take a stream, for it runs at another sample rate.

What it finds: a device whose sample rate is not that of the streams it sends or takes, or a stream whose rate
is not that of its sender and receivers; of two that differ, the one that most of the others do not agree with.
Two rates that part by 1001 to 1000, as picture rates do, are told as such, with the samples that slip a second.
Why it matters: the subscription is refused, or the sound is silent or at the wrong pitch.
Example: `REC-1` at 44.1 kHz is to take ST-1 at 48 kHz.
Fix: set the device to the rate of its streams, or put a gateway with a rate converter between.
Does not find: an end whose kind `converts rate`, except where its own clock says the rate of one of its ports.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock_streams import Differing, Node, carried_feeds, rates
from tailboard.answers.streams import StreamPlan, streams
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.show import Model
from tailboard.physics.clock import is_pulled
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
            yield device_apart(ask, found, name, rate, says)
        else:
            yield stream_apart(ask, found, name, rate, says)


def example_rate(model: Model, node: Node) -> list[str]:
    """Return the assumption behind a rate that is an example figure of the device's kind."""
    device = model.devices.get(node[1])
    if node[0] != "device" or device is None or (device.clock is not None and device.clock.rate_hz is not None):
        return []
    kind = model.kind_of(node[1])
    return [f"kind {kind.id}"] if kind.figures.startswith("example value") else []


def device_apart(ask: Ask, found: Differing, device: str, rate: int, says: str) -> Claim:
    """Return the claim on a device whose rate stands against its streams."""
    names = {name for word, name in found.odd["device", device] if word == "stream"}
    peers = {name for word, name in found.odd["device", device] if word == "device"}
    plans = [plan for plan in ask(streams).plans.values() if plan.name in names or joins(found, plan, device, peers)]
    taken = [plan for plan in plans if plan.sender != device]
    sent = [plan for plan in plans if plan.sender == device]
    clauses = [f"receive {at_rates(found, taken)}"] if taken else []
    clauses += [f"send {at_rates(found, sent)}"] if sent else []
    record = ask.model.devices[device]
    wanted = sorted({found.values[node] for node in found.odd["device", device]})
    return RULE.broken(
        device,
        says,
        spot=record.clock.at.spot("rate_hz") if record.clock else record.at.spot(),
        message=f"{device} at {worded(rate, 'Hz')} cannot {', nor '.join(clauses)}{pulled_words(rate, wanted)}",
        because=[
            Because(spot_of(plan), f"{plan.words} runs at {worded(rate_of(found, plan), 'Hz')}") for plan in plans
        ],
        fix=f"set {device} to {worded(wanted[0], 'Hz')}, or lead these streams through a gateway that converts the rate",
        feeds=carried_feeds(ask, [plan.name for plan in plans]),
    )


def pulled_words(rate: int, others: list[int]) -> str:
    """Return what is to be said where two rates part as two picture rates do: one has been pulled up or down."""
    pulled = next((other for other in others if is_pulled(rate, other)), None)
    if pulled is None:
        return ""
    way = "up" if rate > pulled else "down"
    return (
        f"; it is pulled {way} by 1001 to 1000, as for another picture rate: where the two meet unconverted, "
        f"{abs(rate - pulled):g} samples slip a second"
    )


def stream_apart(ask: Ask, found: Differing, stream: str, rate: int, says: str) -> Claim:
    """Return the claim on a stream whose rate stands against its sender and receivers."""
    devices = [name for _, name in found.odd["stream", stream]]
    theirs = [worded(found.values["device", name], "Hz") for name in devices]
    model = ask.model
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
        feeds=carried_feeds(ask, [stream]),
    )


def joins(found: Differing, plan: StreamPlan, device: str, peers: set[str]) -> bool:
    """Return whether a stream without a written rate runs between a device and one of its peers."""
    if ("stream", plan.name) in found.values:
        return False
    return (
        bool(peers & set(plan.receivers))
        if plan.sender == device
        else device in plan.receivers and plan.sender in peers
    )


def spot_of(plan: StreamPlan) -> Spot:
    """Return where a stream's rate is written, else what the stream was made of."""
    return plan.record.at.spot(plan.attribute if plan.derived else "rate_hz")


def rate_of(found: Differing, plan: StreamPlan) -> int:
    """Return the rate of a stream: as written, else its sender's, else that of a receiver."""
    nodes = (("stream", plan.name), ("device", plan.sender), *(("device", name) for name in plan.receivers))
    return next(found.values[node] for node in nodes if node in found.values)


def at_rates(found: Differing, plans: list[StreamPlan]) -> str:
    """Return 'ST-1 and ST-2 at 48 kHz', or each rate with its streams."""
    by_rate: dict[int, list[str]] = {}
    for plan in plans:
        by_rate.setdefault(rate_of(found, plan), []).append(plan.name)
    return ", ".join(f"{listed(names)} at {worded(rate, 'Hz')}" for rate, names in by_rate.items())
