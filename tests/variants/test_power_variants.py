"""Random variants of the power and earth faults, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.model.show import device_of
from tailboard.rules import power
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.planedits import Plan


def copper(plan: Plan) -> list[tuple[str, str, str]]:
    """Return the copper cables that no transformer parts, with the devices at their ends."""
    found = []
    devices = set(plan.devices(lambda device: plan.model.supply_of(device.id)))
    for name in plan.cables(lambda cable: plan.medium(cable) not in {"", "fibre"}):
        cable, kind = plan.model.cables[name], plan.model.cable_kind(name)
        ends = device_of(cable.end_a or ""), device_of(cable.end_b or "")
        if kind and not kind.isolated and ends[0] != ends[1] and devices.issuperset(ends):
            found.append((name, *ends))
    return found


def other_earth(plan: Plan, device: str) -> str:
    """Return a supply with another earth than that of a device: one of the plan, or a new one."""
    own = plan.model.supplies[plan.model.supply_of(device) or ""].earth
    others = [name for name, supply in plan.model.supplies.items() if supply.earth != own]
    if plan.rng.random() < 0.5:
        return plan.rng.choice(others)
    name = f"U-{plan.rng.randrange(1000)}"
    plan.put("supplies", name, earth=f"E-{plan.rng.randrange(1000)}")
    return name


def joins_earths(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    name, *ends = rng.choice(copper(plan))
    device = rng.choice(ends)
    plan.put("devices", device, supply=other_earth(plan, device))
    if rng.random() < 0.3:
        plan.put("cables", name, screened=rng.choice(["yes", "no"]), screen_lifted=rng.choice(["yes", "no"]))
    return plan.draft, f"copper-joins-earths:{name}"


def same_earth_or_parted(rng: random.Random) -> Draft:
    """Another supply on the same earth; or another earth at the end of cables that a transformer parts."""
    plan = Plan.of(rng)
    _, *ends = rng.choice(copper(plan))
    device = rng.choice(ends)
    if rng.random() < 0.5:
        earth = plan.model.supplies[plan.model.supply_of(device) or ""].earth
        supply = f"U-{rng.randrange(1000)}"
        return plan.put("supplies", supply, earth=earth).put("devices", device, supply=supply).draft
    for cable, record in plan.model.cables.items():
        if device in {device_of(record.end_a or ""), device_of(record.end_b or "")}:
            if plan.in_range("cables", cable):
                return plan.remark()
            plan.put("cables", cable, kind="transformer line")
    return plan.put("devices", device, supply=other_earth(plan, device)).draft


def supply_unknown(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    _, *ends = rng.choice(copper(plan))
    device = rng.choice([end for end in ends if plan.model.devices[end].supply is None])
    plan.put("places", plan.model.devices[device].place or "", supply=None)
    return plan.draft, f"supply-unknown:{device}"


def supply_of_its_own(rng: random.Random) -> Draft:
    """A place without a supply whose devices each have their own."""
    plan = Plan.of(rng)
    place = rng.choice([name for name, record in plan.model.places.items() if record.supply])
    supply = plan.model.places[place].supply
    plan.put("places", place, supply=None, note=f"remark {rng.randrange(1000)}")
    for name, device in plan.model.devices.items():
        if device.place == place and not plan.in_range("devices", name):
            plan.put("devices", name, supply=supply)
    return plan.draft


def overloaded(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    device = rng.choice(plan.devices(lambda record: plan.model.supply_of(record.id)))
    supply = plan.model.supply_of(device) or ""
    limit_w = rng.randint(100, 4000)
    loads = [rng.randint(1, limit_w) for _ in range(2)]
    breakers = {"B1": f"{limit_w} W", **({"B2": "9 kW"} if rng.random() < 0.5 else {})}
    plan.put("supplies", supply, breakers=breakers)
    plan.put("devices", device, breaker="B1", load=f"{loads[0]} W")
    other = f"AMP-{rng.randrange(1000)}"
    plan.put(
        "devices",
        other,
        kind="power-amplifier-2",
        supply=supply,
        breaker="B1",
        load=f"{limit_w - loads[0] + loads[1]} W",
    )
    return plan.draft, f"breaker-overloaded:{supply}:B1"


def within_the_breaker(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    supply = rng.choice(list(plan.model.supplies))
    return plan.put("supplies", supply, breakers={"B1": f"{rng.randint(20, 200)} kW"}).draft


CASES: dict[str, tuple[Fault, Harmless]] = {
    "copper-joins-earths": (joins_earths, same_earth_or_parted),
    "supply-unknown": (supply_unknown, supply_of_its_own),
    "breaker-overloaded": (overloaded, within_the_breaker),
}
MODULES = {module.RULE.name: module for module in power.MODULES}


def test_every_rule_has_variants() -> None:
    assert set(CASES) == set(MODULES)


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
