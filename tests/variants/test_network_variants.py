"""Random variants of the faults of the network rules, and harmless neighbours."""

from __future__ import annotations

import json
import random
from collections.abc import Callable

import pytest

from support.draft import Draft
from tailboard.findings import Severity, Status
from tailboard.model.show import device_of
from tailboard.rules import network
from variants.chainstage import RUNS, claims
from variants.netplans import KINDS, NetPlan, netplan

Words = tuple[str, ...]
Maker = Callable[[NetPlan], Words]


def vlan_on_one_side(plan: NetPlan) -> Words:
    lost = plan.vlan[plan.rng.choice(["audio", "comms", "camera", "office"])]
    side = plan.rng.choice([plan.truck, plan.stage])
    carried = plan.tree["cables"][plan.strand]["carries"]
    left = [name for name in carried if name != lost]
    if plan.rng.random() < 0.5:
        plan.tree["switches"][side]["S1"].update({"tagged": left, "native": plan.vlan["park"]})
    else:
        found = {"S1": {"untagged": plan.vlan["park"], "tagged": left}}
        return reading(plan, side, found, lost, plan.strand)
    return lost, plan.strand


def reading(plan: NetPlan, switch: str, ports: object, *words: str) -> Words:
    """Lay a document read off a switch beside the plan."""
    plan.tree["found document"] = {"ports": {switch: ports}}
    return words


def native_differs(plan: NetPlan) -> Words:
    side = plan.rng.choice([plan.truck, plan.stage])
    native = plan.vlan[plan.rng.choice(["audio", "comms", "camera", "office", "control"])]
    tagged = [name for name in plan.tree["cables"][plan.strand]["carries"] if name != native]
    plan.tree["switches"][side]["S1"].update({"tagged": tagged, "native": native})
    return plan.strand, native


def access_vlan_wrong(plan: NetPlan) -> Words:
    device = plan.any_end()
    role = plan.ends[device][0]
    plan.port(device)["access"] = plan.vlan[plan.rng.choice([other for other in plan.vlan if other != role])]
    return (device,)


def vlan_leaks(plan: NetPlan) -> Words:
    native_differs(plan)
    native = plan.vlan["audio"]
    tagged = [name for name in plan.tree["cables"][plan.strand]["carries"] if name != native]
    plan.tree["switches"][plan.truck]["S1"].update({"tagged": tagged, "native": native})
    plan.tree["switches"][plan.stage]["S1"].update({"tagged": tagged, "native": plan.vlan["camera"]})
    return native, plan.vlan["camera"]


def vlan_leaves(plan: NetPlan) -> Words:
    role = plan.rng.choice(["audio", "comms", "camera", "office"])
    plan.of_vlan(role)["stays on"] = plan.truck
    return plan.vlan[role], plan.stage


def cannot_meet(plan: NetPlan) -> Words:
    role = plan.rng.choice(["audio", "comms", "camera"])
    cable = plan.tree["cables"][plan.strand]
    cable["carries"] = [name for name in cable["carries"] if name != plan.vlan[role]]
    return (plan.vlan[role],)


def cable_missing(plan: NetPlan) -> Words:
    device = plan.any_end()
    if plan.rng.random() < 0.5:
        plan.cable(device)["state"] = plan.rng.choice(["laid", "capped"])
    else:
        del plan.tree["cables"][plan.ends[device][2]]
    return (device,)


def second_strand(plan: NetPlan, **keys: str) -> str:
    name = plan.name("F-")
    plan.tree["cables"][name] = {
        **plan.tree["cables"][plan.strand], "from": f"{plan.truck}/S2", "to": f"{plan.stage}/S2", **keys,
    }  # fmt: skip
    plan.tree["switches"][plan.truck]["S2"] = {"optic": "O1S-U"}
    plan.tree["switches"][plan.stage]["S2"] = {"optic": "O1S-D"}
    return name


def loop(plan: NetPlan) -> Words:
    return plan.strand, second_strand(plan)


def used_twice(plan: NetPlan) -> Words:
    one, other = plan.rng.sample(sorted(plan.ends), 2)
    plan.cable(other)["from"] = plan.ends[one][1]
    return (plan.ends[one][1],)


