"""Random variants of the faults of isolation, meeting, port security and queriers, and harmless neighbours of each."""

from __future__ import annotations

import json
import random

import pytest

from support.draft import Draft
from tailboard.rules import network
from variants.chainstage import Fault, Harmless, prove_fault, prove_harmless
from variants.netplans import NetPlan, netplan
from variants.streamnet import KINDS, StreamNet

ROLES = ("audio", "comms", "camera", "office")
LOOSE = {
    "role": "switch", "forwarding": "5 us", "figures": "data sheet of the maker, issue 2", "access refuses tags": "no",
    "PoE budget": "400 W",
    "ports": {
        "1..16": {"medium": "network", "way": "both", "rate": "1 G", "PoE source": "yes"},
        "S1..4": {"medium": "cage", "way": "both", "rate": "1 G"},
    },
}  # fmt: skip


def parted(rng: random.Random) -> tuple[NetPlan, str, str, str]:
    """Return a plan in which one VLAN never reaches another, and the roles of both."""
    plan = netplan(rng)
    one, other = rng.sample(ROLES, 2)
    plan.of_vlan(one)["never reaches"] = plan.vlan[other]
    return plan, one, other, f"vlan-reaches-forbidden:{plan.vlan[one]}:{plan.vlan[other]}"


def crossed(rng: random.Random) -> tuple[Draft, str]:
    """Natives that differ, a device in the other's port, a lead with nothing between, or one or two routers."""
    plan, one, other, claim = parted(rng)
    sort = rng.choice(["native", "port", "router", "routers"])
    if sort == "native":
        for switch, role in ((plan.truck, one), (plan.stage, other)):
            tagged = [plan.vlan[name] for name in ROLES if name != role]
            plan.tree["switches"][switch]["S1"].update(native=plan.vlan[role], tagged=tagged)
        plan.add_end(one, plan.truck, 16, 90)
    elif sort == "port":
        role, wrong = rng.sample([one, other], 2)
        plan.port(plan.any_end(role))["access"] = plan.vlan[wrong]
    else:
        middle = "control"
        legs = [(one, other)] if sort == "router" else [(one, middle), (middle, other)]
        for leg in legs:
            joined = [plan.vlan[role] for role in leg]
            plan.tree["devices"][plan.name()] = {"kind": "router", "place": "here", "forwards": rng.sample(joined, 2)}
    return plan.draft(), claim


def apart(rng: random.Random) -> Draft:
    """The same for a third VLAN, natives alike, a router that joins others."""
    plan, one, other, _ = parted(rng)
    third, fourth = (role for role in ROLES if role not in {one, other})
    sort = rng.choice(["native", "port", "router"])
    if sort == "native":
        plan.tree["cables"][plan.strand]["native"] = plan.vlan[one]
        plan.tree["cables"][plan.strand]["carries"] = [plan.vlan[role] for role in ROLES if role != one]
    elif sort == "port":
        plan.port(plan.any_end(third))["access"] = plan.vlan[fourth]
    else:
        joined = [plan.vlan[third], plan.vlan[rng.choice([one, other])]]
        plan.tree["devices"][plan.name()] = {"kind": "router", "place": "here", "forwards": joined}
    return plan.draft()


def elsewhere(rng: random.Random) -> tuple[Draft, str]:
    """Two of one VLAN are to meet on another, or no cable leads from one of them."""
    plan = netplan(rng)
    role = rng.choice(ROLES)
    one, other = rng.sample([name for name, end in plan.ends.items() if end[0] == role], 2)
    on = rng.choice([name for name in ROLES if name != role])
    if rng.random() < 0.4:
        on = role
        plan.cable(rng.choice([one, other]))["state"] = rng.choice(["laid", "capped"])
    plan.device(one)["meets only on"] = {other: plan.vlan[on]}
    return plan.draft(), f"devices-meet-elsewhere:{one}:{other}"


