"""Random variants of the power and earth faults, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.model.show import device_of
from tailboard.rules import power
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.planedits import Plan
from variants.test_power_supplied import CASES as SUPPLIED


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


def measured(plan: Plan, earth: str, other: str, voltage: float) -> Draft:
    """Return the show with a voltage measured between two earths."""
    draft = plan.draft
    draft.files["found/zz-earths.yaml"] = (
        f"read: {{by: electrician {plan.rng.randrange(1000)}}}\nhouse: {{earth voltage: {{{earth} and {other}: {voltage:.2f} V}}}}\n"
    )
    return draft


def two_earths(plan: Plan) -> tuple[str, str]:
    """Return two earths of the plan, the second a new one at times."""
    earths = sorted({supply.earth for supply in plan.model.supplies.values()})
    if len(earths) < 2 or plan.rng.random() < 0.3:
        new = f"E-{plan.rng.randrange(1000)}"
        plan.put("supplies", f"U-{plan.rng.randrange(1000)}", earth=new)
        earths.append(new)
    one, other = plan.rng.sample(earths, 2)
    return one, other


def earth_voltage(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of(rng)
    one, other = two_earths(plan)
    if rng.random() < 0.3:
        name, *ends = rng.choice(copper(plan))
        plan.put("devices", rng.choice(ends), supply=f"U-{name}").put("supplies", f"U-{name}", earth=other)
    draft = measured(plan, one, other, rng.choice([rng.uniform(1.02, 50), rng.uniform(51, 230)]))
    return draft, f"found-earth-voltage:zz-earths:{one} and {other}"


def near_zero(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    return measured(plan, *two_earths(plan), rng.uniform(0, 1))


def powered(rng: random.Random, power_w: float, poe_class: int, pieces_m: list[float]) -> tuple[Draft, str]:
    """Return a show of one switch that feeds one device over joined pieces; small powers of a table of IEEE 802.3."""
    name, switch = f"CAM-{rng.randrange(1000)}", f"SW-{rng.randrange(1000)}"
    port, length = rng.randint(1, 8), " + ".join(f"{piece:.1f} m" for piece in pieces_m)
    text = f"""kinds:
  cam: {{role: camera, PoE power: {power_w:.2f} W, ports: {{net: {{medium: network, way: both, rate: 1 G, PoE class: {poe_class}}}}}}}
