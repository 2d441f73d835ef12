"""Variants of clocks with a reference of their own, and of cables that would bring another leader."""

from __future__ import annotations

import random

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.clock import clock
from tailboard.rules.clock.clock_way_uncorrected import switches_between
from variants.planedits import Plan


def island(plan: Plan) -> str:
    """Return how claims call the only island of a clean base."""
    return f"{next(name for name, record in plan.model.vlans.items() if record.multicast)}:domain 0"


def never_follows(rng: random.Random) -> tuple[Draft, str]:
    """One that does not lead has a reference."""
    plan = Plan.of_clocks(rng)
    name = rng.choice(plan.clocks(None, "second"))
    plan.clock_of(name, **{"class": rng.choice([6, 7, 13, 14, rng.randint(1, 127)])})
    return plan.draft, f"clock-never-follows:{name}:{island(plan)}"


def leader_behind_reference(rng: random.Random) -> Draft:
    """The leader has a reference; others have any class that follows."""
    plan = Plan.of_clocks(rng)
    (leader,) = plan.clocks("leader")
    plan.clock_of(leader, **{"class": rng.randint(1, 127)})
    for name in plan.clocks(None, "second"):
        plan.clock_of(name, **{"class": rng.randint(128, 254)})
    return plan.remark()


def joining(rng: random.Random, *, better: bool, plugged: bool, domain: int = 0) -> tuple[Draft, str]:
    """Return two networks of one to three clocks each, and the cable between them."""
    first = rng.randint(50, 150)
    cable, ours, theirs = (f"{word}-{rng.randrange(100)}" for word in ("H", "CON", "HOUSE"))
    lead = {ours: f"priority1: {first}, role: leader, domain: 0"}
    lead[theirs] = f"priority1: {first + rng.randint(1, 40) * (-1 if better else 1)}, domain: {domain}"
    more = {f"A-{n}": "role: follower only" for n in range(rng.randint(0, 2))}
    far = {f"B-{n}": f"role: follower only, domain: {domain}" for n in range(rng.randint(0, 2))}
    sides = ({ours: lead[ours], **more}, {theirs: lead[theirs], **far})
    devices, cables = ["  SW-1: {kind: sw}", "  SW-2: {kind: sw}"], []
    for number, side in enumerate(sides, 1):
        for port, (name, settings) in enumerate(side.items(), 1):
            devices.append(f"  {name}: {{kind: desk, ports: {{net: AUDIO}}, clock: {{{settings}, rate: 48 kHz}}}}")
            cables.append(
                f"  C-{number}{port}: {{kind: cat solid, length: 5 m, from: SW-{number}/{port}, to: {name}/net}}"
            )
    state = "plugged" if plugged else rng.choice(["laid", "capped"])
    cables.append(f"  {cable}: {{kind: cat solid, length: 9 m, from: SW-1/8, to: SW-2/8, state: {state}}}")
    jack = "{medium: network, way: both}"
    kinds = f"  sw: {{role: switch, ports: {{1..8: {jack}}}}}\n  desk: {{role: console, ports: {{net: {jack}}}}}"
    switches = "  SW-1: {1..8: {access: AUDIO}}\n  SW-2: {1..8: {access: AUDIO}}"
    text = "\n".join([
        "kinds:", kinds, "vlans: {AUDIO: {id: 20, multicast: yes}}", "devices:", *devices, "switches:", switches,
        "cables:", *cables, "",
    ])  # fmt: skip
    return Draft({"show.yaml": text}), f"clock-changes-when-plugged:{cable}"


def plugged_in(rng: random.Random) -> tuple[Draft, str]:
    """The other side has the better clock, in the same domain."""
    return joining(rng, better=True, plugged=False)


def plugged_for_nobody(rng: random.Random) -> Draft:
    """The other side's clock is worse, or in another domain; or the cable is plugged already, and the plan says so."""
    chance = rng.randrange(3)
    return joining(rng, better=chance > 0, plugged=chance == 1, domain=rng.randint(1, 127) if chance == 2 else 0)[0]


def corrected(rng: random.Random) -> tuple[Plan, list[str]]:
    """A plan whose clock is to be corrected on its way, and its switches."""
    plan = Plan.of_clocks(rng)
    vlan = island(plan).partition(":")[0]
    plan.put("vlans", vlan, clock_corrected="yes")
    return plan, [name for name in plan.model.devices if plan.model.kind_of(name).role == "switch"]


def way_uncorrected(rng: random.Random) -> tuple[Draft, str]:
    """Some switch of the audio network says nothing of its clock; the others are transparent clocks."""
    plan, switches = corrected(rng)
    leaders = plan.clocks("leader")
    assert leaders
    here = on_the_way(plan)
    plain = rng.choice(here)
    for name in switches:
        if name != plain and rng.random() < 0.8:
            plan.put("devices", name, clock={"transparent": "yes", "domain": str(rng.randrange(3))})
    plan.remark()
    return plan.draft, f"clock-way-uncorrected:{island(plan)}"


def way_corrected(rng: random.Random) -> Draft:
    """Every switch is a transparent clock; or nobody asks for it."""
    plan, switches = corrected(rng)
    if rng.random() < 0.3:
        plan.put("vlans", island(plan).partition(":")[0], clock_corrected=rng.choice([None, "no"]))
        return plan.remark()
    for name in switches:
        plan.put("devices", name, clock={"transparent": "yes"})
    return plan.remark()


def on_the_way(plan: Plan) -> list[str]:
    """Return the switches that lie between the leader and somebody who follows."""
    ask = Ask(plan.model)
    found = [part for parts in ask(clock).groups.values() for part in parts if part.leader is not None]
    return list(
        dict.fromkeys(
            name
            for part in found
            for member in part.members
            if part.leader is not None and member is not part.leader
            for name in switches_between(ask, part.leader, member)
        )
    )
