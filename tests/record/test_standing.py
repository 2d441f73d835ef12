"""What stands on a row does not depend on the order in which operations came; people who differ are both kept."""

from __future__ import annotations

import random

from hypothesis import given
from hypothesis import strategies as st

from support.operations import DEVICES, crews, tick
from tailboard.record.operations import Kept, Operation
from tailboard.record.standing import Standing, standings

ANN, BEN, CAT = DEVICES


def stood(operations: list[Operation]) -> dict[tuple[str, str], Standing]:
    return standings(Kept(number, 0, one) for number, one in enumerate(operations, 1))


def told(operations: list[Operation]) -> dict[tuple[str, str], tuple[list[str], list[str], bool]]:
    return {
        row: ([one.operation.id for one in found.kept], [one.operation.id for one in found.history], found.conflict)
        for row, found in stood(operations).items()
    }


@given(crews(), st.randoms(use_true_random=False))
def test_any_order_gives_the_same(operations: list[Operation], rng: random.Random) -> None:
    shuffled = [*operations]
    rng.shuffle(shuffled)
    assert told(shuffled) == told(operations)


@given(crews())
def test_nothing_is_lost_and_something_stands_on_every_row(operations: list[Operation]) -> None:
    found = stood(operations)
    assert sorted(one.operation.id for row in found.values() for one in row.history) == sorted(
        one.id for one in operations
    )
    assert all(row.kept for row in found.values())


def test_two_people_who_did_not_see_each_other_differ() -> None:
    row = stood([tick(ANN, 1, verdict="pass"), tick(BEN, 1, verdict="fault")])["tick", "line 7"]
    assert row.conflict
    assert {one.operation.by for one in row.kept} == {"Ann", "Ben"}


def test_whoever_saw_the_other_replaces() -> None:
    fault = tick(ANN, 1, verdict="fault")
    row = stood([fault, tick(BEN, 1, verdict="pass", replaces=(fault.id,))])["tick", "line 7"]
    assert not row.conflict
    assert row.verdicts == ("pass",)
    assert len(row.history) == 2


def test_one_page_replaces_its_own_even_with_a_clock_set_back() -> None:
    row = stood([tick(ANN, 1, verdict="fault", at_ms=9000), tick(ANN, 2, verdict="pass", at_ms=1000)])["tick", "line 7"]
    assert row.verdicts == ("pass",)


def test_the_same_said_twice_and_a_later_are_no_conflict() -> None:
    row = stood([tick(ANN, 1, verdict="pass"), tick(BEN, 1, verdict="pass"), tick(CAT, 1, verdict="later")])[
        "tick", "line 7"
    ]
    assert not row.conflict
    assert row.verdicts == ("pass",)


def test_two_readings_that_differ_are_a_conflict() -> None:
    reads = [
        tick(device, 1, "light SW-B/S1", "read", sort="measured", value=value)
        for device, value in ((ANN, "-8"), (BEN, "-9"))
    ]
    assert stood(reads)["measured", "light SW-B/S1"].conflict


def test_operations_that_all_replace_one_another_all_stand() -> None:
    one, other = (
        tick(ANN, 1, verdict="pass", replaces=(f"{BEN}-1",)),
        tick(BEN, 1, verdict="fault", replaces=(f"{ANN}-1",)),
    )
    assert len(stood([one, other])["tick", "line 7"].kept) == 2


def test_an_operation_replaces_nothing_on_another_row() -> None:
    one = tick(ANN, 1, "line 7")
    assert len(stood([one, tick(BEN, 1, "line 8", replaces=(one.id,))])["tick", "line 7"].kept) == 1
