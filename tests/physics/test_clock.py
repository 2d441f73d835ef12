"""The clock of IEEE 1588 against published values. The decision code was read in the open implementation linuxptp."""

from __future__ import annotations

import doctest
import itertools
import random
from dataclasses import replace

import pytest

from tailboard.physics import clock
from tailboard.physics.clock import ACCURACY_WORDS, CLASS_WORDS, By, Code, Comparison, DataSet, compared, state_decision


def test_the_examples_in_the_documents_of_the_formulas_hold() -> None:
    result = doctest.testmod(clock)
    assert result.attempted
    assert not result.failed


def test_the_default_profile_of_ieee_1588() -> None:
    """PTP-18: IEEE 1588-2008 Annex J, the values as they stand in linuxptp configs/default.cfg (read there)."""
    assert DataSet() == DataSet(128, 248, 0xFE, 0xFFFF, 128)


def test_the_order_of_comparison() -> None:
    """PTP-11: IEEE 1588-2008 9.3.4, read in linuxptp bmc.c dscmp(): a better earlier figure beats all later ones."""
    plain = figures(5, 5, 5, 5, 5, b"\5" * 8)
    lower, higher = (4, 4, 4, 4, 4, b"\4" * 8), (6, 6, 6, 6, 6, b"\6" * 8)
    order = (By.PRIORITY1, By.CLASS, By.ACCURACY, By.VARIANCE, By.PRIORITY2, By.IDENTITY)
    for place, by in enumerate(order):
        equal = (5,) * place if place < 5 else (5,) * 5
        better = figures(*equal, lower[place], *higher[place + 1 :])
        assert compared(better, plain) == Comparison(-1, by)
        assert compared(plain, better) == Comparison(1, by)


def figures(*values: int | bytes) -> DataSet:
    """Return a data set of priority1, class, accuracy, variance, priority2 and identity."""
    *numbers, identity = values
    assert isinstance(identity, bytes)
    first, clock_class, accuracy, variance, second = map(int, numbers)
    return DataSet(first, clock_class, accuracy, variance, second, identity)


def test_priority1_before_class() -> None:
    """PTP-12, derived by walking linuxptp's dscmp(): priority1 127 with class 248 beats priority1 128 with class 6."""
    assert compared(DataSet(128, 6), DataSet(127, 248)) == Comparison(1, By.PRIORITY1)


def test_class_before_accuracy() -> None:
    """PTP-13, derived by walking linuxptp's dscmp(): class 6 with accuracy 0x21 beats class 7 with accuracy 0x20."""
    assert compared(DataSet(128, 6, 0x21), DataSet(128, 7, 0x20)) == Comparison(-1, By.CLASS)


def test_the_lower_identity_decides_last() -> None:
    """PTP-14, derived by walking linuxptp's dscmp(): identities ...01 and ...02, all else equal."""
    first, second = DataSet(identity=bytes(7) + b"\1"), DataSet(identity=bytes(7) + b"\2")
    assert compared(first, second) == Comparison(-1, By.IDENTITY)


def test_identities_that_are_not_known_decide_nothing() -> None:
    assert compared(DataSet(), DataSet()) == Comparison(0, By.IDENTITY)
    assert compared(DataSet(identity=b"\1" * 8), DataSet()).sign == 0


LEADER = b"\5" * 8


def seen(steps: int, sender: bytes = b"\1" * 10, receiver: bytes = b"\2" * 10) -> DataSet:
    return DataSet(identity=LEADER, steps_removed=steps, sender=sender, receiver=receiver)


def test_one_step_beats_three_outright() -> None:
    """PTP-15, derived by walking linuxptp's dscmp2(): IEEE 1588-2008 Figure 28."""
    assert compared(seen(1), seen(3)) == Comparison(-1, By.STEPS)


@pytest.mark.parametrize(
    ("receiver", "sender", "expected"),
    [(b"\1", b"\2", Comparison(-1, By.STEPS)), (b"\2", b"\1", Comparison(-1, By.TOPOLOGY)),
     (b"\1", b"\1", Comparison(0, By.NOTHING))],
)  # fmt: skip
def test_one_step_against_two_looks_at_the_ports_of_the_longer_way(
    receiver: bytes, sender: bytes, expected: Comparison
) -> None:
    """PTP-16, derived by walking linuxptp's dscmp2(): receiver below sender is better, above is better by topology."""
    longer = seen(2, sender * 10, receiver * 10)
    assert compared(seen(1), longer) == expected
    assert compared(longer, seen(1)) == Comparison(-expected.sign, expected.by)


def test_equal_ways_are_decided_by_the_sender_then_by_the_receiving_port() -> None:
    """As in linuxptp's dscmp2(), last part (read there)."""
    assert compared(seen(1, b"\1" * 10), seen(1, b"\2" * 10)) == Comparison(-1, By.TOPOLOGY)
    low, high = LEADER + b"\0\1", LEADER + b"\0\2"
    assert compared(seen(1, receiver=low), seen(1, receiver=high)) == Comparison(-1, By.TOPOLOGY)
    assert compared(seen(1), seen(1)) == Comparison(0, By.NOTHING)


