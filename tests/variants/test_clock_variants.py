"""Random variants of the clock faults, and harmless neighbours."""

from __future__ import annotations

import random

import pytest

from support.draft import Draft
from tailboard.rules import clock
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.clock_joins import (
    leader_behind_reference,
    never_follows,
    plugged_for_nobody,
    plugged_in,
    way_corrected,
    way_uncorrected,
)
from variants.planedits import Plan


def island(plan: Plan, part: str = "") -> str:
    """Return how claims call the only island of a clean base, or a part of it."""
    model = plan.model
    vlan = next(name for name, record in model.vlans.items() if record.multicast)
    return f"{vlan}:domain 0" + (f":{part}" if part else "")


def streaming(plan: Plan) -> list[str]:
    """Return the devices with clocks that send or take streams."""
    streams = plan.model.streams.values()
    names = {s.sender for s in streams} | {name for s in streams for name in s.receivers or {}}
    return [name for name in plan.clocks() if name in names]


def leader_missing(rng: random.Random) -> tuple[Draft, str]:
    """Every clock is follower only; or one of them stands alone in another domain."""
    plan = Plan.of_clocks(rng)
    name = rng.choice(plan.clocks())
    domain = rng.randint(1, 127)
    if rng.random() < 0.5:
        plan.clock_of(name, domain=domain, role="follower only", priority1=None)
        return plan.draft, f"clock-leader-missing:{island(plan).replace('domain 0', f'domain {domain}')}"
    for other in plan.clocks():
        plan.clock_of(other, role="follower only", priority1=None)
    return plan.draft, f"clock-leader-missing:{island(plan)}"


def leader_last(rng: random.Random) -> Draft:
    """Any number of followers, as long as one may lead."""
    plan = Plan.of_clocks(rng)
    (leader,) = plan.clocks("leader")
    for name in plan.clocks():
        if name != leader and rng.random() < 0.5:
            plan.clock_of(name, role="follower only", priority1=None)
    return plan.clock_of(leader, priority1=rng.randint(0, 255)).remark()


def leader_unplanned(rng: random.Random) -> tuple[Draft, str]:
    """Another has a lower priority, or the same and a lower hardware address."""
    plan = Plan.of_clocks(rng)
    (leader,) = plan.clocks("leader")
    other = rng.choice([name for name in plan.clocks() if name != leader])
    first = rng.randint(1, 200)
    lower = rng.randint(0, first)
    if lower == first:
        plan.put("devices", other, MAC="02:00:00:00:00:01").put("devices", leader, MAC="02:00:00:00:00:02")
    for name in plan.clocks():
        plan.clock_of(
            name, priority1={leader: first, other: lower}.get(name, 255), role="leader" if name == leader else None
        )
    return plan.draft, f"clock-leader-unplanned:{island(plan)}"