def where_planned(rng: random.Random) -> Draft:
    """Two devices meet on the VLAN written; a third has no cable."""
    plan = netplan(rng)
    role = rng.choice(ROLES)
    one, other = rng.sample([name for name, end in plan.ends.items() if end[0] == role], 2)
    plan.device(one)["meets only on"] = {other: plan.vlan[role]}
    rest = [name for name in plan.ends if name not in {one, other}]
    plan.cable(rng.choice(rest))["state"] = "laid"
    return plan.draft()


def given_out(rng: random.Random) -> tuple[Draft, str]:
    """A VLAN with multicast gives out some range."""
    plan = netplan(rng)
    role = rng.choice(["audio", "comms"])
    first = rng.randrange(60, 200)
    plan.of_vlan(role).update(
        {"multicast": "yes", "DHCP": f"{plan.address(role, first)}-{first + rng.randrange(1, 50)}"}
    )
    return plan.draft(), f"dhcp-on-audio:{plan.vlan[role]}"


def given_elsewhere(rng: random.Random) -> Draft:
    """The range is in a VLAN without multicast, or the VLAN is the house's own."""
    plan = netplan(rng)
    role, first = rng.choice(["comms", "camera"]), rng.randrange(60, 200)
    plan.of_vlan("audio")["multicast"] = "yes"
    plan.of_vlan(role)["DHCP"] = f"{plan.address(role, first)}-{first + 9}"
    if rng.random() < 0.5:
        plan.of_vlan(role).update({"multicast": "yes", "owner": "the hall"})
    return plan.draft()


def loose_plan(rng: random.Random, *, loose: bool, native: str) -> NetPlan:
    """Return a plan whose access ports take tags, or drop them, with one VLAN untagged on the strand."""
    plan = netplan(rng)
    plan.tree["kinds"] = {"loose-switch": {**LOOSE, "access refuses tags": "no" if loose else "yes"}}
    for switch in (plan.truck, plan.stage):
        plan.device(switch)["kind"] = "loose-switch"
    strand = plan.tree["cables"][plan.strand]
    strand["native"] = plan.vlan[native]
    strand["carries"] = [plan.vlan[role] for role in ROLES if role != native]
    return plan


def two_tags(rng: random.Random) -> tuple[Draft, str]:
    """The strand carries a VLAN of devices untagged, or the parking VLAN, in which a port stands open."""
    native = rng.choice([*ROLES, "park"])
    plan = loose_plan(rng, loose=True, native=native)
    if native == "park":
        number = rng.choice([n for n in range(1, 17) if str(n) not in plan.tree["switches"][plan.stage]])
        plan.tree["switches"][plan.stage][str(number)] = {"access": plan.vlan["park"]}
    return plan.draft(), f"native-in-use:{plan.vlan[native]}"


def one_tag(rng: random.Random) -> Draft:
    """Access ports drop tags, or nobody is in the VLAN that goes untagged, or its port is shut."""
    native = rng.choice([*ROLES, "park"])
    plan = loose_plan(rng, loose=native == "park", native=native)
    if native == "park":
        plan.tree["switches"][plan.truck]["S4"] = {"access": plan.vlan["park"], "shut": "yes"}
    return plan.draft()


def house_querier(rng: random.Random, host: int) -> tuple[Draft, str]:
    """Return a plan beside a house that queries the audio VLAN from a host number."""
    plan = netplan(rng)
    queriers = {plan.truck: plan.address("audio", 60), plan.stage: plan.address("audio", 70)}
    plan.of_vlan("audio")["querier"] = queriers
    for switch, address in queriers.items():
        plan.device(switch)["address"] = {plan.vlan["audio"]: address}
    draft, house = plan.draft(), plan.name().lower()
    said = {"querier": {plan.vlan["audio"]: plan.address("audio", host)}}
    draft.files[f"found/{house}.yaml"] = json.dumps(
        {"read": {"by": "house", "on": "2027-11-19", "how": "letter"}, "house": said}
    )
    return draft, f"house-queries-first:{plan.vlan['audio']}:{house}"


