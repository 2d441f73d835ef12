"""A generated network of many switches and VLANs, each kept apart from others, to measure isolation with."""

from __future__ import annotations

import json
import random

from support.draft import Draft

KINDS = {
    "many": {"role": "switch", "figures": "example value", "ports": {"1..200": {"medium": "network", "way": "both", "rate": "1 G"}}},
    "end": {"role": "gateway", "figures": "example value", "ports": {"net": {"medium": "network", "way": "both", "rate": "1 G"}}},
}  # fmt: skip


def switches_show(rng: random.Random, switch_count: int = 200, vlan_count: int = 40, ends_each: int = 4) -> Draft:
    """Return a tree of switches whose trunks carry every VLAN; every VLAN says that it never reaches any later one."""
    vlans = [f"V{number}" for number in range(vlan_count)]
    tree: dict[str, dict[str, object]] = {
        "kinds": dict(KINDS),
        "vlans": {
            name: {"id": str(index + 2), "subnet": f"10.{index + 1}.0.0/16", "never reaches": vlans[index + 1 :]}
            for index, name in enumerate(vlans)
        },
        "devices": {},
        "switches": {},
        "cables": {},
    }
    used = [0] * switch_count
    for switch in range(switch_count):
        tree["devices"][f"S{switch}"] = {"kind": "many"}
        ports = {}
        for _ in range(ends_each):
            used[switch] += 1
            index, end = rng.randrange(vlan_count), f"E{switch}-{used[switch]}"
            ports[str(used[switch])] = {"access": vlans[index]}
            address = f"10.{index + 1}.{switch}.{used[switch]}"
            tree["devices"][end] = {"kind": "end", "address": {vlans[index]: address}}
            tree["cables"][f"C{end}"] = {
                "kind": "cat solid",
                "length": "5 m",
                "from": f"S{switch}/{used[switch]}",
                "to": end,
            }
        tree["switches"][f"S{switch}"] = ports
    for switch in range(1, switch_count):
        other = rng.randrange(max(0, switch - 8), switch)
        used[switch], used[other] = used[switch] + 1, used[other] + 1
        tree["cables"][f"T{switch}"] = {
            "kind": "cat solid", "length": "50 m", "from": f"S{other}/{used[other]}", "to": f"S{switch}/{used[switch]}",
            "carries": vlans,
        }  # fmt: skip
    return Draft({"show.yaml": json.dumps(tree)})
