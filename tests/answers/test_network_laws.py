"""Laws of the network graph, on random networks: a frame simulator and an independent graph library agree with it."""

from __future__ import annotations

import random

import networkx as nx
import pytest

from answers.network_random import Case, Mode, draft, followed, graph, random_case, reach, simulated
from tailboard.model.show import device_of


@pytest.mark.parametrize("block", range(4))
def test_a_chain_of_tags_is_what_a_simulator_of_single_frames_carries(block: int) -> None:
    """In a tree each frame comes out once a port; both sides of a cable may be set differently."""
    sent = came_out = 0
    for seed in range(40):
        rng = random.Random(1000 * block + seed)
        case = random_case(rng)
        net = graph(case)
        for port in case.edges:
            for tag in (None, *case.vlans):
                expected = simulated(case, port, tag)
                assert max(expected.values(), default=1) == 1
                assert followed(net, case, port, tag) == expected.keys(), (seed, port, tag, draft(case).files)
                sent += 1
                came_out += len(expected)
    assert sent > 400
    assert came_out > 200


def test_in_rings_with_ends_set_apart_the_same_copies_come_out() -> None:
    came_out = 0
    for seed in range(60):
        case = random_case(random.Random(seed), rings=1 + seed % 3)
        net = graph(case)
        for port in case.edges:
            for tag in (None, *case.vlans):
                expected = simulated(case, port, tag, rings=True)
                assert followed(net, case, port, tag) == expected.keys(), (seed, port, tag)
                came_out += len(expected)
    assert came_out > 500


def test_where_both_ends_are_set_alike_a_vlan_reaches_what_its_cables_connect() -> None:
    """Second tool: connected components of networkx, one graph a VLAN, rings included."""
    met = 0
    for seed in range(40):
        rng = random.Random(seed)
        case = random_case(rng, rings=rng.randint(0, 2), consistent=True)
        net = graph(case)
        for vlan in case.vlans:
            plain = nx.Graph()
            plain.add_nodes_from(case.switches)
            plain.add_edges_from(
                (device_of(one), device_of(other))
                for one, other in case.cables
                if case.modes[one].word != "shut" and vlan in case.modes[one].tagged | {case.modes[one].untagged}
            )
            for switch in case.switches:
                flood = net.frames.flood((switch, f"V{vlan}", ""))
                reached = {device for device, labels in flood.there.items() if f"V{vlan}" in labels}
                assert reached == nx.node_connected_component(plain, switch)
                met += len(reached) > 1
    assert met > 100


def test_removing_a_cable_never_adds_reach() -> None:
    """The graph is that of all plugged cables, spanning tree off: fewer ways carry no frame further."""
    lost = 0
    for seed in range(40):
        rng = random.Random(seed)
        case = random_case(rng, rings=rng.randint(0, 3))
        before = reach(graph(case), case)
        for index in range(len(case.cables)):
            after = reach(graph(case.without(index)), case)
            assert after <= before
            lost += after < before
    assert lost > 50


def test_with_spanning_tree_removing_a_cable_can_add_reach() -> None:
    """Why the law above speaks of the union of all cables.

    A ring of three switches. Spanning tree, which knows no VLANs (one tree for all, IEEE 802.1Q, from memory), blocks the
    cable between S1 and S2, because S0 is the root. VLAN 10 is not carried on S0 - S2, so S1 and S2 cannot meet in it. With
    S0 - S1 pulled, the blocked cable opens: now they meet. So in a network with spanning tree a cable less can be a way
    more, and a proof by removing cables would be wrong there.
    """
    full, lean = Mode("trunk", None, frozenset({10, 20})), Mode("trunk", None, frozenset({20}))
    edges = {"S1/1": Mode("access", 10), "S2/1": Mode("access", 10)}
    ring = (("S0/t0", "S1/u0"), ("S0/t1", "S2/u1"), ("S1/t2", "S2/u2"))
    modes = {**edges, "S0/t0": full, "S1/u0": full, "S0/t1": lean, "S2/u1": lean, "S1/t2": full, "S2/u2": full}
    union = Case((10, 20), tuple(edges), ring, modes)

    blocked = Case((10, 20), tuple(edges), spanning_tree(ring, root="S0"), modes)
    healed = Case((10, 20), tuple(edges), spanning_tree(ring[1:], root="S0"), modes)

    assert blocked.cables == ring[:2]
    assert ("S2/1", None) not in followed(graph(blocked), blocked, "S1/1", None)
    assert ("S2/1", None) in followed(graph(healed), healed, "S1/1", None)
    assert reach(graph(blocked), blocked) | reach(graph(healed), healed) <= reach(graph(union), union)


def spanning_tree(cables: tuple[tuple[str, str], ...], root: str) -> tuple[tuple[str, str], ...]:
    """Return the cables that a spanning tree leaves open: each switch keeps its first way of fewest cables to the root."""
    joined = {root}
    kept: list[tuple[str, str]] = []
    while True:
        grown = [pair for pair in cables if len({device_of(end) for end in pair} & joined) == 1]
        if not grown:
            return tuple(kept)
        for pair in grown:
            new = {device_of(end) for end in pair} - joined
            if new:
                kept.append(pair)
                joined |= new
