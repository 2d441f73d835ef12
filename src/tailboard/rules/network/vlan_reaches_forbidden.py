"""A VLAN reaches another that it is never to reach.

What it finds: a frame that gets from one VLAN into the other by any port and cable as planned, either way, through
switches that are set differently, a wrong port, a device without VLANs or a lead; and routers, also several in a row.
Why it matters: the house's network, cameras or guests come where a storm or a second clock of theirs stops the show.
Example: IPCAM says `never reaches: AUDIO`, and CAM-2 is plugged into an AUDIO port.
Fix: mend the hop at which the VLANs meet, or take one of them out of what the router forwards.
Does not find: what a device or a router lets through though nobody wrote it; that has to be confirmed.
Source: IEEE 802.1Q, followed frame by frame (clauses from memory); that they stay apart is the plan's own word.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.isolation import Crossing, Isolation, isolation
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model, device_of
from tailboard.rules.network.common import titled

RULE = Rule("vlan-reaches-forbidden", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a pair of VLANs of which one says that it never reaches the other."""
    vlans = ask.model.vlans
    for name, vlan in vlans.items():
        for other in dict.fromkeys(vlan.never_reaches):
            if other in vlans and other != name:
                yield judged(ask(isolation), name, other)


def judged(found: Isolation, vlan: str, other: str) -> Claim:
    """Return the claim that nothing passes between two VLANs."""
    model = found.net.model
    says = f"nothing passes between {titled(model, vlan)} and {titled(model, other)}"
    crossing = found.crossing(vlan, other) or found.crossing(other, vlan)
    if crossing is None:
        return RULE.holds((vlan, other), says, assumptions=assumed(found, vlan, other))
    because = [Because(model.cables[hop.cable].at.spot(), hop.words) for hop in crossing.hops]
    because += [
        Because(model.devices[router].at.spot("forwards"), f"{router} passes packets from {one} to {two}")
        for router, one, two in crossing.routers
    ]
    passing = {device_of(hop.port_in) for hop in crossing.hops} & found.net.ports.passing
    return RULE.broken(
        (vlan, other),
        says,
        spot=model.vlans[vlan].at.spot("never_reaches"),
        message=f"{vlan} is never to reach {other}, but {words(model, crossing)}",
        because=because,
        fix=fix(crossing),
        rests_on=[
            *(f"{hop.cable}~{name}" for hop in crossing.hops for name in (vlan, other)),
            *(f"device {name}" for name in sorted(passing)),
        ],
    )


def words(model: Model, crossing: Crossing) -> str:
    """Return how one VLAN comes into the other."""
    if crossing.routers:
        return " and ".join(f"{router} joins {one} to {two}" for router, one, two in crossing.routers)
    begin = f"what {device_of(crossing.begins)} sends in {titled(model, crossing.vlan)}"
    if crossing.reached:
        return f"{begin} reaches {device_of(crossing.reached)} of {titled(model, crossing.into)}"
    return f"{begin} is put into {titled(model, crossing.into)} at {crossing.hops[-1].port_in}"


def fix(crossing: Crossing) -> str:
    """Return the repair: the router, or the hop at which the frame changes its VLAN."""
    if crossing.routers:
        router, one, other = crossing.routers[0]
        return f"take {one} or {other} out of 'forwards' of {router}"
    turn = next((hop for hop in crossing.hops if hop.vlan_after != crossing.vlan), crossing.hops[-1])
    return f"mend {turn.cable}: between {turn.port_out} and {turn.port_in} frames of {crossing.vlan} get out of it"


def assumed(found: Isolation, vlan: str, other: str) -> list[str]:
    """Return what is taken for granted: that devices with a foot in both VLANs let nothing through, though none said so."""
    model, known = found.net.model, []
    of_vlan, of_other = ({device_of(end) for end in found.net.members.get(name, ())} for name in (vlan, other))
    for device in sorted(of_vlan & of_other):
        role = model.kind_of(device).role
        if role == "router":
            known.append(f"{device} forwards")
        elif role != "switch" and model.devices[device].bridges is None:
            known.append(f"{device} bridges ports")
    return known
