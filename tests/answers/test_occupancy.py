"""What is used and what is free, on the small show and on generated ones."""

from __future__ import annotations

import random
from itertools import islice

import pytest

from rules.examples import show
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import LINE_JACKS, Occupancy, occupancy


def used(draft: Draft) -> Occupancy:
    """Return the occupancy of a show."""
    return Ask(draft.read().model)(occupancy)


def test_the_unused_holes_are_those_the_scenario_lists() -> None:
    """The small scenario: SB-1/17-24 and o9-12 unused; CON-1/a3-8, o4 and o7-8 unused; four-wires 3 and 4 unused."""
    found = used(Draft.example())
    assert found.free_jacks("SB-1", "in") == tuple(map(str, range(17, 25)))
    assert found.free_jacks("SB-1", "out") == ("o9", "o10", "o11", "o12")
    assert found.free_jacks("CON-1", "in") == ("a3", "a4", "a5", "a6", "a7", "a8")
    assert found.free_jacks("CON-1", "out") == ("o4", "o7", "o8")
    assert found.free_jacks("ICM-1", "in") == ("4W2in", "4W3in", "4W4in")
    assert found.free_jacks("ICM-1", "out") == ("4W3out", "4W4out")


def test_the_free_strips_follow_the_last_line() -> None:
    assert used(Draft.example()).free_strips("CON-1") == tuple(map(str, range(17, 97)))


def test_addresses_of_devices_queriers_and_dhcp_are_not_free() -> None:
    found = used(Draft.example())
    audio = list(found.free_addresses("AUDIO"))
    assert audio[:9] == [f"10.41.20.{host}" for host in (1, 4, 5, 6, 7, 8, 9, 11, 12)]
    assert not {"10.41.20.21", "10.41.20.30"} & set(audio)
    assert len(audio) == 254 - 5  # 254 hosts of a /24; CON-1, SB-1, REC-1 and the two queriers
    office = set(found.free_addresses("INET"))
    assert not {f"10.41.30.{host}" for host in range(100, 200)} & office
    assert {"10.41.30.99", "10.41.30.200"} <= office


def test_a_vlan_without_a_subnet_has_no_free_address() -> None:
    assert not list(used(Draft.example()).free_addresses("PARK"))


def test_a_large_subnet_is_not_written_out_to_find_the_first_address() -> None:
    draft = show("# show.yaml\nvlans:\n  WIDE: {id: 7, subnet: 10.0.0.0/8}\n")
    assert list(islice(used(draft).free_addresses("WIDE"), 2)) == ["10.0.0.1", "10.0.0.2"]


def test_users_stand_by_device_and_jack_in_the_order_written() -> None:
    draft = show("""
# lines.csv
line,hole,strip,goes to
2,B/1,C/7,
1,B/1,"C/8, D/8",X/in
""")
    found = used(draft)
    assert found.holes == {"B": {"1": ("2", "1")}}
    assert found.strips == {"C": {"7": ("2",), "8": ("1",)}, "D": {"8": ("1",)}}
    assert found.goals == {"X": {"in": ("1",)}}


def test_only_plugged_cables_take_a_jack() -> None:
    draft = Draft.example().sub(
        "rig.yaml", "O-07: {kind: line,", "X-1: {kind: line, from: SB-1/o9, state: laid}\n  O-07: {kind: line,"
    )
    assert "o9" in used(draft).free_jacks("SB-1", "out")
    plugged = Draft.example().sub(
        "rig.yaml", "O-07: {kind: line,", "X-1: {kind: line, from: SB-1/o9}\n  O-07: {kind: line,"
    )
    assert "o9" not in used(plugged).free_jacks("SB-1", "out")


@pytest.mark.parametrize("seed", range(8))
def test_every_jack_is_either_used_or_free(seed: int) -> None:
    draft = synthetic(random.Random(seed), 12 + 6 * seed)
    found = used(draft)
    for device in found.model.devices:
        ports = found.model.kind_of(device).ports or {}
        for way, tables in (("in", (found.holes, found.goals)), ("out", (found.outputs,))):
            jacks = {name for name, port in ports.items() if port.medium in LINE_JACKS and port.way in {way, "both"}}
            taken = {jack for table in tables for jack in table.get(device, {})}
            taken |= {port.partition("/")[2] for port in found.cables if port.startswith(f"{device}/")}
            free = set(found.free_jacks(device, way))
            assert free | (taken & jacks) == jacks
            assert not free & taken