def shut_in_use(plan: NetPlan) -> Words:
    device = plan.any_end()
    plan.port(device)["shut"] = "yes"
    return (plan.ends[device][1],)


def speed(plan: NetPlan) -> Words:
    device = plan.any_end()
    plan.port(device)["speed"] = plan.rng.choice(["10 G", "2.5 G", "25 G"])
    return (plan.ends[device][1],)


def optics(plan: NetPlan) -> Words:
    side = plan.rng.choice([plan.truck, plan.stage])
    port = plan.tree["switches"][side]["S1"]
    choices = {"O1S-U": ["O1S-U", "O1-LH-U", "O1-LH-D"], "O1S-D": ["O1S-D", "O1-LH-U", "O1-LH-D"]}
    other = plan.tree["switches"][plan.stage if side == plan.truck else plan.truck]["S1"]["optic"]
    kind = plan.rng.choice([*choices[other], ""])
    if kind:
        port["optic"] = kind
    else:
        del port["optic"]
    return (plan.strand,)


def too_long(plan: NetPlan) -> Words:
    device = plan.any_end()
    cable = plan.cable(device)
    limit = plan.rng.choice([("cat solid", 100), ("cat stranded", 80)])
    cable["kind"] = limit[0]
    first = plan.rng.randrange(20, 80)
    rest = limit[1] - first + plan.rng.randrange(1, 60)
    cable["length"] = plan.rng.choice([f"{first} m + {rest} m", f"{first + rest} m"])
    return (plan.ends[device][2],)


def eee(plan: NetPlan) -> Words:
    device = plan.any_end()
    plan.port(device)["EEE"] = plan.rng.choice(["on", "yes"])
    return (plan.ends[device][1],)


def over_budget(plan: NetPlan) -> Words:
    switch = plan.rng.choice([plan.truck, plan.stage])
    plan.tree["PoE limit"] = str(plan.rng.randrange(1, 6))
    return (switch,)


def poe_missing(plan: NetPlan) -> Words:
    device = plan.any_end("comms", "camera")
    if plan.rng.random() < 0.5:
        plan.port(device)["PoE"] = "off"
    else:
        del plan.port(device)["PoE"]
    return (device,)


def poe_no_source(plan: NetPlan) -> Words:
    side, cage = plan.rng.choice([plan.truck, plan.stage]), plan.rng.choice(["S1", "S2", "S3", "S4"])
    plan.tree["switches"][side].setdefault(cage, {})["PoE"] = "on"
    return (f"{side}/{cage}",)


def shared_address(plan: NetPlan) -> Words:
    one, other = plan.rng.sample([name for name, (role, _, _) in plan.ends.items() if role != "office"], 2)
    (address,) = plan.device(one)["address"].values()
    vlan = next(iter(plan.device(other)["address"]))
    plan.device(other)["address"] = {vlan: address}
    return one, other, address


def outside(plan: NetPlan) -> Words:
    device = plan.any_end("audio", "comms", "camera")
    role = plan.ends[device][0]
    strange = plan.rng.choice([plan.address(role, 0), plan.address(role, 255), f"172.16.{plan.rng.randrange(250)}.9"])
    plan.device(device)["address"] = {plan.vlan[role]: strange}
    return device, strange


def in_range(plan: NetPlan) -> Words:
    device = plan.any_end("office")
    address = plan.address("office", plan.rng.randrange(100, 200))
    plan.device(device)["address"] = {plan.vlan["office"]: address}
    return device, address


def no_range(plan: NetPlan) -> Words:
    del plan.of_vlan("office")["DHCP"]
    return (plan.vlan["office"],)


def overlap(plan: NetPlan) -> Words:
    one, other = plan.rng.sample(["audio", "comms", "camera", "office", "control"], 2)
    base = plan.of_vlan(one)["subnet"].partition("/")[0]
    plan.of_vlan(other)["subnet"] = f"{base}/{plan.rng.randrange(24, 30)}"
    return plan.vlan[one], plan.vlan[other]