devices: {{{switch}: {{kind: switch-8-copper-2-sfp}}, {name}: {{kind: cam}}}}
switches: {{{switch}: {{{port}: {{PoE: on}}}}}}
cables: {{C-1: {{kind: cat solid, length: {length}, from: {switch}/{port}, to: {name}}}}}
"""
    return Draft({"show.yaml": text}), f"poe-lost-in-cable:{name}"


AT_PORT_AND_DEVICE_W = {0: (15.4, 12.95), 1: (4, 3.84), 2: (7, 6.49), 3: (15.4, 12.95), 4: (30, 25.5), 5: (45, 40),
                        6: (60, 51), 7: (75, 62), 8: (90, 71.3)}  # IEEE 802.3, second-hand  # fmt: skip


def lost_in_cable(rng: random.Random) -> tuple[Draft, str]:
    """Nearly all that the port gives, at the end of a long cable."""
    poe_class = rng.randrange(9)
    port_w, device_w = AT_PORT_AND_DEVICE_W[poe_class]
    first = rng.uniform(50, 70)
    return powered(
        rng, port_w - rng.uniform(0, 0.2) * (port_w - device_w), poe_class, [first, rng.uniform(5, 99 - first)]
    )


def reaches_the_device(rng: random.Random) -> tuple[Draft, str]:
    """No more than the class leaves over 100 m; or nearly all, over a few metres."""
    poe_class = rng.randrange(9)
    port_w, device_w = AT_PORT_AND_DEVICE_W[poe_class]
    if rng.random() < 0.5:
        return powered(rng, device_w * rng.uniform(0.2, 1), poe_class, [rng.uniform(1, 99)])
    return powered(rng, port_w - rng.uniform(0.2, 1) * (port_w - device_w), poe_class, [rng.uniform(0.5, 8)])


def loaded_for_hours(rng: random.Random) -> tuple[Draft, str]:
    """A load that the breaker can carry, but above its share."""
    plan = Plan.of(rng)
    supply = f"U-{rng.randrange(1000)}"
    share, limit_w = rng.choice([None, *range(50, 95)]), rng.randint(500, 5000)
    load_w = limit_w * rng.uniform((share or 80) / 100 + 0.02, 1.0)
    plan.put(
        "supplies",
        supply,
        earth="E-X",
        breakers={"B1": f"{limit_w} W"},
        breaker_limit=None if share is None else str(share),
    )
    plan.put("devices", f"AMP-{rng.randrange(1000)}", kind="power-amplifier-2", supply=supply, load=f"{load_w:.1f} W")
    return plan.draft, f"breaker-overloaded:{supply}:B1"


def test_every_variant_above_the_share_is_found() -> None:
    prove_fault(MODULES["breaker-overloaded"], loaded_for_hours)


def through_a_box(rng: random.Random, others: bool) -> tuple[Draft, str]:
    """Two devices joined by a multicore, on two earths or on one."""
    jack, count = rng.randint(1, 12), rng.randint(1, 2)
    boxes = [f"MC-{rng.randrange(1000)}", f"MD-{rng.randrange(1000)}"][:count]
    ways = [f"{boxes[0]}/in{jack}", *(f"{box}/out{jack}" for box in boxes[:1])]
    second = f"\n  A-1: {{kind: line, from: {ways[-1]}, to: {boxes[-1]}/in{jack}}}" if count == 2 else ""
    text = f"""supplies: {{ONE: {{earth: EA}}, TWO: {{earth: {"EB" if others else "EA"}}}}}
places: {{here: {{supply: ONE}}, there: {{supply: TWO}}}}
devices:
  {", ".join(boxes[:1])}: {{kind: analogue-multicore-12}}
{f"  {boxes[1]}: {{kind: analogue-multicore-12}}" if count == 2 else ""}
  MX-1: {{kind: house-desk, place: {rng.choice(["there"])}}}
  BOX-1: {{kind: stage-box-24x12, place: here}}
cables:
  A-0: {{kind: {rng.choice(["line", "mic"])}, from: MX-1/out1, to: {ways[0]}}}{second}
  A-2: {{kind: {rng.choice(["line", "mic"])}, from: {boxes[-1]}/out{jack}, to: BOX-1/{rng.randint(1, 24)}}}
"""
    return Draft({"show.yaml": text}), "copper-joins-earths:A-0"


def test_every_variant_through_a_multicore_is_found() -> None:
    prove_fault(MODULES["copper-joins-earths"], lambda rng: through_a_box(rng, others=True))
    prove_harmless(MODULES["copper-joins-earths"], lambda rng: through_a_box(rng, others=False)[0])


def within_the_breaker(rng: random.Random) -> Draft:
    plan = Plan.of(rng)
    supply = rng.choice(list(plan.model.supplies))
    return plan.put("supplies", supply, breakers={"B1": f"{rng.randint(20, 200)} kW"}).draft


CASES: dict[str, tuple[Fault, Harmless]] = {
    "copper-joins-earths": (joins_earths, same_earth_or_parted),
    "supply-unknown": (supply_unknown, supply_of_its_own),
    "found-earth-voltage": (earth_voltage, near_zero),
    "poe-lost-in-cable": (lost_in_cable, lambda rng: reaches_the_device(rng)[0]),
    "breaker-overloaded": (overloaded, within_the_breaker),
}
MODULES = {module.RULE.name: module for module in power.MODULES}


def test_every_rule_has_variants() -> None:
    assert set(CASES) | set(SUPPLIED) == set(MODULES)


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
