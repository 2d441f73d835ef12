"""A port has to send more than it can, or more than the show plans with.

What it finds: the sum of what leaves by a port over 100 % of its speed (error), or over the share the show plans with
(warning): `load limit` for an end port, `trunk limit` between two switches, 85 % and 70 % if nothing is written. Streams
count with every header, tagged; unicast once a receiver, a group once a port, and where a VLAN floods, at every port.
Why it matters: above 100 % the port throws frames away; close below, the least burst makes everything late.
Example: fifteen cameras of 60 Mb/s on their way to the truck over one strand of 1 G: 90 %.
Fix: take something off the cable, use a second one, or a faster pair of optics.
Does not find: traffic that nobody wrote (file copies, pages, backups); state it under `exchanges` or `sends`.
Source: sizes of RFC 3550, 768, 791 and IEEE 802.3 as in physics/ethernet; 85 % and 70 % are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.load import PortLoad, loads
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.network.load_common import assumptions, flow_spot, most, percent, rate, unwritten
from tailboard.units.wording import listed

RULE = Rule("port-overloaded", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a port that something leaves by."""
    for port, load in ask(loads).items():
        share_percent = load.share_percent
        says = f"{port} sends what it has to"
        if share_percent is not None and share_percent > load.share_max:
            yield broken(ask.model, load, says, share_percent)
        elif share_percent is None or load.incomplete:
            yield unwritten(ask.model, RULE, load, says)
        else:
            says = f"{port} sends {rate(load.rate_bit_per_s)}, {percent(share_percent)} of {rate(load.hop.speed_bit_per_s)}"
            yield RULE.holds(port, says, assumptions=assumptions(ask.model, load.hop, load.flows))


def broken(model: Model, load: PortLoad, says: str, share_percent: float) -> Claim:
    """Return the claim of a port that has to send too much; by VLAN, and the largest flows one by one."""
    hop, full = load.hop, share_percent > 100
    what = "between switches" if load.trunk else "for an end port"
    limit = "the whole of it" if full else f"the limit {what} is {load.share_max} %"
    parts = [f"{vlan or 'no VLAN'} {rate(part)}" for vlan, part in load.bit_per_s_by_vlan.items()]
    more = f", not counting {listed([flow.id for flow in load.incomplete])}" if load.incomplete else ""
    of_speed = f"{percent(share_percent)} of {rate(hop.speed_bit_per_s)}"
    message = f"{hop.port} has to send {rate(load.rate_bit_per_s)} ({hop.cable} to {hop.into}), {of_speed}"
    return RULE.broken(
        hop.port,
        says,
        spot=model.cables[hop.cable].at.spot(),
        message=message + (f": more than {limit}" if full else f"; {limit}") + more,
        because=[
            Because(model.cables[hop.cable].at.spot(), f"by VLAN: {listed(parts)}"),
            *(Because(flow_spot(model, flow), f"{flow.id} {rate(flow.rate_bit_per_s or 0)}") for flow in most(load)),
        ],
        fix=f"take something off {hop.cable}, or join {hop.port} and {hop.into} by a faster or a second cable",
        severity=Severity.ERROR if full else Severity.WARNING,
        breaks=[f"port {hop.port}"] if full else (),
        rests_on=[f"vlan {vlan}" for vlan in load.bit_per_s_by_vlan],
    )
