"""Random networks with streams to break: switches in a tree, senders and receivers, a second network; names drawn anew."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass, field
from typing import Any

from support.draft import Draft

Tree = dict[str, Any]
KINDS: Tree = {
    "gateway-2": {
        "role": "gateway", "converts rate": "yes", "figures": "data sheet of the maker, issue 2", "send channels": "64",
        "receive channels": "64", "channels per stream": "64", "copy class": "D",
        "ports": {
            "a": {"medium": "network", "way": "both", "rate": "1 G"},
            "b": {"medium": "network", "way": "both", "rate": "1 G"},
        },
    },
    "tree-switch": {
        "role": "switch", "figures": "data sheet of the maker, issue 2", "forwarding": "5 us", "PoE budget": "400 W",
        "ports": {"1..40": {"medium": "network", "way": "both", "rate": "1 G", "PoE source": "yes"}},
    },
}  # fmt: skip
KINDS["gateway-a"] = {**KINDS["gateway-2"], "copy class": "A"}


@dataclass
class StreamNet:
    """One network as the tree of its show.yaml.

    switches  the switches of the first network, each but the first joined to an earlier one; other the second's only one.
    gateways  devices with port a in the first network and port b in the second; packs those of 100 Mb/s.
    """

    rng: random.Random
    audio: str = ""
    second: str = ""
    pictures: str = ""
    switches: list[str] = field(default_factory=list)
    other: str = ""
    gateways: list[str] = field(default_factory=list)
    packs: list[str] = field(default_factory=list)
    cameras: list[str] = field(default_factory=list)
    decoder: str = ""
    used: dict[str, int] = field(default_factory=dict)
    tree: Tree = field(default_factory=dict)

    @classmethod
    def draw(cls, rng: random.Random) -> StreamNet:
        """Return a clean network."""
        net = cls(rng)
        net.audio, net.second, net.pictures = net.name("V-"), net.name("V-"), net.name("V-")
        part = rng.randrange(1, 250)
        numbers = rng.sample(range(2, 4000), 3)
        net.tree = {
            "places": {"here": {}},
            "vlans": {
                name: {"id": str(number), "subnet": f"10.{part}.{index}.0/24"}
                for index, (name, number) in enumerate(zip((net.audio, net.second, net.pictures), numbers, strict=True))
            },
            "devices": {}, "switches": {}, "cables": {}, "streams": {},
        }  # fmt: skip
        net.add_switches(rng.randrange(2, 5))
        net.add_ends()
        net.snooping(on=True)
        for _ in range(rng.randrange(2, 7)):
            net.add_stream()
        return net

    def name(self, prefix: str = "") -> str:
        """Return a name nothing bears yet."""
        return f"{prefix}{''.join(self.rng.choices('BDFGKLMNPRSTVZ', k=4))}-{self.rng.randrange(10, 99)}"

    def address(self, vlan: str) -> str:
        """Return the next free address in a VLAN."""
        self.used[vlan] = self.used.get(vlan, 10) + 1
        return f"{self.tree['vlans'][vlan]['subnet'].rpartition('.')[0]}.{self.used[vlan]}"

    def join(self, switch: str, end: str, settings: Tree) -> None:
        """Plug a cable from a free port of a switch, with its settings, to a port."""
        self.used[switch] = self.used.get(switch, 0) + 1
        self.tree["switches"].setdefault(switch, {})[str(self.used[switch])] = settings
        self.tree["cables"][self.name("C-")] = {
            "kind": "cat solid", "length": f"{self.rng.randrange(2, 95)} m", "from": f"{switch}/{self.used[switch]}", "to": end,
        }  # fmt: skip

    def add_switches(self, count: int) -> None:
        """Add the switches of both networks."""
        for _ in range(count):
            switch = self.name()
            self.tree["devices"][switch] = {
                "kind": "tree-switch", "place": "here", "address": {self.audio: self.address(self.audio)},
            }  # fmt: skip
            if self.switches:
                near = self.rng.choice(self.switches)
                trunk = {"tagged": [self.audio, self.pictures]}
                self.used[switch] = 1
                self.tree["switches"][switch] = {"1": trunk}
                self.join(near, f"{switch}/1", dict(trunk))
            self.switches.append(switch)
        self.other = self.name()
        self.tree["devices"][self.other] = {
            "kind": "tree-switch", "place": "here", "address": {self.second: self.address(self.second)},
        }  # fmt: skip

    def add_ends(self) -> None:
        """Add gateways, packs and cameras, and the one device that takes the pictures."""
        rng, devices = self.rng, self.tree["devices"]
        for _ in range(rng.randrange(3, 7)):
            name = self.name()
            self.gateways.append(name)
            devices[name] = {
                "kind": "gateway-2", "place": "here", "bridges ports": "no", "ports": {"a": self.audio, "b": self.second},
                "address": {self.audio: self.address(self.audio), self.second: self.address(self.second)},
            }  # fmt: skip
            self.join(rng.choice(self.switches), f"{name}/a", {"access": self.audio})
            self.join(self.other, f"{name}/b", {"access": self.second})
        for kind, vlan, names, count in (
            ("wired-belt-pack", self.audio, self.packs, rng.randrange(1, 4)),
            ("camera", self.pictures, self.cameras, rng.randrange(1, 4)),
        ):
            for _ in range(count):
                name = self.name()
                names.append(name)
                devices[name] = {"kind": kind, "place": "here", "address": {vlan: self.address(vlan)}}
                self.join(rng.choice(self.switches), f"{name}/net", {"access": vlan, "PoE": "on"})
        self.decoder = self.name()
        devices[self.decoder] = {
            "kind": "camera-receiver", "place": "here", "address": {self.pictures: self.address(self.pictures)},
        }  # fmt: skip
        self.join(rng.choice(self.switches), f"{self.decoder}/net", {"access": self.pictures})

    def add_stream(self, **keys: Any) -> str:
        """Add a stream between gateways, by multicast to one or more, or by unicast; half of them on both networks."""
        rng, name = self.rng, self.name("S-")
        sender, *others = rng.sample(self.gateways, len(self.gateways))
        packet, most = rng.choice([("1 ms", 9), ("0.125 ms", 16), ("0.25 ms", 16)])
        stream: Tree = {
            "from": sender, "channel count": str(rng.randrange(1, most)), "packet time": packet, "rate": "48 kHz",
            "vlan": self.audio, "to": others[: rng.randrange(1, len(others) + 1)],
        }  # fmt: skip
        if rng.random() < 0.7:
            stream["group"] = self.group()
        if rng.random() < 0.5:
            stream["second vlan"] = self.second
        self.tree["streams"][name] = {**stream, **keys}
        return name

    def group(self) -> str:
        """Return a group nobody uses yet, in one range."""
        self.used["group"] = self.used.get("group", 0) + 1
        return f"239.77.{self.rng.randrange(1, 250)}.{self.used['group']}"

    def multicast(self) -> list[str]:
        """Return the streams that go to a group; one more is added if there is none."""
        found = [name for name, stream in self.tree["streams"].items() if "group" in stream]
        return found or [self.add_stream(group=self.group())]

    def doubled(self) -> str:
        """Return a stream that runs on both networks."""
        found = [name for name, stream in self.tree["streams"].items() if "second vlan" in stream]
        return self.rng.choice(found) if found else self.add_stream(**{"second vlan": self.second})

    def stream(self, name: str) -> Tree:
        """Return a stream."""
        found: Tree = self.tree["streams"][name]
        return found

    def port_of(self, end: str) -> tuple[str, str]:
        """Return the switch and port number that a port's cable leads to."""
        cable = self.cable_of(end)
        switch, _, number = str(cable["from"]).partition("/")
        return switch, number

    def cable_of(self, end: str) -> Tree:
        """Return the cable at an end port."""
        found: Tree = next(cable for cable in self.tree["cables"].values() if cable["to"] == end)
        return found

    def drop_receiver(self) -> str:
        """Take one receiver from a stream that has several, or the stream's last one; return what was taken."""
        several = [name for name, stream in self.tree["streams"].items() if len(stream["to"]) > 1]
        name = self.rng.choice(several or list(self.tree["streams"]))
        taken: str = self.stream(name)["to"].pop(self.rng.randrange(len(self.stream(name)["to"])))
        if not self.stream(name)["to"]:
            del self.tree["streams"][name]
        return taken

    def snooping(self, *, on: bool) -> StreamNet:
        """Let the audio VLANs snoop, with queriers; or flood, without."""
        for vlan, switches in ((self.audio, self.switches[:2]), (self.second, [self.other])):
            record = self.tree["vlans"][vlan]
            record.pop("querier", None)
            record["snooping"] = "on" if on else "off"
            if on:
                devices = self.tree["devices"]
                record["querier"] = {switch: devices[switch]["address"][vlan] for switch in switches}
        return self

    @property
    def flood_count(self) -> int:
        """How many ports a flood of the audio VLAN leaves by: the sender's own, one a trunk, one every other end port."""
        return len(self.switches) - 1 + len(self.gateways) + len(self.packs)

    def draft(self) -> Draft:
        """Return the show; a remark tells this variant from others."""
        self.tree["note"] = f"variant {self.rng.randrange(10**9)}"
        return Draft(
            {"show.yaml": json.dumps(self.tree, indent=1), "kinds/own.yaml": json.dumps({"kinds": KINDS}, indent=1)}
        )