def mac(plan: NetPlan) -> Words:
    one, other = plan.rng.sample(sorted(plan.ends), 2)
    address = f"02:00:00:{plan.rng.randrange(16, 99)}:{plan.rng.randrange(10, 99)}:0a"
    plan.device(one)["MAC"] = address
    plan.device(other)["MAC"] = plan.rng.choice([address, address.upper(), address.replace(":", "-")])
    return one, other


def gateway(plan: NetPlan) -> Words:
    role = plan.rng.choice(["audio", "comms", "camera", "office"])
    other = plan.any_end(*[name for name in ("audio", "comms", "camera", "office") if name != role])
    plan.of_vlan(role)["gateway"] = other
    return plan.vlan[role], other


def add_router(plan: NetPlan, *roles: str) -> str:
    name = plan.name()
    number = next(n for n in range(1, 17) if str(n) not in plan.tree["switches"][plan.truck])
    plan.tree["devices"][name] = {
        "kind": "router", "place": "here", "address": {plan.vlan[role]: plan.address(role, 60) for role in roles},
    }  # fmt: skip
    plan.tree["switches"][plan.truck][str(number)] = {}
    plan.tree["cables"][plan.name("C-")] = {
        "kind": "cat solid", "length": "3 m", "from": f"{plan.truck}/{number}", "to": f"{name}/1",
        "carries": [plan.vlan[role] for role in roles], "native": plan.vlan["park"],
    }  # fmt: skip
    return name


def router(plan: NetPlan) -> Words:
    one, other = plan.rng.sample(["audio", "comms", "camera", "control"], 2)
    name = add_router(plan, one, other)
    plan.device(name)["forwards"] = [plan.vlan[one], plan.vlan[other]]
    return name, plan.vlan[one], plan.vlan[other]


def bridging(plan: NetPlan) -> Words:
    device = plan.any_end("office")
    plan.device(device).update({"one interface": "no", "bridges ports": "yes"})
    return (device,)


def querier_missing(plan: NetPlan) -> Words:
    vlan = plan.of_vlan("audio")
    if plan.rng.random() < 0.5:
        del vlan["querier"]
    else:
        stranger = plan.any_end("audio")
        vlan["querier"] = {stranger: next(iter(plan.device(stranger)["address"].values()))}
    return (plan.vlan["audio"],)


def querier_order(plan: NetPlan) -> Words:
    vlan = plan.of_vlan("audio")
    if plan.rng.random() < 0.5:
        vlan["querier"] = dict(reversed(vlan["querier"].items()))
    else:
        switch = plan.rng.choice([plan.truck, plan.stage])
        vlan["querier"][switch] = plan.address("audio", plan.rng.randrange(200, 250))
    return (plan.vlan["audio"],)


def found_differs(plan: NetPlan) -> Words:
    device = plan.any_end()
    switch, _, number = plan.ends[device][1].partition("/")
    role = plan.ends[device][0]
    other = plan.vlan[plan.rng.choice([name for name in plan.vlan if name != role])]
    read = plan.rng.choice([
        {"state": "up", "untagged": other},
        {"state": "down"},
        {"state": "up", "untagged": plan.vlan[role], "speed": "100 M"},
        {"state": "up", "untagged": plan.vlan[role], "EEE": "on"},
    ])  # fmt: skip
    return reading(plan, switch, {number: read}, f"{switch}/{number}")


def id_twice(plan: NetPlan) -> Words:
    one, other = plan.rng.sample(sorted(plan.vlan), 2)
    plan.of_vlan(one)["id"] = plan.of_vlan(other)["id"]
    return plan.vlan[one], plan.vlan[other]


def spare_strand(plan: NetPlan) -> None:
    """A second strand that is laid or capped, its ports shut."""
    second_strand(plan, state=plan.rng.choice(["laid", "capped"]))
    for switch in (plan.truck, plan.stage):
        plan.tree["switches"][switch]["S2"]["shut"] = "yes"


def ring_with_tree(plan: NetPlan) -> None:
    """A second plugged strand, with spanning tree at all four ports; or a spare one."""
    if plan.rng.random() < 0.5:
        spare_strand(plan)
        return
    second_strand(plan)
    for switch in (plan.truck, plan.stage):
        for cage in ("S1", "S2"):
            plan.tree["switches"][switch][cage]["spanning tree"] = "on"


