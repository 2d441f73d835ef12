"""A stream does not arrive at one of its receivers.

What it finds: a stream, written in the plan or derived from the patch, whose packets get no further than some cable,
port or VLAN on the way to a receiver, or whose sender is its own receiver. The lines and feeds in it are filed under it.
Why it matters: the receiver shows the stream as missing, and all its channels are silent at once.
Example: ST-1 goes from SB-1 to CON-1, and SW-B/1, the port of SB-1, is in another VLAN.
Fix: mend the port, cable or VLAN that the message names.
Does not find: packets that arrive too late; a stream that the receiver does not accept.
Source: frames followed port by port, IEEE 802.1Q (clauses from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.answers.network_records import Stop
from tailboard.answers.streams import StreamPlan, streams
from tailboard.findings import Because, Claim, Rule, Severity

RULE = Rule("stream-ends-early", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a stream with receivers."""
    net = ask(network)
    for plan in ask(streams).plans.values():
        journeys = {device: net.meeting(plan.sender, device, plan.vlan or "") for device in plan.receivers}
        if not journeys:
            continue
        says = f"{plan.name} arrives at {' and '.join(journeys)}"
        stops = {device: journey.stop for device, journey in journeys.items() if not journey.arrives}
        if plan.sender in journeys:
            own = f"{plan.sender} is its sender, and no device takes its own stream"
            stops[plan.sender] = Stop(own, plan.record.at.spot(plan.attribute), frozenset())
        yield broken(plan, says, stops) if stops else RULE.holds(plan.name, says)


def broken(plan: StreamPlan, says: str, stops: dict[str, Stop | None]) -> Claim:
    """Return the claim of a stream that does not arrive everywhere."""
    reasons: dict[str, list[str]] = {}
    for device, stop in stops.items():
        reasons.setdefault(stop.words if stop else "no way is known", []).append(device)
    words = "; ".join(f"at {' and '.join(devices)}: {reason}" for reason, devices in reasons.items())
    found = [stop for stop in stops.values() if stop is not None]
    written = [stop for stop in found if stop.spot.file]
    own = plan.record.at.spot(plan.attribute)
    place = written[0].spot if written else own
    return RULE.broken(
        plan.name,
        says,
        spot=place,
        message=f"{plan.words} does not arrive {words}",
        because=[Because(own, f"{plan.name} goes from {plan.sender} to {' and '.join(plan.receivers)}")],
        fix=f"mend what is written at {place}: {next(iter(reasons))}",
        breaks=[plan.key],
        rests_on={key for stop in found for key in stop.keys},
    )
