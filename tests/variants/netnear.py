"""Near misses of the faults of a small network: edits that come close to a rule and harm nothing."""

from __future__ import annotations

from tailboard.model.show import device_of
from variants.netfaults import add_router, powered_kind, reading, router, second_strand
from variants.netplans import KINDS, NetPlan


def spare_strand(plan: NetPlan) -> None:
    """A second strand that is laid or capped, its ports shut."""
    second_strand(plan, state=plan.rng.choice(["laid", "capped"]))
    for switch in (plan.truck, plan.stage):
        plan.tree["switches"][switch]["S2"]["shut"] = "yes"


def trunk_not_needed(plan: NetPlan) -> None:
    """A spare strand beside the plugged one, which of the two is which; or a strand to a switch with nothing on it."""
    if plan.rng.random() < 0.5:
        other = second_strand(plan, state="plugged")
        idle = plan.rng.choice([plan.strand, other])
        plan.tree["cables"][idle]["state"] = plan.rng.choice(["laid", "capped"])
        return
    name = plan.name()
    plan.tree["devices"][name] = {"kind": "switch-8-copper-2-sfp", "place": "here"}
    state = plan.rng.choice(["laid", "capped"])
    ends = {"from": f"{plan.rng.choice([plan.truck, plan.stage])}/S3", "to": f"{name}/S1"}
    plan.tree["cables"][plan.name("F-")] = {**plan.tree["cables"][plan.strand], **ends, "state": state}


def strands_of_one_drum(plan: NetPlan) -> None:
    """Different strands of one drum, or the same strand of two drums."""
    drum, strand = plan.name("D-"), plan.rng.randrange(1, 13)
    other, same = (drum, strand + 1) if plan.rng.random() < 0.5 else (plan.name("D-"), strand)
    plan.tree["cables"][plan.strand].update({"drum": drum, "strand": str(strand)})
    spare = {"kind": "single-mode strand", "length": f"{plan.rng.randrange(20, 300)} m"}
    plan.tree["cables"][plan.name("F-")] = {**spare, "drum": other, "strand": str(same)}
    plan.tree["cables"][plan.name("F-")] = {**spare, "drum": drum, "strand": str(strand + 2)}


def class_just_enough(plan: NetPlan) -> None:
    """A kind that draws as much as a port gives to its class, or less."""
    device, kind = plan.any_end("comms", "camera"), plan.name("K-")
    poe_class = plan.rng.choice([1, 2, 3])
    power_w = {1: 4, 2: 7, 3: 15.4}[poe_class] - plan.rng.choice([0, 0.1, plan.rng.randrange(0, 4)])
    plan.tree["kinds"] = {kind: powered_kind(poe_class, power_w)}
    plan.device(device)["kind"] = kind


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
    """The same host number in two VLANs, or the address beside a device's own; or a querier with its switch's address."""
    if plan.rng.random() < 0.3:
        plan.of_vlan("audio")["querier"] = {plan.truck: plan.device(plan.truck)["address"][plan.vlan["audio"]]}
        plan.device(plan.stage)["address"] = {plan.vlan["audio"]: plan.address("audio", plan.rng.randrange(100, 250))}
        return
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
