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


def window_dbm(plan: Plan, name: str, sender: Optic) -> tuple[float, float]:
    """Return what usually arrives over a strand: planning values, second-hand, and 0.3 dB a mated pair, no source."""
    cable = plan.model.cables[name]
    per_km_db = 0.35 if (sender.tx_nm or 0) < 1500 else 0.22
    lost_db = per_km_db * sum(cable.pieces_m or ()) / 1e3 + 0.3 * (cable.mated_pairs or 0) + 0.15 * cable.splices
    assert sender.tx_dbm
    return sender.tx_dbm[0] - lost_db, sender.tx_dbm[1] - lost_db


def read_at(plan: Plan, port: str, *read_dbm: float) -> Draft:
    """Return the show with light read at a port."""
    device, _, jack = port.partition("/")
    draft = plan.draft
    draft.files["found/zz-light.yaml"] = (
        f"ports: {{{device}: {{{jack}: {{RX power: [{', '.join(f'{value:.2f} dBm' for value in read_dbm)}]}}}}}}\n"
    )
    return draft


def received_end(plan: Plan) -> tuple[str, tuple[float, float], Optic]:
    """Return an end of a strand, what is expected there, and its module."""
    name, one, other = strand_with_optics(plan)
    cable = plan.model.cables[name]
    if plan.rng.random() < 0.5:
        return cable.end_b or "", window_dbm(plan, name, one), other
    return cable.end_a or "", window_dbm(plan, name, other), one


def light_differs(rng: random.Random) -> tuple[Draft, str]:
    """Too little, far too little, far too much, or readings that move."""
    plan = Plan.of(rng)
    port, (least, most), receiver = received_end(plan)
    assert receiver.rx_dbm
    match rng.randrange(4):
        case 0:
            read = [least - rng.uniform(0.1, 3)]
        case 1:
            read = [receiver.rx_dbm[0] - rng.uniform(0.1, 15)]
        case 2:
            read = [receiver.rx_dbm[1] + rng.uniform(0.1, 6)]
        case _:
            read = [most - 0.1 - rng.uniform(1.2, 3), most - 0.1]
            rng.shuffle(read)
    return read_at(plan, port, *read), f"received-light-differs:{port}"


def light_as_expected(rng: random.Random) -> Draft:
    """Within the window, once or several times with little between."""
    plan = Plan.of(rng)
    port, (least, most), _ = received_end(plan)
    middle = rng.uniform(least + 0.5, most - 0.5)
    return read_at(plan, port, *(middle + rng.uniform(-0.45, 0.45) for _ in range(rng.randint(1, 4))))


CASES: dict[str, tuple[Fault, Harmless]] = {
    "light-too-weak": (too_weak, strong_enough),
    "light-too-strong": (too_strong, weak_enough),
    "reach-exceeded": (reach_exceeded, within_reach),
    "received-light-differs": (light_differs, light_as_expected),
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
