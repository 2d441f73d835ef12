"""Random variants of packets that come too late, and harmless neighbours."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import cache

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.delay import Arrival, arrivals
from tailboard.rules.delay import link_offset_short, packet_late
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.planedits import Plan, bases

S_PER_M = 4.9e-9  # light in glass of index 1.468
KM = 1e3


@cache
def arriving() -> dict[int, tuple[Arrival, ...]]:
    """Return the arrivals of each clean show that can be late: all their figures are known."""
    return {
        id(model): tuple(found for found in Ask(model)(arrivals) if found.reserve_s is not None) for _, model in bases()
    }


def drawn(rng: random.Random, fits: Callable[[Arrival], object] = bool) -> tuple[Plan, Arrival]:
    """Return a clean show and an arrival of it, drawn at random among those that fit."""
    while True:
        plan = Plan.of(rng)
        fitting = [found for found in arriving()[id(plan.model)] if fits(found)]
        if fitting:
            return plan, rng.choice(fitting)


def claim_of(found: Arrival) -> str:
    """Return the id of the claim on an arrival."""
    return ":".join(("packet-late", *found.subject))


def figures(found: Arrival) -> tuple[float, float, float]:
    """Return packet time, least link offset and reserve of an arrival. [s]"""
    assert found.flow.period_s is not None
    assert found.needed_s is not None
    assert found.reserve_s is not None
    return found.flow.period_s, found.needed_s, found.reserve_s


def us(seconds: float) -> str:
    """Return a time as a user writes it."""
    return f"{1e6 * seconds:.2f} us"


def late(rng: random.Random) -> tuple[Draft, str]:
    plan, found = drawn(rng)
    period_s, needed_s, reserve_s = figures(found)
    match rng.randrange(3):
        case 0:
            plan.put("devices", found.receiver, link_offset=us(rng.uniform(period_s + 1e-6, needed_s - 1e-6)))
        case 1:
            cable = rng.choice(found.hops).cable
            plan.put("cables", cable, length=f"{(reserve_s / S_PER_M + rng.uniform(500, 9000)) / KM:.3f} km")
        case _:
            plan.tree("show.yaml")["arrival reserve"] = us(reserve_s + rng.uniform(0.1e-6, 90e-6))
    return plan.draft, claim_of(found)


def in_time(rng: random.Random) -> Draft:
    plan, found = drawn(rng)
    match rng.randrange(3):
        case 0:
            others = [item for item in arriving()[id(plan.model)] if item.receiver == found.receiver]
            needed_s = max(figures(item)[1] for item in others)
            plan.put("devices", found.receiver, link_offset=us(needed_s + rng.uniform(0.1e-6, 2e-3)))
        case 1:
            cable = rng.choice(found.hops).cable
            passing = [item for item in arriving()[id(plan.model)] if any(hop.cable == cable for hop in item.hops)]
            least_s = min(figures(item)[2] for item in passing)
            plan.put("cables", cable, length=f"{rng.uniform(1, least_s / S_PER_M) / KM:.3f} km")
        case _:
            least_s = min(figures(item)[2] for item in arriving()[id(plan.model)])
            plan.tree("show.yaml")["arrival reserve"] = us(rng.uniform(0, least_s - 0.1e-6))
    return plan.draft


def too_short(rng: random.Random) -> tuple[Draft, str]:
    plan, found = drawn(rng)
    period_s, _, _ = figures(found)
    plan.put("devices", found.receiver, link_offset=us(period_s * rng.uniform(0.05, 1.0)))
    return plan.draft, f"link-offset-short:{found.receiver}"


def long_enough(rng: random.Random) -> Draft:
    plan, found = drawn(rng)
    periods_s = [figures(item)[0] for item in arriving()[id(plan.model)] if item.receiver == found.receiver]
    plan.put("devices", found.receiver, link_offset=us(max(periods_s) + rng.uniform(0.1e-6, 1e-3)))
    return plan.draft


CASES: dict[str, tuple[Fault, Harmless]] = {
    "packet-late": (late, in_time),
    "link-offset-short": (too_short, long_enough),
}
MODULES = {module.RULE.name: module for module in (packet_late, link_offset_short)}


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