def sides_alike(plan: NetPlan) -> None:
    """Both sides of the strand written out alike, in another order; or read off a switch as planned."""
    cable = plan.tree["cables"][plan.strand]
    if plan.rng.random() < 0.3:
        side = plan.rng.choice([plan.truck, plan.stage])
        reading(plan, side, {"S1": {"state": "up", "untagged": cable["native"], "tagged": cable["carries"]}})
        return
    for switch in (plan.truck, plan.stage):
        tagged = plan.rng.sample(cable["carries"], len(cable["carries"]))
        plan.tree["switches"][switch]["S1"].update({"tagged": tagged, "native": cable["native"]})


def other_native_alike(plan: NetPlan) -> None:
    """Another native VLAN, the same at both ends."""
    native = plan.vlan[plan.rng.choice(["audio", "comms", "camera", "office", "control"])]
    tagged = [name for name in plan.tree["cables"][plan.strand]["carries"] if name != native]
    for switch in (plan.truck, plan.stage):
        order = plan.rng.sample(tagged, len(tagged))
        plan.tree["switches"][switch]["S1"].update({"tagged": order, "native": native})


def another_device(plan: NetPlan) -> None:
    """One more device at a free port, with a free address."""
    switch = plan.rng.choice([plan.truck, plan.stage])
    number = plan.rng.choice([n for n in range(1, 17) if str(n) not in plan.tree["switches"][switch]])
    plan.add_end(plan.rng.choice(["audio", "office"]), switch, number, plan.rng.randrange(70, 99))


def stays_where_it_is(plan: NetPlan) -> None:
    """A VLAN that may be on one switch only, and is; or on both, named both."""
    if plan.rng.random() < 0.5:
        role = plan.rng.choice(["audio", "comms", "camera", "office"])
        plan.of_vlan(role)["stays on"] = [plan.stage, plan.truck]
        return
    plan.of_vlan("control")["stays on"] = plan.truck
    number = plan.rng.choice([n for n in range(1, 17) if str(n) not in plan.tree["switches"][plan.truck]])
    plan.tree["switches"][plan.truck][str(number)] = {"access": plan.vlan["control"]}


def all_on_one_side(plan: NetPlan) -> None:
    """A VLAN that the strand does not carry, and whose devices all stand at one switch."""
    role, gone = plan.rng.choice(["comms", "camera", "office"]), plan.rng.choice([plan.truck, plan.stage])
    cable = plan.tree["cables"][plan.strand]
    cable["carries"] = [name for name in cable["carries"] if name != plan.vlan[role]]
    for device in [name for name, (own, port, _) in plan.ends.items() if own == role and device_of(port) == gone]:
        _, port, lead = plan.ends.pop(device)
        del plan.tree["devices"][device], plan.tree["cables"][lead]
        del plan.tree["switches"][gone][port.partition("/")[2]]


def unplugged_without_address(plan: NetPlan) -> None:
    """A device that nobody puts into a VLAN, with no cable, or a spare cable that is laid."""
    name = plan.name()
    plan.tree["devices"][name] = {
        "kind": plan.rng.choice(list(KINDS.values())),
        "place": "here",
        "one interface": "yes",
    }


def spare_lead(plan: NetPlan) -> None:
    """A laid or capped lead beside the plugged one in a port."""
    device = plan.any_end()
    plan.tree["cables"][plan.name("C-")] = {
        "kind": "cat solid", "length": "5 m", "from": plan.ends[device][1], "state": plan.rng.choice(["laid", "capped"]),
    }  # fmt: skip


def shut_behind_a_spare(plan: NetPlan) -> None:
    """A shut port with a lead that is only laid."""
    switch = plan.rng.choice([plan.truck, plan.stage])
    number = plan.rng.choice([n for n in range(1, 17) if str(n) not in plan.tree["switches"][switch]])
    plan.tree["switches"][switch][str(number)] = {"access": plan.vlan["park"], "shut": "yes"}
    plan.tree["cables"][plan.name("C-")] = {
        "kind": "cat solid", "length": "5 m", "from": f"{switch}/{number}", "state": plan.rng.choice(["laid", "capped"]),
    }  # fmt: skip


