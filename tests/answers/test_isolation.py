"""Isolation: laws on random networks, the ways shown for known faults, and the time for a large network."""

from __future__ import annotations

import random
import time
from dataclasses import replace

import pytest

from answers.network_random import Case, draft, graph, random_case, reach, simulated, taken
from support.draft import Draft
from support.syntheticswitches import switches_show
from tailboard.answers.ask import Ask
from tailboard.answers.isolation import isolation
from tailboard.findings import Status
from tailboard.model.show import device_of
from tailboard.rules.network import native_in_use, vlan_reaches_forbidden


@pytest.mark.parametrize("block", range(3))
def test_taking_a_cable_out_adds_no_way(block: int) -> None:
    """Law of the graph; no source needed."""
    lost = 0
    for number in range(15):
        case = random_case(random.Random(f"cable {block} {number}"), rings=number % 3)
        before = reach(graph(case), case)
        for index in range(len(case.cables)):
            after = reach(graph(case.without(index)), case.without(index))
            assert after <= before, (block, number, index)
            lost += len(before) - len(after)
    assert lost > 100


@pytest.mark.parametrize("block", range(3))
def test_a_vlan_more_on_one_side_of_a_trunk_takes_no_way_away(block: int) -> None:
    """Law of IEEE 802.1Q forwarding: a member set that grows drops nothing that it passed."""
    added = 0
    for number in range(25):
        rng = random.Random(f"vlan {block} {number}")
        case = random_case(rng)
        before = reach(graph(case), case)
        for pair in case.cables:
            port = rng.choice(pair)
            mode = case.modes[port]
            free = [vlan for vlan in case.vlans if vlan not in mode.tagged and vlan != mode.untagged]
            if mode.word != "trunk" or not free:
                continue
            wider = replace(mode, tagged=mode.tagged | {rng.choice(free)})
            grown = replace(case, modes={**case.modes, port: wider})
            after = reach(graph(grown), grown)
            assert before <= after, (block, number, port)
            added += len(after) - len(before)
    assert added > 10


def with_ends(case: Case) -> Draft:
    """Return a random network with a device in each VLAN of its access ports at the edge, one a port."""
    text = draft(case).files["show.yaml"]
    text = text.replace("kinds:\n", "kinds:\n  end: {role: gateway, ports: {net: {medium: network, way: both}}}\n", 1)
    devices, cables = [], []
    for number, port in enumerate(case.edges):
        mode = case.modes[port]
        if mode.word == "access":
            devices.append(f"  E{number}: {{kind: end, ports: {{net: V{mode.untagged}}}}}")
            cables.append(f"  L{number}: {{kind: cat solid, length: 5 m, from: {port}, to: E{number}/net}}")
    text = text.replace("devices:\n", "devices:\n" + "".join(f"{line}\n" for line in devices), 1)
    return Draft({"show.yaml": text.replace("cables:\n  {}\n", "cables:\n") + "".join(f"{line}\n" for line in cables)})


@pytest.mark.parametrize("block", range(4))
def test_vlans_cross_where_a_simulator_of_single_frames_brings_a_frame_across(block: int) -> None:
    """Frames cross by isolation's word if a copy comes out at an edge port of the other VLAN, and else only inside."""
    crossed = apart = 0
    for number in range(90):
        case = random_case(random.Random(f"cross {block} {number}"))
        plugged = {port: case.modes[port].untagged for port in case.edges if case.modes[port].word == "access"}
        if len(plugged) < 2:
            continue
        found = isolation(Ask(with_ends(case).read().model))
        out = {
            (vlan, plugged[edge])
            for port, vlan in plugged.items()
            for edge, _ in simulated(case, port, None)
            if edge in plugged and plugged[edge] != vlan
        }
        for one in set(plugged.values()):
            for other in set(plugged.values()) - {one}:
                way = found.by_frame(f"V{one}", f"V{other}")
                if (one, other) in out:
                    assert way is not None, (block, number, one, other)
                    crossed += 1
                else:
                    assert way is None or not way.reached, (block, number, one, other, way)
                    apart += 1
                if way is not None:
                    assert way.hops
                    assert all(
                        device_of(a.port_in) == device_of(b.port_out)
                        for a, b in zip(way.hops, way.hops[1:], strict=False)
                    )
    assert crossed > 5
    assert apart > 50