def leader_as_planned(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    (leader,) = plan.clocks("leader")
    first = rng.randint(0, 200)
    plan.clock_of(leader, priority1=first)
    for name in plan.clocks():
        if name != leader:
            plan.clock_of(name, priority1=rng.randint(first + 1, 255), role=None)
    return plan.draft


def leaders_two(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of_clocks(rng)
    for name in rng.sample([name for name in plan.clocks() if name not in plan.clocks("leader")], 1):
        plan.clock_of(name, role="leader", priority1=rng.randint(0, 255))
    return plan.draft, f"clock-leaders-two:{island(plan)}"


def leaders_in_two_domains(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    name = rng.choice([name for name in plan.clocks() if name not in plan.clocks("leader")])
    return plan.clock_of(name, role="leader", priority1=rng.randint(0, 255), domain=rng.randint(1, 127)).draft


def second_missing(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of_clocks(rng)
    (leader,) = plan.clocks("leader")
    for name in plan.clocks():
        if name != leader:
            plan.clock_of(name, role="follower only", priority1=None)
    return plan.clock_of(leader, priority1=rng.randint(0, 255)).remark(), f"clock-second-missing:{island(plan)}"


def second_somebody(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    followers = [name for name in plan.clocks() if name not in plan.clocks("leader")]
    one = rng.choice(followers)
    for name in followers:
        able = name == one
        plan.clock_of(
            name, role="second" if able else "follower only", priority1=rng.randint(150, 255) if able else None
        )
    return plan.draft


def ranked(plan: Plan) -> tuple[str, str, str]:
    """Give the leader the lowest priority, all others but two the highest; return the leader and the two."""
    (leader,) = plan.clocks("leader")
    one, other = plan.rng.sample([name for name in plan.clocks() if name != leader], 2)
    for name in plan.clocks():
        if name not in {leader, one, other}:
            plan.clock_of(name, role=None, priority1=255)
    plan.clock_of(leader, priority1=plan.rng.randint(0, 50))
    return leader, one, other


def second_unplanned(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of_clocks(rng)
    _, one, other = ranked(plan)
    later = rng.randint(101, 240)
    plan.clock_of(one, role="second", priority1=later).clock_of(other, role=None, priority1=rng.randint(60, later - 1))
    return plan.draft, f"clock-second-unplanned:{island(plan)}"


def second_as_planned(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    _, one, other = ranked(plan)
    sooner = rng.randint(60, 240)
    plan.clock_of(one, role="second", priority1=sooner)
    return plan.clock_of(other, role=None, priority1=rng.randint(sooner + 1, 250)).draft


def priority_shared(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of_clocks(rng)
    leader, one, other = ranked(plan)
    number = rng.randint(60, 250)
    plan.clock_of(one, role="second", priority1=number)
    plan.clock_of(rng.choice([leader, other]), role=None, priority1=number)
    if rng.random() < 0.5:
        plan.clock_of(leader, priority1=number)
    return plan.clock_of(other, role=None, priority1=number).draft, f"clock-priority-shared:{island(plan)}"


def domain_differs(rng: random.Random) -> tuple[Draft, str]:
    plan = Plan.of_clocks(rng)
    name = rng.choice(streaming(plan))
    return plan.clock_of(name, domain=rng.randint(1, 127)).draft, f"clock-domain-differs:{name}"


def domain_of_all(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    domain = rng.randint(1, 127)
    for name in plan.clocks():
        plan.clock_of(name, domain=domain)
    return plan.remark()


CONVERTERS = ("network-gateway-16", "network-panel", "wired-belt-pack", "intercom-base", "access-point")
RATES = ("32 kHz", "44.1 kHz", "47.952 kHz", "96 kHz", "192 kHz")


def rate_differs(rng: random.Random) -> tuple[Draft, str]:
    """A device, a stream, or a stream to or from one that converts the rate: the other end does not."""
    plan = Plan.of_clocks(rng)
    kind = rng.random()
    if kind < 0.3:
        name = f"N-{rng.randrange(1000)}"
        device = f"X-{rng.randrange(1000)}"
        plan.put("devices", device, kind=rng.choice(CONVERTERS))
        ends = rng.sample([device, rng.choice(streaming(plan))], 2)
        plan.put("streams", name, rate=rng.choice(RATES), **{"from": ends[0], "to": {ends[1]: "1..2"}})
    elif kind < 0.6:
        name = rng.choice(list(plan.model.streams))
        plan.put("streams", name, rate=rng.choice(RATES))
    else:
        name = rng.choice(streaming(plan))
        plan.clock_of(name, rate=rng.choice(RATES))
    return plan.draft, f"clock-rate-differs:{name}"


def rate_of_all(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    rate = rng.choice(RATES)
    for name in plan.clocks():
        plan.clock_of(name, rate=rate)
    for name in plan.model.streams:
        plan.put("streams", name, rate=rate if rng.random() < 0.7 else None)
    device = f"X-{rng.randrange(1000)}"
    own = {"clock": {"domain": str(rng.randrange(1, 100)), "rate": rng.choice(RATES)}} if rng.random() < 0.5 else {}
    plan.put("devices", device, kind=rng.choice(CONVERTERS), **own)
    plan.put(
        "streams",
        f"N-{rng.randrange(1000)}",
        rate=rate,
        **{"from": rng.choice(streaming(plan)), "to": {device: "1..2"}},
    )
    return plan.draft


def settings_missing(rng: random.Random) -> tuple[Draft, str]:
    """A recorder without settings; or one that converts the rate, but stands between two networks."""
    plan = Plan.of_clocks(rng)
    name = rng.choice(streaming(plan))
    stream = f"N-{rng.randrange(1000)}"
    device = f"X-{rng.randrange(1000)}"
    if rng.random() < 0.7:
        plan.put("devices", device, kind="recorder-32", **({"clock": {"domain": "0"}} if rng.random() < 0.5 else {}))
    else:
        vlan = next(iter(plan.model.vlans))
        apart = rng.choice([{"domain by port": {"b": str(rng.randrange(1, 100))}}, {"ports": {"a": vlan, "b": vlan}}])
        plan.put("devices", device, kind="network-gateway-16", **apart)
    ends = (name, device) if rng.random() < 0.5 else (device, name)
    plan.put("streams", stream, **{"from": ends[0], "to": {ends[1]: "1..2"}})
    return plan.draft, f"clock-settings-missing:{device}"


def settings_of_converters(rng: random.Random) -> Draft:
    plan = Plan.of_clocks(rng)
    device = f"X-{rng.randrange(1000)}"
    plan.put("devices", device, kind=rng.choice(["network-gateway-16", "network-panel", "wired-belt-pack"]))
    plan.put("streams", f"N-{rng.randrange(1000)}", **{"from": rng.choice(streaming(plan)), "to": {device: "1..2"}})
    return plan.draft


CASES: dict[str, tuple[Fault, Harmless]] = {
    "clock-leader-missing": (leader_missing, leader_last),
    "clock-leader-unplanned": (leader_unplanned, leader_as_planned),
    "clock-leaders-two": (leaders_two, leaders_in_two_domains),
    "clock-second-missing": (second_missing, second_somebody),
    "clock-second-unplanned": (second_unplanned, second_as_planned),
    "clock-priority-shared": (priority_shared, leader_as_planned),
    "clock-domain-differs": (domain_differs, domain_of_all),
    "clock-rate-differs": (rate_differs, rate_of_all),
    "clock-settings-missing": (settings_missing, settings_of_converters),
    "clock-never-follows": (never_follows, leader_behind_reference),
    "clock-way-uncorrected": (way_uncorrected, way_corrected),
    "clock-changes-when-plugged": (plugged_in, plugged_for_nobody),
}
MODULES = {module.RULE.name: module for module in clock.MODULES}


def test_every_rule_has_variants() -> None:
    assert set(CASES) == set(MODULES)


@pytest.mark.parametrize("rule", CASES)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], CASES[rule][0])


@pytest.mark.parametrize("rule", CASES)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], CASES[rule][1])
