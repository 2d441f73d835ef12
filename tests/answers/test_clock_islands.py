"""Clock islands, elections, losses and joinings, on the examples and on random shows."""

from __future__ import annotations

import random

import pytest

from support.clockshow import clock_show
from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.clock import Clocks, Island, after_join, after_loss, clock, without, without_leader
from tailboard.answers.clock_members import Member
from tailboard.answers.network import network
from tailboard.physics.clock import By, Code, compared


def ask_of(draft: Draft) -> Ask:
    return Ask(draft.read().model)


def led(clocks: Clocks) -> dict[str, str]:
    """Return the leader that each device hears, itself included; empty where none."""
    return {
        device: island.leader.device if island.leader else "" for island in clocks.islands for device in island.devices
    }


def leader_of(island: Island) -> Member:
    assert island.leader is not None
    return island.leader


def test_the_small_show_is_one_island_led_by_the_console() -> None:
    (island,) = ask_of(Draft.example())(clock).islands
    assert (island.vlan, island.domain) == ("AUDIO", 0)
    assert {member.device: island.decision(member) for member in island.members} == {
        "CON-1": Code.M2, "SB-1": Code.S1, "REC-1": Code.S1,
    }  # fmt: skip
    assert island.runner_up is not None
    assert island.runner_up.device == "SB-1"
    assert island.won_by is not None
    assert island.won_by.by is By.PRIORITY1


def test_losses_of_the_small_show() -> None:
    """As the plan itself says: without the console the box leads; without the strand each side leads itself."""
    ask = ask_of(Draft.example())
    assert led(after_loss(ask, "CON-1")) == {"SB-1": "SB-1", "REC-1": "SB-1"}
    assert led(after_loss(ask, "F-01")) == {"CON-1": "CON-1", "REC-1": "CON-1", "SB-1": "SB-1"}
    assert led(after_loss(ask, "SW-B")) == {"CON-1": "CON-1", "REC-1": "CON-1"}
    assert after_loss(ask, "C-04") is ask(clock)


def test_when_the_strand_comes_back_the_console_wins_and_the_box_is_disturbed() -> None:
    truck, stage = after_loss(ask_of(Draft.example()), "F-01").islands
    for join in (after_join(truck, stage), after_join(stage, truck)):
        assert join.leader is not None
        assert join.leader.device == "CON-1"
        assert join.disturbed == ("SB-1",)


def test_the_medium_show_has_two_islands_with_a_gateway_in_both() -> None:
    ask = ask_of(Draft.example("medium"))
    truck, house = ask(clock).islands
    assert (truck.vlan, truck.domain, leader_of(truck).device) == ("AUDIO", 10, "CON-1")
    assert (house.vlan, house.domain, leader_of(house).device) == ("FAC", 0, "FAC")
    assert "GW-1" in truck.devices
    assert "GW-1" in house.devices
    assert after_join(truck, house).disturbed == ()


@pytest.mark.parametrize("gone", ["H-2", "F-70", "MC-1", "FAC", "GW-1"])
def test_unplugging_the_facility_changes_no_leader_of_the_truck(gone: str) -> None:
    ask = ask_of(Draft.example("medium"))
    left = after_loss(ask, gone).groups["AUDIO", 10]
    assert [leader_of(island).device for island in left] == ["CON-1"]


def test_a_one_sided_vlan_parts_the_clocks() -> None:
    native = "S1: {optic: O1S-U, tagged: [MGMT, INET, IPCAM, COMMS], native: AUDIO}"
    islands = ask_of(Draft.example().sub("rig.yaml", "S1: {optic: O1S-U}", native))(clock).islands
    assert [island.devices for island in islands] == [("CON-1", "REC-1"), ("SB-1",)]
    assert islands[0].cut_off is None
    assert islands[1].cut_off is not None
    assert "F-01" in " ".join(islands[1].cut_off.keys)


def test_without_a_network_the_settings_alone_make_the_islands() -> None:
    text = """
devices:
  A: {kind: console-96, clock: {priority1: 100}}
  B: {kind: stage-box-24x12, clock: {priority1: 110}}
  C: {kind: stage-box-24x12, clock: {domain: 1}}
"""
    assert led(ask_of(Draft({"show.yaml": text}))(clock)) == {"A": "A", "B": "A", "C": "C"}


