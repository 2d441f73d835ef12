"""Small random networks to break: two switches, a strand, a few devices a VLAN, every name and figure drawn anew."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field
from typing import Any

from support.draft import Draft

Tree = dict[str, Any]
KINDS = {"audio": "recorder-32", "comms": "key-panel", "camera": "camera", "office": "computer"}
PORT = {"recorder-32": "audio", "key-panel": "net", "camera": "net", "computer": "net"}
POWERED = frozenset({"comms", "camera"})


@dataclass
class NetPlan:
    """One network as the tree of its show.yaml.

    truck, stage  the two switches; strand the cable between them, in S1 of both.
    vlan          role ('audio', 'comms', 'camera', 'office', 'control', 'park'): name.
    ends          device: (role, switch port, cable).
    """

    rng: random.Random
    truck: str = ""
    stage: str = ""
    strand: str = ""
    vlan: dict[str, str] = field(default_factory=dict)
    ends: dict[str, tuple[str, str, str]] = field(default_factory=dict)
    tree: Tree = field(default_factory=dict)

    def name(self, prefix: str = "") -> str:
        """Return a name nothing bears yet."""
        return f"{prefix}{''.join(self.rng.choices('BDFGKLMNPRSTVZ', k=3))}-{self.rng.randrange(10, 99)}"

    def any_end(self, *roles: str) -> str:
        """Return a device of one of the roles; of any where none is given."""
        return self.rng.choice([name for name, (role, _, _) in self.ends.items() if not roles or role in roles])

    def port(self, device: str) -> Tree:
        """Return the switch port a device is plugged into."""
        switch, _, number = self.ends[device][1].partition("/")
        found: Tree = self.tree["switches"][switch][number]
        return found

    def cable(self, device: str) -> Tree:
        """Return the cable of a device."""
        found: Tree = self.tree["cables"][self.ends[device][2]]
        return found

    def device(self, name: str) -> Tree:
        """Return a device."""
        found: Tree = self.tree["devices"][name]
        return found

    def of_vlan(self, role: str) -> Tree:
        """Return the VLAN of a role."""
        found: Tree = self.tree["vlans"][self.vlan[role]]
        return found

    def address(self, role: str, host: int) -> str:
        """Return an address in the subnet of a role."""
        return f"{self.of_vlan(role)['subnet'].rpartition('.')[0]}.{host}"

    def draft(self) -> Draft:
        """Return the show; a remark tells this variant from others."""
        self.tree["note"] = f"variant {self.rng.randrange(10**9)}"
        return Draft({"show.yaml": json.dumps(self.tree, indent=1, ensure_ascii=False)})

    def add_end(self, role: str, switch: str, number: int, host: int) -> str:
        """Add a device of a role at a switch port, with its cable and address."""
        kind, name, cable = KINDS[role], self.name(), self.name("C-")
        entry: Tree = {"kind": kind, "place": "here", "address": {self.vlan[role]: self.address(role, host)}}
        if role == "office":
            entry.update({"address": {self.vlan[role]: "dhcp"}, "one interface": "yes"})
        if role == "audio":
            entry["one interface"] = "yes"
        self.tree["devices"][name] = entry
        self.tree["switches"][switch][str(number)] = {"access": self.vlan[role]} | (
            {"PoE": "on"} if role in POWERED else {}
        )
        self.tree["cables"][cable] = {
            "kind": "cat solid",
            "length": f"{self.rng.randrange(2, 95)} m",
            "from": f"{switch}/{number}",
            "to": f"{name}/{PORT[kind]}",
        }
        self.ends[name] = (role, f"{switch}/{number}", cable)
        return name


def netplan(rng: random.Random) -> NetPlan:
    """Return a clean network."""
    plan = NetPlan(rng)
    plan.truck, plan.stage, plan.strand = plan.name(), plan.name(), plan.name("F-")
    plan.vlan = {role: plan.name("V-") for role in ("audio", "comms", "camera", "office", "control", "park")}
    numbers = rng.sample(range(2, 4000), len(plan.vlan))
    second = rng.randrange(1, 250)
    vlans: Tree = {}
    for index, (role, name) in enumerate(plan.vlan.items()):
        vlans[name] = {"id": str(numbers[index])}
        if role != "park":
            vlans[name]["subnet"] = f"10.{second}.{index + 1}.0/24"
    plan.tree = bare_tree(plan, vlans)
    plan.of_vlan("office")["DHCP"] = plan.address("office", 100) + "-199"
    add_queriers(plan)
    host = 20
    for switch in (plan.truck, plan.stage):
        ports = iter(rng.sample(range(1, 17), 8))
        for role in KINDS:
            for _ in range(rng.randrange(1, 3)):
                plan.add_end(role, switch, next(ports), host)
                host += 1
    return plan


def bare_tree(plan: NetPlan, vlans: Tree) -> Tree:
    """Return the two switches and the strand between them."""
    carried = [plan.vlan[role] for role in ("audio", "comms", "camera", "office")]
    return {
        "vlans": vlans,
        "places": {"here": {}},
        "devices": {
            plan.truck: {"kind": "switch-16-copper-4-sfp", "place": "here"},
            plan.stage: {"kind": "switch-16-copper-4-sfp", "place": "here"},
        },
        "switches": {plan.truck: {"S1": {"optic": "O1S-U"}}, plan.stage: {"S1": {"optic": "O1S-D"}}},
        "cables": {
            plan.strand: {
                "kind": "single-mode strand",
                "length": f"{plan.rng.randrange(20, 900)} m",
                "mated pairs": "2",
                "from": f"{plan.truck}/S1",
                "to": f"{plan.stage}/S1",
                "carries": carried,
                "native": plan.vlan["park"],
            }
        },
    }


def add_queriers(plan: NetPlan) -> None:
    """Let both switches query the audio VLAN, the truck's first."""
    lowest = plan.rng.randrange(2, 9)
    queriers = {plan.truck: plan.address("audio", lowest), plan.stage: plan.address("audio", lowest + 1)}
    plan.of_vlan("audio").update({"snooping": "on", "querier": queriers})
    for switch, address in queriers.items():
        plan.device(switch)["address"] = {plan.vlan["audio"]: address}
