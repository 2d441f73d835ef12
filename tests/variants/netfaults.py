"""Random faults of a small network, one maker a rule: each edits the plan and returns the words a finding must hold."""

from __future__ import annotations

from variants.netplans import NetPlan

Words = tuple[str, ...]


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
    """At one end of the strand; or at a switch port to a router, of which the cable says another."""
    if plan.rng.random() < 0.3:
        router = add_router(plan, "audio")
        port, lead = trunk_to(plan, router)
        native = plan.vlan[plan.rng.choice(["comms", "camera", "office", "control"])]
        port.update({"tagged": [plan.vlan["audio"]], "native": native})
        return lead, native, router
    return native_of_strand(plan)


def trunk_to(plan: NetPlan, router: str) -> tuple[dict[str, object], str]:
    """Return the entry of the switch port to a router, and its cable."""
    lead, cable = next((name, cable) for name, cable in plan.tree["cables"].items() if cable["to"] == f"{router}/1")
    switch, _, number = cable["from"].partition("/")
    port: dict[str, object] = plan.tree["switches"][switch][number]
    return port, lead


def native_of_strand(plan: NetPlan) -> Words:
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
    native_of_strand(plan)
    native = plan.vlan["audio"]
    tagged = [name for name in plan.tree["cables"][plan.strand]["carries"] if name != native]
    plan.tree["switches"][plan.truck]["S1"].update({"tagged": tagged, "native": native})
    plan.tree["switches"][plan.stage]["S1"].update({"tagged": tagged, "native": plan.vlan["camera"]})
    return native, plan.vlan["camera"]


def vlan_leaves(plan: NetPlan) -> Words:
    """A VLAN on the other switch too; or carried to a router that is not in it."""
    role = plan.rng.choice(["audio", "comms", "camera", "office"])
    if plan.rng.random() < 0.4:
        router = add_router(plan, plan.rng.choice([other for other in ("audio", "comms", "camera") if other != role]))
        _, lead = trunk_to(plan, router)
        plan.tree["cables"][lead]["carries"].append(plan.vlan[role])
        plan.of_vlan(role)["stays on"] = [plan.truck, plan.stage]
        return plan.vlan[role], lead
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


def trunk_idle(plan: NetPlan) -> Words:
    """The one strand is laid or capped, with or without a capped spare beside it."""
    plan.tree["cables"][plan.strand]["state"] = plan.rng.choice(["laid", "capped"])
    if plan.rng.random() < 0.5:
        second_strand(plan, state="capped")
    return plan.strand, plan.truck, plan.stage


def strand_twice(plan: NetPlan) -> Words:
    """Two cables of the plan, the one in use among them or not, are one strand of one drum."""
    drum, strand = plan.name("D-"), str(plan.rng.randrange(1, 13))
    names = [plan.strand, *(plan.name("F-") for _ in range(plan.rng.randrange(1, 4)))]
    for number, name in enumerate(names):
        spare = {"kind": "single-mode strand", "length": f"{plan.rng.randrange(20, 300)} m"}
        plan.tree["cables"].setdefault(name, spare).update({"drum": drum, "strand": str(20 + number)})
    one, other = plan.rng.sample(names, 2)
    for name in (one, other):
        plan.tree["cables"][name]["strand"] = strand
    return one, other, drum


def class_exceeded(plan: NetPlan) -> Words:
    device = plan.any_end("comms", "camera")
    kind, poe_class = plan.name("K-"), plan.rng.choice([1, 2, 3, 4])
    power_w = {1: 4, 2: 7, 3: 15.4, 4: 30}[poe_class] + plan.rng.choice([0.1, 1, 5, plan.rng.randrange(2, 40)])
    plan.tree["kinds"] = {kind: powered_kind(poe_class, power_w)}
    plan.device(device)["kind"] = kind
    return device, plan.ends[device][1], f"{power_w:g} W"


def powered_kind(poe_class: int, power_w: float) -> dict[str, object]:
    """Return a kind of panel fed by PoE."""
    port = {"medium": "network", "way": "both", "rate": "1 G", "PoE class": str(poe_class)}
    return {"role": "panel", "PoE power": f"{power_w:g} W", "ports": {"net": port}}


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
    """Two devices; or a switch that queries a VLAN by the address of a device there."""
    one, other = plan.rng.sample([name for name, (role, _, _) in plan.ends.items() if role != "office"], 2)
    (address,) = plan.device(one)["address"].values()
    if plan.rng.random() < 0.3:
        role, switch = plan.ends[one][0], plan.rng.choice([plan.truck, plan.stage])
        plan.of_vlan(role).update({"snooping": "on", "querier": {switch: address}})
        return one, switch, address
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