def speed_as_it_is(plan: NetPlan) -> None:
    """The speed of a port written as both ends have it."""
    plan.port(plan.any_end())["speed"] = plan.rng.choice(["1 G", "1 Gb/s", "1000 Mb/s"])


def optics_the_other_way(plan: NetPlan) -> None:
    """The two modules of the strand changed over, or the long-reach pair: still a pair."""
    pair = plan.rng.choice(
        [("O1S-D", "O1S-U"), ("O1-U", "O1-D"), ("O1-D", "O1-U"), ("O1-LH-U", "O1-LH-D"), ("O1-LH-D", "O1-LH-U")]
    )
    for switch, optic in zip((plan.truck, plan.stage), pair, strict=True):
        plan.tree["switches"][switch]["S1"]["optic"] = optic


def longest_allowed(plan: NetPlan) -> None:
    """A copper cable of just the length its kind allows."""
    kind, limit = plan.rng.choice([("cat solid", 100), ("cat stranded", 80)])
    first = plan.rng.randrange(1, limit)
    length = plan.rng.choice([f"{limit} m", f"{first} m + {limit - first} m"])
    plan.cable(plan.any_end()).update({"kind": kind, "length": length})


def eee_off(plan: NetPlan) -> None:
    """EEE written off."""
    plan.port(plan.any_end())["EEE"] = plan.rng.choice(["off", "no", "false"])


def budget_just_enough(plan: NetPlan) -> None:
    """A limit just above what is drawn: two panels of class 2 (7 W), two cameras of class 3 (15.4 W), of 120 W: 37.4 %."""
    plan.tree["PoE limit"] = str(plan.rng.randrange(38, 60))


def fed_otherwise(plan: NetPlan) -> None:
    """PoE off at the port of a device with a supply of its own, or of one that takes none."""
    if plan.rng.random() < 0.5:
        device = plan.any_end("audio", "office")
    else:
        device = plan.any_end("comms", "camera")
        plan.tree["supplies"] = {plan.name(): {"earth": "E1"}}
        plan.device(device)["supply"] = next(iter(plan.tree["supplies"]))
    plan.port(device)["PoE"] = "off"


def power_where_there_is_some(plan: NetPlan) -> None:
    """PoE written off at a cage, or on at a copper port that can feed."""
    side = plan.rng.choice([plan.truck, plan.stage])
    if plan.rng.random() < 0.5:
        plan.tree["switches"][side].setdefault(plan.rng.choice(["S1", "S2", "S3", "S4"]), {})["PoE"] = "off"
    else:
        plan.port(plan.any_end("audio", "office"))["PoE"] = "on"


def next_address(plan: NetPlan) -> None:
    """The same host number in two VLANs, or the address beside a device's own."""
    device = plan.any_end("audio", "comms", "camera")
    role = plan.ends[device][0]
    plan.device(device)["address"] = {plan.vlan[role]: plan.address(role, plan.rng.randrange(60, 250))}


def first_or_last_host(plan: NetPlan) -> None:
    """The first or the last address that a host of the subnet may have."""
    device = plan.any_end("comms", "camera")
    role = plan.ends[device][0]
    plan.device(device)["address"] = {plan.vlan[role]: plan.address(role, plan.rng.choice([1, 254]))}


def beside_the_range(plan: NetPlan) -> None:
    """A static address just below or just above the range that is given out."""
    device = plan.any_end("office")
    plan.device(device)["address"] = {plan.vlan["office"]: plan.address("office", plan.rng.choice([98, 99, 200, 201]))}


def static_or_ranged(plan: NetPlan) -> None:
    """Devices of the VLAN that gives out addresses made static, all but one."""
    waiting = [name for name, (role, _, _) in plan.ends.items() if role == "office"]
    for host, device in enumerate(plan.rng.sample(waiting, plan.rng.randrange(1, len(waiting))), 30):
        plan.device(device)["address"] = {plan.vlan["office"]: plan.address("office", host)}


def adjacent_subnets(plan: NetPlan) -> None:
    """Two subnets side by side: the halves of one range."""
    role = plan.rng.choice(["audio", "comms", "camera"])
    lower, upper = plan.address(role, 0), plan.address(role, 128)
    plan.of_vlan(role)["subnet"] = f"{lower}/25"
    plan.of_vlan("control")["subnet"] = f"{upper}/{plan.rng.randrange(25, 30)}"


