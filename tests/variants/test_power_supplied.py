"""Random variants of UPS minutes, phases, second supplies and PoE ports, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.fault_things import things
from tailboard.rules import power
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.planedits import Plan


def on_a_ups(rng: random.Random, part: tuple[float, float]) -> tuple[Draft, str]:
    """Return a show with a UPS whose minutes are stated as a part of 1 / part of what its energy gives.

    The minutes are worked out here from the watts and the watt-hours that the variant writes: Wh x 60 / W.
    """
    plan = Plan.of(rng)
    ups, count = f"UPS-{rng.randrange(1000)}", rng.randint(1, 3)
    energy_wh = rng.randint(50, 5000)
    loads_w = [rng.randint(5, 2000) for _ in range(count)]
    minutes = energy_wh * 60 / sum(loads_w) * rng.uniform(*part)
    own = rng.choice(["kind", "data sheet"])
    plan.put("kinds", f"battery-{own.split()[0]}", role="ups", load="20 W", UPS_energy=f"{energy_wh} Wh")
    who = rng.choice(["the UPS", "a device", "the show"])
    stated = f"{minutes:.4f} min"
    plan.put("devices", ups, kind=f"battery-{own.split()[0]}", UPS=stated if who == "the UPS" else None)
    for index, load_w in enumerate(loads_w):
        plan.put(
            "devices",
            f"NODE-{index}",
            kind="power-amplifier-2",
            on_UPS=ups,
            load=f"{load_w} W",
            UPS=stated if who == "a device" and index == 0 else None,
        )
    if who == "the show":
        plan.tree("show.yaml")["UPS at least"] = stated
    return plan.draft, f"ups-minutes-short:{ups}"


# What a source gives and what is left for the device, by class: IEEE 802.3af, at, bt, second-hand.
GIVEN_W = {0: 15.4, 1: 4.0, 2: 7.0, 3: 15.4, 4: 30.0, 5: 45.0, 6: 60.0, 7: 75.0, 8: 90.0}


def at_a_port(rng: random.Random, weak: bool) -> tuple[Draft, str]:
    """Return a device at a port of a lower class than its own, or of one that is high enough; or a stated power alone."""
    pairs = [(one, two) for one in GIVEN_W for two in GIVEN_W if (GIVEN_W[one] < GIVEN_W[two]) == weak]
    port_class, device_class = rng.choice(pairs)
    asks = f", PoE class: {device_class}"
    if rng.random() < 0.3:
        part = rng.uniform(1.01, 3) if weak else rng.uniform(0.1, 1)
        power, asks = f"PoE power: {GIVEN_W[port_class] * part:.2f} W, ", ""
    else:
        power = f"PoE power: {GIVEN_W[device_class] * rng.uniform(0.1, 0.9):.2f} W, " if rng.random() < 0.7 else ""
    name, switch, jack = f"CAM-{rng.randrange(1000)}", f"SW-{rng.randrange(1000)}", rng.randint(1, 8)
    text = f"""kinds:
  feeder: {{role: switch, PoE budget: 900 W, ports: {{1..8: {{medium: network, way: both, PoE source: yes, PoE source class: {port_class}}}}}}}
  cam: {{role: camera, {power}ports: {{net: {{medium: network, way: both{asks}}}}}}}
devices: {{{switch}: {{kind: feeder}}, {name}: {{kind: cam}}}}
switches: {{{switch}: {{{jack}: {{PoE: on}}}}}}
cables: {{C-1: {{kind: cat solid, length: {rng.randint(2, 90)} m, from: {switch}/{jack}, to: {name}}}}}
"""
    return Draft({"show.yaml": text}), f"poe-port-too-weak:{name}"


def priorities(rng: random.Random, budget_part: float) -> tuple[list[str], str]:
    """Return who is said to lose power first at a switch, and who has the last priority there."""
    count = rng.randint(2, 8)
    order = rng.sample(range(1, 100), count)
    power_w = rng.randint(5, 30)
    ports = ", ".join(f"{jack}: {{PoE: on, PoE priority: {order[jack - 1]}}}" for jack in range(1, count + 1))
    cameras = ", ".join(f"CAM-{jack}: {{kind: cam}}" for jack in range(1, count + 1))
    cables = ", ".join(
        f"C-{jack}: {{kind: cat solid, length: 9 m, from: SW-A/{jack}, to: CAM-{jack}}}" for jack in range(1, count + 1)
    )
    text = f"""kinds:
  feeder: {{role: switch, PoE budget: {count * power_w * budget_part:.2f} W, ports: {{1..8: {{medium: network, way: both, PoE source: yes}}}}}}
  cam: {{role: camera, PoE power: {power_w} W, ports: {{net: {{medium: network, way: both}}}}}}
