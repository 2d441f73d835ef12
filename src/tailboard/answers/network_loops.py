"""Loops: frames that come round again because nothing blocks the ring of cables they run in."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

from tailboard.answers.knots import knots
from tailboard.answers.network import Network
from tailboard.answers.network_records import Hop, State
from tailboard.model.show import device_of


@dataclass(frozen=True, slots=True)
class Loop:
    """One ring.

    hops       once round.
    vlans      the VLANs whose frames run round in it.
    unguarded  switch ports of the ring on which no spanning tree is planned; empty: one link will be blocked.
    """

    hops: tuple[Hop, ...]
    vlans: tuple[str, ...]
    unguarded: tuple[str, ...]

    @property
    def cables(self) -> tuple[str, ...]:
        """The cables of the ring, in order."""
        return cables_of(self.hops)


def loops(network: Network) -> tuple[Loop, ...]:
    """Return the rings in which frames would circulate if no spanning tree blocked them, one for each set of cables."""
    core = ring_devices(network)
    after = {state: tuple(next_states(network, state, core)) for state in entries(network, core)}
    rings: dict[frozenset[str], tuple[tuple[Hop, ...], dict[str, None]]] = {}
    for knot in knots({state: [other for other, _ in steps] for state, steps in after.items()}):
        hops = once_round(knot, after)
        cables = cables_of(hops)
        kept, vlans = rings.get(frozenset(cables), (hops, {}))
        vlans.update(dict.fromkeys(hop.vlan_before for hop in hops if hop.vlan_before))
        rings[frozenset(cables)] = (min(hops, kept, key=cables_of), vlans)  # of both ways round always the same one
    return tuple(Loop(hops, tuple(vlans), unguarded(network, hops)) for hops, vlans in rings.values())


def cables_of(hops: tuple[Hop, ...]) -> tuple[str, ...]:
    """Return the cables of some hops, in order."""
    return tuple(hop.cable for hop in hops)


def islands(network: Network) -> tuple[tuple[str, ...], ...]:
    """Return the forwarding devices in groups joined by cables that carry frames, each group and all of them sorted."""
    found: list[tuple[str, ...]] = []
    left = set(network.frames.forwarding)
    for begin in sorted(left):
        if begin not in left:
            continue
        group = {begin}
        queue = deque([begin])
        while queue:
            for _, _, far in network.frames.trunks.get(queue.popleft(), ()):
                if device_of(far) not in group:
                    group.add(device_of(far))
                    queue.append(device_of(far))
        left -= group
        found.append(tuple(sorted(group)))
    return tuple(found)


def ring_devices(network: Network) -> frozenset[str]:
    """Return the forwarding devices that are left when those with a single trunk are taken away again and again."""
    trunks = network.frames.trunks
    degree = {device: len(steps) for device, steps in trunks.items()}
    queue = deque(device for device, count in degree.items() if count < 2)
    gone: set[str] = set()
    while queue:
        device = queue.popleft()
        gone.add(device)
        for _, _, far in trunks[device]:
            other = device_of(far)
            degree[other] -= 1
            if degree[other] == 1 and other not in gone:
                queue.append(other)
    return frozenset(degree.keys() - gone)


def entries(network: Network, core: Iterable[str]) -> list[State]:
    """Return the states in which a frame can come into a device of the core by a trunk, sorted: each run shows the same ring."""
    found: dict[State, None] = {}
    for device in core:
        for step in network.frames.trunks[device]:
            setting = network.ports.settings.get(step[0])
            labels = setting.vlans if setting is not None else labels_of(network)
            for label in labels:
                hop = network.frames.hop(step, label) if device_of(step[2]) in core else None
                if hop is not None:
                    found[(device_of(step[2]), hop.vlan_after, step[2])] = None
    return sorted(found)


def labels_of(network: Network) -> frozenset[str]:
    """Return the tags a frame can bear in a device that passes every frame: each VLAN, and none."""
    return frozenset({"", *network.model.vlans})


def next_states(network: Network, state: State, core: frozenset[str]) -> Iterable[tuple[State, Hop]]:
    """Yield where a frame goes next inside the core."""
    device, label, way_in = state
    for step in network.frames.trunks[device]:
        if step[0] == way_in or device_of(step[2]) not in core:
            continue
        hop = network.frames.hop(step, label)
        if hop is not None:
            yield (device_of(step[2]), hop.vlan_after, step[2]), hop


def once_round(knot: list[State], after: dict[State, tuple[tuple[State, Hop], ...]]) -> tuple[Hop, ...]:
    """Return the hops of a shortest way from the least state of a knot back to itself."""
    begin = min(knot)
    inside = set(knot)
    before: dict[State, tuple[State, Hop]] = {}
    queue = deque([begin])
    while queue and begin not in before:
        state = queue.popleft()
        for other, hop in after[state]:
            if other in inside and other not in before:
                before[other] = (state, hop)
                queue.append(other)
    hops: list[Hop] = []
    state = begin
    while not hops or state != begin:
        state, hop = before[state]
        hops.append(hop)
    return tuple(reversed(hops))


def unguarded(network: Network, hops: Iterable[Hop]) -> tuple[str, ...]:
    """Return the ports of a ring on which no spanning tree is planned.

    A device that passes every frame passes the switches' own too, so its ports need none; a ring of such devices alone
    has nothing that could block it.
    """
    ports = dict.fromkeys(port for hop in hops for port in (hop.port_out, hop.port_in))
    own = [port for port in ports if device_of(port) not in network.ports.passing]
    return tuple(port for port in own or ports if not guarded(network, port))


def guarded(network: Network, port: str) -> bool:
    """Return whether spanning tree is planned on a port."""
    planned = network.model.ports.get(port)
    return planned is not None and bool(planned.spanning_tree)