def macs_nearly_alike(plan: NetPlan) -> None:
    """Two hardware addresses one digit apart."""
    one, other = plan.rng.sample(sorted(plan.ends), 2)
    start = f"02:00:00:{plan.rng.randrange(16, 99)}:{plan.rng.randrange(10, 99)}:0"
    plan.device(one)["MAC"], plan.device(other)["MAC"] = f"{start}1", f"{start}2"


def quiet_router(plan: NetPlan) -> None:
    """A router in two VLANs that forwards nothing, gateway of one of them."""
    one, other = plan.rng.sample(["audio", "comms", "camera", "control"], 2)
    plan.of_vlan(one)["gateway"] = add_router(plan, one, other)


def router_that_may(plan: NetPlan) -> None:
    """A router between two VLANs of which one says that it meets the other."""
    _, one, other = router(plan)
    names = plan.rng.sample([one, other], 2)
    plan.tree["vlans"][names[0]]["meets"] = names[1]


def said_to_part(plan: NetPlan) -> None:
    """A computer of which it is said in other words that nothing passes."""
    device = plan.device(plan.any_end("office"))
    del device["one interface"]
    device["bridges ports"] = plan.rng.choice(["no", "off"])


def one_querier(plan: NetPlan) -> None:
    """A single querier: a note at most."""
    querier = plan.of_vlan("audio")["querier"]
    del querier[plan.rng.choice(sorted(querier))]


def queriers_changed_over(plan: NetPlan) -> None:
    """Order and addresses of the queriers changed over together."""
    first, second = plan.address("audio", plan.rng.randrange(2, 9)), plan.address("audio", plan.rng.randrange(9, 19))
    plan.of_vlan("audio")["querier"] = {plan.stage: first, plan.truck: second}
    plan.device(plan.stage)["address"] = {plan.vlan["audio"]: first}
    plan.device(plan.truck)["address"] = {plan.vlan["audio"]: second}


def read_as_planned(plan: NetPlan) -> None:
    """A document read off a switch that agrees with the plan."""
    device = plan.any_end()
    switch, _, number = plan.ends[device][1].partition("/")
    vlan = plan.vlan[plan.ends[device][0]]
    named = plan.rng.choice([vlan, plan.tree["vlans"][vlan]["id"]])
    reading(plan, switch, {number: {"state": "up", "untagged": named, "speed": "1 G", "EEE": "off"}})


def neighbouring_numbers(plan: NetPlan) -> None:
    """Two VLAN numbers side by side."""
    one, other = plan.rng.sample(sorted(plan.vlan), 2)
    taken = {int(vlan["id"]) for vlan in plan.tree["vlans"].values()}
    free = [n for n in (int(plan.of_vlan(other)["id"]) - 1, int(plan.of_vlan(other)["id"]) + 1) if n not in taken]
    plan.of_vlan(one)["id"] = str(plan.rng.choice(free))