devices: {{SW-A: {{kind: feeder}}, {cameras}}}
switches: {{SW-A: {{{ports}}}}}
cables: {{{cables}}}
"""
    findings = Draft({"show.yaml": text}).findings("poe-over-budget")
    told = [reason.words.split()[0] for finding in findings for reason in finding.because if "loses" in reason.words]
    return told, f"CAM-{order.index(max(order)) + 1}"


def test_who_loses_power_first_is_told_only_when_the_budget_is_too_small() -> None:
    for seed in range(50):
        rng = random.Random(seed)
        told, last = priorities(rng, rng.uniform(0.2, 0.98))
        assert told == [last]
        told, _ = priorities(rng, rng.uniform(1.01, 2))
        assert told == []


def on_a_phase(rng: random.Random, part: tuple[float, float]) -> tuple[Draft, str]:
    """Return a supply of which one phase carries a part of its limit, on some of its breakers; 80 % are too much for hours."""
    plan = Plan.of(rng)
    supply, phase = f"U-{rng.randrange(1000)}", rng.choice(["L1", "L2", "L3"])
    loads_w = [rng.randint(5, 2000) for _ in range(rng.randint(2, 4))]
    names = [f"B{number}" for number in range(len(loads_w))]
    plan.put(
        "supplies",
        supply,
        earth="E-X",
        breakers={**dict.fromkeys(names, "9 kW"), "B9": "9 kW"},
        phases={**dict.fromkeys(names, phase), "B9": "L9"},
        phase_limits={phase: f"{sum(loads_w) / rng.uniform(*part):.3f} W"},
    )
    plan.put("devices", "AMP-9", kind="power-amplifier-2", supply=supply, breaker="B9", load="5 kW")
    for name, load_w in zip(names, loads_w, strict=True):
        plan.put("devices", f"AMP-{name}", kind="power-amplifier-2", supply=supply, breaker=name, load=f"{load_w} W")
    return plan.draft, f"phase-overloaded:{supply}:{phase}"


def two_leads(rng: random.Random, apart: bool) -> tuple[Draft, str, str, Plan]:
    """Return a show in which a device has a second supply, on another earth or on the same, the first one's name, and the plan."""
    plan = Plan.of(rng)
    device = rng.choice(plan.devices(lambda record: plan.model.supply_of(record.id)))
    first = plan.model.supply_of(device) or ""
    second = f"U-{rng.randrange(1000)}"
    plan.put("supplies", second, earth=f"E-{rng.randrange(1000)}" if apart else plan.model.supplies[first].earth)
    plan.put("devices", device, supply_2=second)
    return plan.draft, f"supplies-join-earths:{device}", first, plan


def test_what_has_two_supplies_survives_either_and_not_with_one() -> None:
    """The device itself: what a switch feeds over its data cable goes with the switch."""
    for seed in range(50):
        rng = random.Random(seed)
        draft, claim, first, plan = two_leads(rng, rng.random() < 0.5)
        device = f"device {claim.partition(':')[2]}"
        model = draft.read().model
        found = Ask(model)(things)
        second = model.devices[claim.partition(":")[2]].second_supply
        assert device not in found.takes.get(f"supply {second}", ())
        if found.power[device.partition(" ")[2]] == "supply":
            assert device not in found.takes[f"supply {first}"]
            assert device in Ask(plan.model)(things).takes[f"supply {first}"]


CASES: dict[str, tuple[Fault, Harmless]] = {
    "ups-minutes-short": (lambda rng: on_a_ups(rng, (1.02, 4.0)), lambda rng: on_a_ups(rng, (0.1, 0.98))[0]),
    "phase-overloaded": (
        lambda rng: on_a_phase(rng, rng.choice([(0.82, 1.0), (1.01, 3.0)])),
        lambda rng: on_a_phase(rng, (0.1, 0.79))[0],
    ),
    "supplies-join-earths": (lambda rng: two_leads(rng, True)[:2], lambda rng: two_leads(rng, False)[0]),
    "poe-port-too-weak": (lambda rng: at_a_port(rng, True), lambda rng: at_a_port(rng, False)[0]),
}
MODULES = {module.RULE.name: module for module in power.MODULES}


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