def lower(rng: random.Random) -> tuple[Draft, str]:
    """Any address below ours, such as the first of the subnet."""
    return house_querier(rng, rng.randrange(1, 60))


def higher(rng: random.Random) -> Draft:
    """Any address above our first, also below our second."""
    return house_querier(rng, rng.randrange(61, 250))[0]


def table_plan(rng: random.Random, room: int) -> tuple[Draft, str]:
    """Return a network whose switches hold as many groups as there are, and `room` more."""
    net = StreamNet.draw(rng)
    while len(groups := {item["group"] for item in net.tree["streams"].values() if "group" in item}) < 3:
        net.add_stream()
    net.tree["kinds"] = {**KINDS, "tree-switch": {**KINDS["tree-switch"], "multicast groups": str(len(groups) + room)}}
    return net.draft(), f"snooping-table-full:{rng.choice(net.switches)}"


def too_many_groups(rng: random.Random) -> tuple[Draft, str]:
    """One or two groups more than the table holds."""
    return table_plan(rng, -rng.randrange(1, 3))


def groups_that_fit(rng: random.Random) -> Draft:
    """As many as it holds, or fewer."""
    return table_plan(rng, rng.randrange(4))[0]


def many_behind(rng: random.Random) -> tuple[Draft, str]:
    """The port of the strand, or one with a small switch and two to four devices behind it."""
    plan = netplan(rng)
    if rng.random() < 0.3:
        switch = rng.choice([plan.truck, plan.stage])
        plan.tree["switches"][switch]["S1"]["one MAC"] = "yes"
        return plan.draft(), f"one-mac-exceeded:{switch}/S1"
    return small_switch(rng, plan, rng.randrange(2, 5))


def small_switch(rng: random.Random, plan: NetPlan, count: int) -> tuple[Draft, str]:
    """Put a small switch with some recorders behind a port that lets one address in."""
    small, switch, vlan = plan.name(), rng.choice([plan.truck, plan.stage]), plan.vlan["audio"]
    plan.tree["devices"][small] = {"kind": "switch-8-copper-2-sfp", "place": "here"}
    free = next(n for n in range(1, 17) if str(n) not in plan.tree["switches"][switch])
    plan.tree["switches"][switch][str(free)] = {"access": vlan, "one MAC": "yes"}
    cable = {"kind": "cat solid", "length": "5 m"}
    plan.tree["cables"][plan.name("C-")] = {**cable, "from": f"{switch}/{free}", "to": f"{small}/1"}
    for number in range(count):
        end = plan.name()
        plan.tree["devices"][end] = {
            "kind": "recorder-32",
            "place": "here",
            "address": {vlan: plan.address("audio", 90 + number)},
        }
        plan.tree["cables"][plan.name("C-")] = {**cable, "from": f"{small}/{number + 2}", "to": f"{end}/audio"}
    return plan.draft(), f"one-mac-exceeded:{switch}/{free}"


def one_behind(rng: random.Random) -> Draft:
    """A device alone, or a small switch with one device."""
    plan = netplan(rng)
    if rng.random() < 0.5:
        return small_switch(rng, plan, 1)[0]
    plan.port(plan.any_end())["one MAC"] = "yes"
    return plan.draft()


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "vlan-reaches-forbidden": (crossed, apart),
    "devices-meet-elsewhere": (elsewhere, where_planned),
    "dhcp-on-audio": (given_out, given_elsewhere),
    "native-in-use": (two_tags, one_tag),
    "house-queries-first": (lower, higher),
    "snooping-table-full": (too_many_groups, groups_that_fit),
    "one-mac-exceeded": (many_behind, one_behind),
}
MODULES = {module.RULE.name: module for module in network.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_break_nothing(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