FAULTS: dict[str, Maker] = {
    "vlan-on-one-side": vlan_on_one_side, "native-differs": native_differs, "access-vlan-wrong": access_vlan_wrong,
    "vlan-leaks": vlan_leaks, "vlan-leaves-its-switch": vlan_leaves, "devices-cannot-meet": cannot_meet,
    "network-cable-missing": cable_missing, "network-loop": loop, "port-used-twice": used_twice,
    "shut-port-in-use": shut_in_use, "speed-differs": speed, "optics-not-a-pair": optics, "copper-too-long": too_long,
    "eee-on": eee, "poe-over-budget": over_budget, "poe-missing": poe_missing, "poe-without-source": poe_no_source,
    "address-shared": shared_address, "address-outside-subnet": outside, "address-in-dhcp-range": in_range,
    "dhcp-without-range": no_range, "subnets-overlap": overlap, "mac-twice": mac, "gateway-outside-vlan": gateway,
    "router-joins-vlans": router, "two-interfaces-bridge": bridging, "querier-missing": querier_missing,
    "querier-order": querier_order, "found-port-differs": found_differs, "vlan-id-twice": id_twice,
}  # fmt: skip
NEAR_MISSES: dict[str, Callable[[NetPlan], None]] = {
    "vlan-on-one-side": sides_alike, "native-differs": other_native_alike, "access-vlan-wrong": another_device,
    "vlan-leaks": other_native_alike, "vlan-leaves-its-switch": stays_where_it_is, "devices-cannot-meet": all_on_one_side,
    "network-cable-missing": unplugged_without_address, "network-loop": ring_with_tree, "port-used-twice": spare_lead,
    "shut-port-in-use": shut_behind_a_spare, "speed-differs": speed_as_it_is, "optics-not-a-pair": optics_the_other_way,
    "copper-too-long": longest_allowed, "eee-on": eee_off, "poe-over-budget": budget_just_enough,
    "poe-missing": fed_otherwise, "poe-without-source": power_where_there_is_some, "address-shared": next_address,
    "address-outside-subnet": first_or_last_host, "address-in-dhcp-range": beside_the_range,
    "dhcp-without-range": static_or_ranged, "subnets-overlap": adjacent_subnets, "mac-twice": macs_nearly_alike,
    "gateway-outside-vlan": quiet_router, "router-joins-vlans": router_that_may, "two-interfaces-bridge": said_to_part,
    "querier-missing": one_querier, "querier-order": queriers_changed_over, "found-port-differs": read_as_planned,
    "vlan-id-twice": neighbouring_numbers,
}  # fmt: skip
MODULES = {module.RULE.name: module for module in network.MODULES}


def written(plan: NetPlan) -> Draft:
    """Return the show, a found document in its own file."""
    document = plan.tree.pop("found document", None)
    draft = plan.draft()
    if document is not None:
        draft.files["found/read.yaml"] = json.dumps(document, indent=1)
    return draft


def bare(draft: Draft) -> str:
    """Return a show's texts without the remark that every variant bears."""
    return "\n".join(
        line for text in draft.files.values() for line in text.splitlines() if '"note": "variant ' not in line
    )


def test_every_rule_has_its_variants_and_near_misses() -> None:
    assert set(FAULTS) == set(NEAR_MISSES) == set(MODULES)


@pytest.mark.parametrize("rule", FAULTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    """The finding names what was edited, stands in a file of the show and says how to mend it; the variants differ."""
    seen = set()
    for run in range(RUNS):
        plan = netplan(random.Random(f"{rule} {run}"))
        words = FAULTS[rule](plan)
        draft = written(plan)
        found = [claim.finding for claim in claims(MODULES[rule], draft).values() if claim.status is Status.BROKEN]
        told = {
            f: "\n".join([f.id, f.message, *(reason.words for reason in f.because)]) for f in found if f is not None
        }
        named = [finding for finding, text in told.items() if all(word in text for word in words)]
        assert named, (run, words, list(told.values()))
        assert all(finding.fix and finding.spot.file in draft.files and finding.spot.line for finding in named)
        seen.add((named[0].message, named[0].spot))
    assert len(seen) == RUNS


@pytest.mark.parametrize("rule", NEAR_MISSES)
def test_near_misses_are_left_alone(rule: str) -> None:
    """The rule looks at every one of them, and makes neither an error nor a warning of it; they differ."""
    seen = set()
    for run in range(RUNS):
        plan = netplan(random.Random(f"{rule} harmless {run}"))
        before = bare(written(plan))
        NEAR_MISSES[rule](plan)
        draft = written(plan)
        found = claims(MODULES[rule], draft)
        assert found, (run, "the rule says nothing at all")
        loud = [
            claim.finding.message
            for claim in found.values()
            if claim.finding and claim.finding.severity > Severity.NOTE
        ]
        assert not loud, (run, loud)
        assert bare(draft) != before
        seen.add(bare(draft))
    assert len(seen) == RUNS


def test_the_plan_itself_is_clean() -> None:
    for run in range(20):
        plan = netplan(random.Random(f"clean {run}"))
        left = [finding.id for finding in written(plan).prove().findings if finding.severity > Severity.NOTE]
        assert not left, (run, left)
        assert {device_of(port) for _, port, _ in plan.ends.values()} == {plan.truck, plan.stage}
