"""Copper between earths and loads on breakers, on the examples and on small plans."""

from __future__ import annotations

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.copper import Copper, copper
from tailboard.answers.power import Power, power
from tailboard.physics.earth import Way


def links(draft: Draft) -> dict[str, Copper]:
    return {link.cable: link for link in copper(Ask(draft.read().model))}


def powered(text: str) -> Power:
    return power(Ask(Draft({"show.yaml": text}).read().model))


@pytest.mark.parametrize("example", ["small", "medium"])
def test_no_copper_of_the_examples_runs_between_two_earths(example: str) -> None:
    found = links(Draft.example(example))
    assert len(found) > 30
    assert all(link.is_known for link in found.values())
    assert not [name for name, link in found.items() if link.crosses and link.way is not Way.NONE]


def test_a_strand_is_no_copper_and_a_microphone_has_no_earth() -> None:
    found = links(Draft.example())
    assert "F-01" not in found
    assert "M-01" not in found
    assert found["M-05"].devices == ("RXR-1", "SB-1")
    assert found["T-01"].way is Way.NONE


def test_a_device_may_have_another_supply_than_its_place() -> None:
    moved = Draft.example().sub(
        "rig.yaml", "  ICM-2: {kind: access-point,", "  ICM-2: {kind: access-point, supply: GEN,"
    )
    assert links(moved)["C-05"].earths == ("EH", "ET")
    assert links(moved)["C-05"].crosses


def test_a_screen_may_be_said_at_the_cable() -> None:
    old = "C-05: {kind: cat solid, length: 20 m"
    assert links(Draft.example())["C-05"].way is Way.DATA
    assert links(Draft.example().sub("rig.yaml", old, f"{old}, screened: yes"))["C-05"].way is Way.SCREEN
    lifted = f"{old}, screened: yes, screen lifted: yes"
    assert links(Draft.example().sub("rig.yaml", old, lifted))["C-05"].way is Way.LIFTED


PLAN = """
supplies: {GEN: {earth: ET, breakers: {B1: 100 W, B2: 1 kW}}}
places: {rack: {supply: GEN}}
devices:
  SW-A: {kind: switch-8-copper-2-sfp, place: rack, breaker: B1}
  PNL-1: {kind: key-panel, place: rack}
  REC-1: {kind: recorder-32, place: rack, breaker: B2, load: 75 W}
  DI-1: {kind: active-di, place: rack}
  PC-1: {kind: computer, place: rack, breaker: B2}
switches: {SW-A: {1: {PoE: on}}}
cables: {C-1: {kind: cat solid, length: 5 m, from: SW-A/1, to: PNL-1}}
"""


def test_loads_by_breaker() -> None:
    """The switch draws 25 W by its kind and feeds 7 W to the panel; the recorder's own figure goes before its kind's."""
    first, second = powered(PLAN).breakers
    assert {load.device: (load.power_w, load.fed_by) for load in first.loads} == {
        "SW-A": (25.0, None), "PNL-1": (7.0, "SW-A"),
    }  # fmt: skip
    assert first.sum_w == 32.0
    assert second.sum_w == 75.0
    assert second.unknown == ("PC-1",)
    assert powered(PLAN).unassigned == {}


def test_a_panel_on_a_port_without_power_draws_nothing_there() -> None:
    assert [load.device for load in powered(PLAN.replace("{PoE: on}", "{PoE: off}")).breakers[0].loads] == ["SW-A"]


def test_a_single_breaker_takes_all_and_of_several_it_must_be_said() -> None:
    one = powered(PLAN.replace(", B2: 1 kW", "").replace(", breaker: B1", "").replace(", breaker: B2", ""))
    assert one.breakers[0].sum_w == 107.0
    open_ones = powered(PLAN.replace(", breaker: B2", ""))
    assert open_ones.unassigned == {"GEN": ("REC-1", "PC-1")}


def test_without_breakers_nothing_is_added_up() -> None:
    assert powered(PLAN.replace(", breakers: {B1: 100 W, B2: 1 kW}", "")) == Power()