def test_clock_accuracy_words() -> None:
    """PTP-24: IEEE 1588-2008 Table 6, read in several independent public copies."""
    assert [ACCURACY_WORDS[code] for code in (0x20, 0x21, 0x25, 0x29, 0x2F, 0x31, 0xFE)] == [
        "25 ns", "100 ns", "10 us", "1 ms", "1 s", "more than 10 s", "unknown",
    ]  # fmt: skip
    assert len(ACCURACY_WORDS) == 0x31 - 0x20 + 2


def test_clock_class_words() -> None:
    """PTP-25: IEEE 1588-2008 Table 5; 7, 14, 248, 255 second-hand, 6 and 13 from memory."""
    assert "holdover" in CLASS_WORDS[7]
    assert "holdover" in CLASS_WORDS[14]
    assert CLASS_WORDS[248] == "the default"
    assert CLASS_WORDS[255] == "follower only"


def test_a_hardware_address_becomes_a_clock_identity() -> None:
    """PTP-10: IEEE 1588-2008 7.5.2.2 as linuxptp util.c has it; the result stands in RFC 7273's examples (read)."""
    assert clock.identity_of_mac("39-A7-94-07-CB-D0") == bytes.fromhex("39A794FFFE07CBD0")
    assert clock.identity_of_mac("39:a7:94:07:cb:d0") == bytes.fromhex("39A794FFFE07CBD0")
    with pytest.raises(ValueError, match="six bytes"):
        clock.identity_of_mac("39-A7-94")


@pytest.mark.parametrize(("apart_ppm", "interval_s", "digit_s"), [(1, 20.8, 0.05), (10, 2.1, 0.05), (50, 0.42, 0.005)])
def test_slips_at_48_khz(apart_ppm: float, interval_s: float, digit_s: float) -> None:
    """Arithmetic, by hand: 1/(48,000 x ppm) to the digits given."""
    assert clock.slip_interval_s(48e3, apart_ppm) == pytest.approx(interval_s, abs=digit_s)
    with pytest.raises(ValueError, match="above zero"):
        clock.slip_interval_s(48e3, 0.0)


def random_set(rng: random.Random) -> DataSet:
    way = [bytes([rng.randrange(1, 4)]) * 10 for _ in range(2)]
    own = figures(*(rng.choice([1, 2, 128]) for _ in range(5)), bytes([rng.randrange(3)]) * 8)
    return replace(own, steps_removed=rng.randrange(4), sender=way[0], receiver=way[1])


def test_comparison_is_the_same_from_both_sides() -> None:
    """Law: swapping the two swaps the result."""
    rng = random.Random(1)
    for _ in range(2000):
        first, second = random_set(rng), random_set(rng)
        ours, theirs = compared(first, second), compared(second, first)
        assert (ours.sign, ours.by) == (-theirs.sign, theirs.by)


def test_different_leaders_are_in_one_order() -> None:
    """Law: among clocks that announce themselves, better than a better one is better."""
    rng = random.Random(2)
    for _ in range(300):
        sets = [figures(*(rng.choice([1, 2]) for _ in range(5)), bytes([n]) * 8) for n in range(1, 5)]
        for first, second, third in itertools.permutations(sets, 3):
            if compared(first, second).sign < 0 and compared(second, third).sign < 0:
                assert compared(first, third).sign < 0


OWN, BETTER, WORSE = DataSet(100, identity=b"\1" * 8), DataSet(90, identity=b"\2" * 8), DataSet(200, identity=b"\3" * 8)


@pytest.mark.parametrize(
    ("own", "here", "of_all", "code"),
    [
        (OWN, None, None, Code.M2),
        (OWN, WORSE, WORSE, Code.M2),
        (OWN, BETTER, BETTER, Code.S1),
        (OWN, WORSE, BETTER, Code.M3),
        (OWN, None, BETTER, Code.M3),
        (DataSet(100, 6, identity=b"\1" * 8), WORSE, WORSE, Code.M1),
        (DataSet(100, 6, identity=b"\1" * 8), BETTER, BETTER, Code.P1),
        (DataSet(255, 255), BETTER, BETTER, Code.S1),
        (DataSet(255, 255), None, None, Code.LISTENING),
    ],
)
def test_the_decision_codes(own: DataSet, here: DataSet | None, of_all: DataSet | None, code: Code) -> None:
    """The codes stand beside the returns of linuxptp's bmc_state_decision() (read there), IEEE 1588-2008 Figure 26."""
    assert state_decision(own, here, of_all) is code
    assert code.words


def test_a_second_way_to_the_same_leader_is_silent() -> None:
    """P2 of the same function: the best of all beats this port's best by topology."""
    best = DataSet(90, identity=LEADER, steps_removed=1, sender=b"\1" * 10)
    other = DataSet(90, identity=LEADER, steps_removed=1, sender=b"\2" * 10)
    assert state_decision(OWN, other, best) is Code.P2