def test_cables_set_alike_at_both_ends_part_vlans_both_ways_and_reach_is_symmetric() -> None:
    """Law of IEEE 802.1Q forwarding on a consistent network: a VLAN's frames stay in it, and every way can be gone back."""
    ways = 0
    for number in range(40):
        case = random_case(random.Random(f"alike {number}"), consistent=True)
        found = isolation(Ask(with_ends(case).read().model))
        for one in case.vlans:
            for other in case.vlans:
                assert one == other or found.by_frame(f"V{one}", f"V{other}") is None, (number, one, other)
        access = {port for port in case.edges if case.modes[port].word == "access"}
        pairs = {(port, copy[0]) for (port, tag), copy in reach(graph(case), case) if tag is None}
        pairs = {pair for pair in pairs if set(pair) <= access}
        assert pairs == {(other, one) for one, other in pairs}, number
        ways += len(pairs)
    assert ways > 50


def landed(case: Case, port: str, outer: int, inner: int) -> set[int]:
    """Return the VLANs into which switches put a frame with two tags, each copy carried from port to port on its own."""
    plug = {end: pair[1 - side] for pair in case.cables for side, end in enumerate(pair)}
    flying: list[tuple[str, tuple[int, ...]]] = [(port, (outer, inner))]
    found: set[int] = set()
    while flying:
        way_in, tags = flying.pop()
        vlan = taken(case.modes[way_in], tags[0] if tags else None)
        if vlan is None:
            continue
        found.add(vlan)
        inside = tags[1:]  # the switch keeps the VLAN beside the frame, and what was inside the first tag as it was
        for other, mode in case.modes.items():
            if device_of(other) != device_of(way_in) or other == way_in or other not in plug or mode.word == "shut":
                continue
            if vlan == mode.untagged:
                flying.append((plug[other], inside))
            elif vlan in mode.tagged:
                flying.append((plug[other], (vlan, *inside)))
    return found


def test_what_the_rule_on_two_tags_says_a_simulator_with_stacked_tags_sees() -> None:
    """IEEE 802.1Q, untagged egress takes off one tag alone (from memory); the simulator knows nothing of the rule."""
    broken = held = 0
    for number in range(250):
        case = random_case(random.Random(f"two tags {number}"), consistent=True)
        if not any(mode.word == "trunk" and mode.untagged and mode.tagged for mode in case.modes.values()):
            continue
        for claim in native_in_use.examine(Ask(draft(case).read().model)):
            vlan = int(claim.subject[0].removeprefix("V"))
            edges = [port for port in case.edges if case.modes[port].word != "shut"]
            crossing = any(
                landed(case, port, vlan, inner) - {vlan} for port in edges for inner in case.vlans if inner != vlan
            )
            assert crossing == (claim.status is Status.BROKEN), (number, claim)
            broken, held = broken + crossing, held + (not crossing)
    assert broken > 20
    assert held > 10


def test_every_pair_of_a_large_network_is_judged_in_time() -> None:
    """Issue: 200 switches with 40 VLANs under 0.5 s; the least of three runs, for the machine is shared."""
    model = switches_show(random.Random(1)).read().model
    taken_s = []
    for _ in range(3):
        start = time.perf_counter()
        claims = list(vlan_reaches_forbidden.examine(Ask(model)))
        taken_s.append(time.perf_counter() - start)
    assert len(claims) == 40 * 39 // 2
    assert all(claim.status is Status.HOLDS for claim in claims)
    assert min(taken_s) < 0.5


def test_one_wrong_native_in_a_large_network_is_found_with_its_hops() -> None:
    plan = switches_show(random.Random(2), 30, 6)
    text = plan.files["show.yaml"]
    old = '"carries": ["V0", "V1", "V2", "V3", "V4", "V5"]'
    assert text.count(old) == 29
    wrong = text.replace('"switches": {"S0": {', '"switches": {"S0": {"199": {"access": "V3"}, ', 1)
    at = wrong.index('"cables": {') + len('"cables": {')
    lead = '"X": {"kind": "cat solid", "length": "5 m", "from": "S0/199", "to": "S1/198"}, '
    wrong = wrong[:at] + lead + wrong[at:]
    wrong = wrong.replace('"S1": {"1"', '"S1": {"198": {"access": "V4"}, "1"', 1)
    found = isolation(Ask(Draft({"show.yaml": wrong}).read().model))
    way = found.crossing("V3", "V4")
    assert way is not None
    turn = next(hop for hop in way.hops if hop.vlan_after == "V4")
    assert (turn.cable, turn.port_out, turn.port_in, turn.tag) == ("X", "S0/199", "S1/198", None)
    assert found.crossing("V3", "V5") is None
