"""A device is asked for more than it has.

What it finds: more streams, network channels or tracks than the kind of a device has, a stream with more channels than
fit one of its sender's streams, more stations than the intercom bases and matrices serve, more belt-packs than the
access points.
Why it matters: it is found when the last one is patched, on the day.
Example: five streams go out of SB-1, a stage-box-24x12 with three.
Fix: put channels together into fewer streams, move some to another device, or use a larger one.
Does not find: a jack or strip that does not exist; the reader reports that. Load of a network port.
Source: the figures of the kind; a stream to several receivers without a group counts once for each (unicast).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.streams import StreamPlan, streams
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.chain.common import example_figures, natural

RULE = Rule("capacity-exceeded", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device and figure that something uses, and one a stream."""
    model = ask.model
    senders: dict[str, list[StreamPlan]] = {}
    receivers: dict[str, list[StreamPlan]] = {}
    for stream in ask(streams).plans.values():
        if not stream.contents:
            continue
        if stream.sender in model.devices:
            yield channels_in_stream(model, stream)
        senders.setdefault(stream.sender, []).append(stream)
        for device in stream.receivers:
            receivers.setdefault(device, []).append(stream)
    for device, plans in senders.items():
        yield from sending(model, device, plans)
    for device, plans in receivers.items():
        yield from receiving(model, device, plans)
    stations = [name for name, station in model.stations.items() if station.device]
    packs = [name for name in stations if model.kind_of(model.stations[name].device or "").role == "belt-pack"]
    yield from serving(model, ("intercom base", "matrix"), "stations", stations)
    yield from serving(model, ("access point",), "belt-packs", packs)


@dataclass(frozen=True, slots=True)
class Demand:
    """How many of something are asked of a device: of its streams, the last written is the one to edit."""

    what: str
    used: int
    limit: int | None
    fix: str


def judged(model: Model, device: str, demand: Demand, plans: list[StreamPlan]) -> Iterator[Claim]:
    """Yield the claim that a device has as many of something as are used, if its kind says how many."""
    if demand.limit is None:
        return
    kind = model.kind_of(device)
    subject = (device, demand.what)
    if demand.used <= demand.limit:
        says = f"{device} has {demand.limit} {demand.what}, {demand.used} used"
        yield RULE.holds(subject, says, assumptions=example_figures(kind))
        return
    yield RULE.broken(
        subject,
        f"{device} has enough {demand.what}",
        spot=max(plan.record.at.spot() for plan in plans),
        message=f"{device} ({kind.id}) has {demand.limit} {demand.what}; {demand.used} are used",
        fix=demand.fix,
        breaks=[f"device {device}"],
    )


def channels_in_stream(model: Model, stream: StreamPlan) -> Claim:
    """Return the claim that a stream's channels fit one stream of its sender."""
    kind = model.kind_of(stream.sender)
    used, limit = len(stream.contents), kind.stream_channels
    subject = (stream.name, "channels")
    if used <= limit:
        says = f"{stream.name} carries {used} of {limit} channels"
        return RULE.holds(subject, says, assumptions=example_figures(kind))
    return RULE.broken(
        subject,
        f"the channels of {stream.name} fit one stream",
        spot=stream.record.at.spot(stream.attribute),
        message=f"{stream.name} carries {used} channels; a stream of {stream.sender} ({kind.id}) holds {limit}",
        fix=f"move {used - limit} of the channels to another stream",
        breaks=[stream.key],
    )


def channels_sent(plans: list[StreamPlan]) -> int:
    """Return how many channels go out; one in several streams counts once, a jack sent straight is no channel."""
    counts: dict[str, int] = {}
    for plan in plans:
        for content, count in Counter(plan.contents).items():
            if "/" not in content:
                counts[content] = max(count, counts.get(content, 0))
    return sum(counts.values())


def sending(model: Model, device: str, plans: list[StreamPlan]) -> Iterator[Claim]:
    """Yield the claims on what a device sends."""
    flows = sum(1 if plan.group else max(1, len(plan.receivers)) for plan in plans)
    kind = model.kind_of(device)
    fewer = f"put the channels of {device} into fewer streams, or give a stream with several receivers a group"
    for demand in (
        Demand("streams out", flows, kind.streams_out, fewer),
        Demand("send channels", channels_sent(plans), kind.send_channels, f"send fewer channels from {device}"),
    ):
        yield from judged(model, device, demand, plans)


def receiving(model: Model, device: str, plans: list[StreamPlan]) -> Iterator[Claim]:
    """Yield the claims on what a device receives. A channel's number counts too: channel 40 needs forty channels.

    Channels that are not written do not count: a receiver need not take all of a stream.
    """
    entered = {enter.rpartition(" ")[2] for plan in plans for enter in plan.receivers[device] if " receive " in enter}
    channels = {int(channel) for channel in entered if channel.isdecimal()}
    used = max(len(channels), *channels, 0)
    kind = model.kind_of(device)
    for demand in (
        Demand("streams in", len(plans), kind.streams_in, f"send {device} its channels in fewer streams"),
        Demand("receive channels", used, kind.receive_channels, f"use free channels up to {kind.receive_channels}"),
        Demand("tracks", used, kind.tracks, f"record on tracks up to {kind.tracks}"),
    ):
        yield from judged(model, device, demand, plans)


def serving(model: Model, roles: tuple[str, ...], what: str, stations: list[str]) -> Iterator[Claim]:
    """Yield the claim that the devices of some roles serve all stations, if their kinds say how many they serve."""
    bases = sorted((name for name in model.devices if model.kind_of(name).role in roles), key=natural)
    limits = [model.kind_of(name).stations for name in bases]
    if not stations or not bases or None in limits:
        return
    limit = sum(number or 0 for number in limits)
    says = f"{' and '.join(bases)} serve {limit} {what}, {len(stations)} used"
    if len(stations) <= limit:
        assumptions = {key for name in bases for key in example_figures(model.kind_of(name))}
        yield RULE.holds((*bases, what), says, assumptions=assumptions)
        return
    last = max((model.stations[name].at.spot() for name in stations), key=lambda at: at.line)
    yield RULE.broken(
        (*bases, what),
        f"{' and '.join(bases)} serve all {what}",
        spot=last,
        message=f"there are {len(stations)} {what}; {' and '.join(bases)} serve {limit}",
        fix=f"take {len(stations) - limit} of the {what} out, or add another {roles[0]}",
        breaks=[f"device {name}" for name in bases],
    )
