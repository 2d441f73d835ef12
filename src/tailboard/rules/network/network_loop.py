"""Frames run round in a ring of cables.

What it finds: a ring of plugged cables in which some VLAN's frames come back to where they were, and no spanning tree is
planned on every switch port of the ring.
Why it matters: one broadcast circulates for ever; all devices vanish within seconds.
Example: F-01 and F-02 are both plugged between SW-T and SW-B, and both carry AUDIO.
Fix: leave one cable capped with its ports shut, or plan spanning tree on every port of the ring.
Does not find: a ring through a device that nobody says bridges; see two-interfaces-bridge. How long spanning tree takes.
Source: IEEE 802.1Q clause 13, spanning tree (clause from memory); the ring is found in the graph of frames.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_loops import Loop, islands, loops
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.network.common import titled_all
from tailboard.units.wording import counted, listed

RULE = Rule("network-loop", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim an island: switches joined by cables."""
    net = ask(network)
    found = loops(net)
    for island in islands(net):
        own = [loop for loop in found if device_of(loop.hops[0].port_out) in island]
        open_rings = [loop for loop in own if loop.unguarded]
        says = f"no frame runs round among {listed(island)}"
        if open_rings:
            yield broken(net, island, says, open_rings)
        else:
            blocked = [
                Because(
                    net.model.cables[loop.cables[0]].at.spot(),
                    f"spanning tree blocks the ring {', '.join(loop.cables)}",
                )
                for loop in own
            ]
            yield RULE.holds(island[0], says, evidence=blocked)


def broken(net: Network, island: tuple[str, ...], says: str, rings: list[Loop]) -> Claim:
    """Return the claim of an island in which frames run round; the shortest ring is shown."""
    ring = min(rings, key=lambda loop: (len(loop.hops), loop.cables))
    last = net.model.cables[ring.cables[-1]]
    more = f", and {counted(len(rings) - 1, 'other ring')} beside it" if len(rings) > 1 else ""
    through = " - ".join([*(f"{hop.port_out} {hop.cable} {hop.port_in}" for hop in ring.hops)])
    what = f"frames of {titled_all(net.model, ring.vlans)}" if ring.vlans else "frames"
    return RULE.broken(
        island[0],
        says,
        spot=last.at.spot("state"),
        message=f"{what} run round: {through}{more}; no spanning tree is planned on {listed(ring.unguarded)}",
        because=[Because(net.model.cables[hop.cable].at.spot(), hop.words) for hop in ring.hops],
        fix=f"unplug {last.id} ('state: capped', its ports shut), or write 'spanning tree: on' for {listed(ring.unguarded)}",
    )