def test_a_box_that_rides_along_unplugged_takes_no_part() -> None:
    draft = Draft.example().sub(
        "rig.yaml", "  DEC-1: {kind", "  SB-9: {kind: stage-box-24x12, clock: {priority1: 1}}\n  DEC-1: {kind"
    )
    assert "SB-9" not in led(ask_of(draft)(clock))


def test_equal_priorities_without_hardware_addresses_are_undecided() -> None:
    draft = Draft.example().sub("rig.yaml", "priority1: 110", "priority1: 100")
    (island,) = ask_of(draft)(clock).islands
    assert {member.device for member in island.tied} == {"CON-1", "SB-1"}
    assert not island.tied_next
    assert after_join(island, island).leader is None


def test_two_followers_only_and_nobody_else_have_no_leader() -> None:
    text = "devices:\n  A: {kind: console-96, clock: {role: follower only}}\n  B: {kind: recorder-32, clock: {role: follower only}}\n"
    (island,) = ask_of(Draft({"show.yaml": text}))(clock).islands
    assert island.leader is None
    assert {island.decision(member) for member in island.members} == {Code.LISTENING}


@pytest.mark.parametrize("seed", range(40))
def test_each_island_has_one_leader_that_all_hear_and_none_beats(seed: int) -> None:
    """The election written otherwise: every port decides for itself by what it hears, as IEEE 1588 has it."""
    ask = ask_of(clock_show(random.Random(seed)))
    net = ask(network)
    for island in ask(clock).islands:
        codes = [island.decision(member) for member in island.members]
        able = [member for member in island.members if member.can_lead]
        assert codes.count(Code.M2) == (1 if able else 0)
        if able:
            leader = leader_of(island)
            assert all(compared(leader.data, other.data).sign < 0 for other in able if other is not leader)
            for member in island.members:
                assert net.journey(leader.ports[0], member.ports[0], "AUDIO").arrives
                assert net.journey(member.ports[0], leader.ports[0], "AUDIO").arrives


@pytest.mark.parametrize("seed", range(40))
def test_removing_a_clock_changes_no_leader_unless_it_led(seed: int) -> None:
    """Law."""
    ask = ask_of(clock_show(random.Random(seed)))
    before = led(ask(clock))
    for gone in before:
        after = led(after_loss(ask, gone))
        assert set(after) == set(before) - {gone}
        for device, leader in after.items():
            assert leader == before[device] or before[device] == gone


@pytest.mark.parametrize("seed", range(40))
def test_a_lost_cable_joins_nothing_and_the_shortcut_is_right(seed: int) -> None:
    """Law: devices led together without a cable were led together with it; what the short way says, the long way says."""
    ask = ask_of(clock_show(random.Random(seed)))
    before = led(ask(clock))
    for cable in ask.model.cables:
        after = after_loss(ask, cable)
        assert led(after) == led(clock(Ask(without(ask.model, cable))))
        for island in after.islands:
            assert len({before[device] for device in island.devices}) == 1


@pytest.mark.parametrize("seed", range(40))
def test_the_second_is_the_one_elected_when_the_leader_is_taken_out_of_the_plan(seed: int) -> None:
    ask = ask_of(clock_show(random.Random(seed), ties=seed % 2 == 1))
    for island in ask(clock).islands:
        if island.leader is None:
            continue
        short = [part.leader.device if part.leader else "" for part in without_leader(ask, island)]
        long = after_loss(ask, island.leader.device)
        full = [part for part in long.islands if set(part.devices) & set(island.devices)]
        assert short == [part.leader.device if part.leader else "" for part in full]


@pytest.mark.parametrize("seed", range(20))
def test_joining_two_islands_gives_the_leader_of_the_better_one(seed: int) -> None:
    islands = ask_of(clock_show(random.Random(seed), clocks=8))(clock).islands
    for first in islands:
        for second in islands:
            join = after_join(first, second)
            if first.domain != second.domain or not (first.leader and second.leader):
                continue
            if first is second:
                assert join.leader is None
                continue
            assert join.leader in {first.leader, second.leader}
            loser = second if join.leader is first.leader else first
            assert join.disturbed == loser.devices
