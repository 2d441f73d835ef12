"""Frames of a VLAN come out in another one.

What it finds: a frame that leaves a device in its VLAN and is put into another on its way, with every hop and its tag.
Why it matters: two networks that should never meet are joined, often one way only: storms, strange addresses, a second
clock, and devices that hear half of what they should.
Example: SW-T/S1 sends AUDIO untagged; SW-B/S1 puts untagged frames into PARK.
Fix: mend the hop at which the VLAN changes.
Does not find: packets that a router passes on; see router-joins-vlans. A device in the wrong port; see access-vlan-wrong.
Source: IEEE 802.1Q, classification and untagged egress (clauses from memory), followed frame by frame.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_groups import Leak, leaks
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.network.common import titled
from tailboard.units.wording import listed

RULE = Rule("vlan-leaks", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN that has devices with cables."""
    net = ask(network)
    for vlan in ask.model.vlans:
        if vlan not in net.members:
            continue
        says = f"frames of {titled(ask.model, vlan)} stay in it"
        found = leaks(net, vlan)
        yield broken(net, vlan, says, found) if found else RULE.holds(vlan, says)


def broken(net: Network, vlan: str, says: str, found: tuple[Leak, ...]) -> Claim:
    """Return the claim of a VLAN that leaks, with the hops of its first frame that does."""
    model = net.model
    first = found[0]
    last = first.hops[-1]
    where = f"at {last.port_in}" if last.tag is None else f"behind {last.port_in}"
    into = listed([titled(model, leak.into) for leak in found])
    reached = tuple(dict.fromkeys(device_of(end) for leak in found for end in leak.reached))
    ends = f", and reaches {listed(reached)}" if reached else ""
    setting = net.ports.settings.get(last.port_in)
    spot = setting.untagged_said.spot if setting else model.cables[last.cable].at.spot()
    keys = [f"{hop.cable}~{vlan}" for hop in first.hops]
    bridging = [f"device {device_of(hop.port_in)}" for hop in first.hops if device_of(hop.port_in) in net.ports.passing]
    return RULE.broken(
        vlan,
        says,
        spot=spot,
        message=f"what {device_of(first.end)} sends in {titled(model, vlan)} lands in {into} {where}{ends}",
        because=[Because(model.cables[hop.cable].at.spot(), hop.words) for hop in first.hops],
        fix=f"give {last.port_out} and {last.port_in} the same untagged VLAN, or take the way between {vlan} and {first.into} out",
        rests_on=[*keys, *bridging],
    )
