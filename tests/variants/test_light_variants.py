"""Random variants of the light faults, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.kinds.records import Optic
from tailboard.rules import light
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.planedits import Plan

PAIR_DB = 0.75  # the most a mated pair loses: ANSI/TIA-568, second-hand
KM_DB = 0.5  # the most a kilometre loses: common practice, no source
RESERVE_DB = 3.0  # common practice, no source


def strand_with_optics(plan: Plan) -> tuple[str, Optic, Optic]:
    """Return a strand and the modules at its ends."""
    name = plan.rng.choice(plan.strands())
    cable = plan.model.cables[name]
    optics = plan.model.optic_of(cable.end_a or ""), plan.model.optic_of(cable.end_b or "")
    assert optics[0] is not None
    assert optics[1] is not None
    return name, optics[0], optics[1]


def budget_db(one: Optic, other: Optic) -> float:
    """Return what a strand may lose between two modules, the reserve kept."""
    pairs = ((one.tx_dbm, other.rx_dbm), (other.tx_dbm, one.rx_dbm))
    return min(tx[0] - rx[0] for tx, rx in pairs if tx and rx) - RESERVE_DB


def rewritten(plan: Plan, optic: Optic, **keys: str | None) -> None:
    """Write a module anew under its own name, with some figures changed or left out."""
    assert optic.tx_dbm
    assert optic.rx_dbm
    written: dict[str, str | None] = {
        "rate": f"{(optic.rate_bit_per_s or 1e9) / 1e9:g} G",
        "TX": f"{optic.tx_nm:g} nm",
        "RX": f"{optic.rx_nm:g} nm",
        "TX_power": f"{optic.tx_dbm[0]}..{optic.tx_dbm[1]} dBm",
        "RX_power": f"{optic.rx_dbm[0]}..{optic.rx_dbm[1]} dBm",
        **keys,
    }
    plan.put("optics", optic.id, **written)


def too_weak(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    name, one, other = strand_with_optics(plan)
    spare_db = budget_db(one, other)
    if rng.random() < 0.5:
        plan.put("cables", name, mated_pairs=str(int(spare_db / PAIR_DB) + rng.randint(1, 20)))
    else:
        plan.put("cables", name, length=f"{spare_db / KM_DB + rng.uniform(0.1, 30):.1f} km")
    return plan.draft, f"light-too-weak:{name}"


def strong_enough(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    name, one, other = strand_with_optics(plan)
    length_m = rng.randint(10, 2000)
    pairs = rng.randint(0, int((budget_db(one, other) - KM_DB * length_m / 1e3) / PAIR_DB))
    return plan.put("cables", name, length=f"{length_m} m", mated_pairs=str(pairs)).draft


def too_strong(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    name, one, other = strand_with_optics(plan)
    sender, receiver = rng.sample([one, other], 2)
    assert sender.tx_dbm
    assert receiver.rx_dbm
    most = receiver.rx_dbm[1] + rng.uniform(0.5, 12)
    rewritten(plan, sender, TX_power=f"{sender.tx_dbm[0]}..{most:.2f} dBm")
    return plan.draft, f"light-too-strong:{name}"


def weak_enough(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    _, one, other = strand_with_optics(plan)
    for sender, receiver in ((one, other), (other, one)):
        assert receiver.rx_dbm
        most = receiver.rx_dbm[1] - rng.uniform(1.0, 5.0)
        rewritten(plan, sender, TX_power=f"{most - 1:.2f}..{most:.2f} dBm")
    return plan.draft


def reach_exceeded(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    name, one, other = strand_with_optics(plan)
    length_m = sum(plan.model.cables[name].pieces_m or ())
    rewritten(plan, rng.choice([one, other]), reach=f"{rng.randint(1, int(length_m) - 1)} m")
    return plan.draft, f"reach-exceeded:{name}"


def within_reach(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    _, one, other = strand_with_optics(plan)
    for optic in (one, other):
        rewritten(plan, optic, reach=f"{rng.randint(300, 40000)} m")
    return plan.draft


def unknown(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    name, one, other = strand_with_optics(plan)
    match rng.randrange(3):
        case 0:
            plan.put("cables", name, mated_pairs=None)
        case 1:
            rewritten(plan, rng.choice([one, other]), **{rng.choice(["TX_power", "RX_power"]): None})
        case _:
            kind = f"odd strand {rng.randrange(1000)}"
            plan.put("cable kinds", kind, medium="fibre", isolated="yes").put("cables", name, kind=kind)
    return plan.draft, f"light-unknown:{name}"


CASES: dict[str, tuple[Fault, Harmless]] = {
    "light-too-weak": (too_weak, strong_enough),
    "light-too-strong": (too_strong, weak_enough),
    "reach-exceeded": (reach_exceeded, within_reach),
    "light-unknown": (unknown, strong_enough),
}
MODULES = {module.RULE.name: module for module in light.MODULES}


def test_every_rule_has_variants() -> None:
    assert set(CASES) == set(MODULES)


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
