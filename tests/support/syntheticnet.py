"""The network of a generated show: VLANs, addresses, switch ports, cables, streams."""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Address, IPv4Network

from support.syntheticfeeds import Feeds
from support.syntheticshow import STREAM_CHANNELS, Box, Plan, Row, Site
from support.synthetictext import Sections

PURPOSES = ("management", "audio", "internet", "pictures", "comms", "control", "park")


class Network:
    """The network part of a plan, written into sections as it is decided."""

    def __init__(self, plan: Plan, feeds: Feeds, sections: Sections) -> None:
        self.plan = plan
        self.rng = plan.rng
        self.sections = sections
        self.vlan = {purpose: plan.names.capitals() for purpose in PURPOSES}
        second = self.rng.randint(1, 250)
        self.subnets = {
            purpose: IPv4Network(
                f"10.{second + offset}.0.0/{20 if purpose in {'audio', 'comms', 'management'} else 24}"
            )
            for offset, purpose in enumerate(PURPOSES[:-1])
        }
        self.hosts = {purpose: self.host_numbers() for purpose in self.subnets}
        self.addresses: dict[tuple[str, str], str] = {}
        self.ports: dict[str, dict[str, str]] = {}
        self.free: dict[str, Iterator[str]] = {}
        self.write_vlans()
        self.write_switches()
        self.write_truck(feeds)
        for site in plan.sites:
            self.write_site(site)
        self.write_ports()
        self.channel = {plan.console: 0, plan.monitor: 0, plan.recorder: 0}
        self.box_streams: dict[str, list[str]] = {}
        self.write_streams(feeds)

    def host_numbers(self) -> Iterator[int]:
        """Yield rising host numbers; the lowest go to the switches, as the querier order wants."""
        number = self.rng.randint(2, 20)
        while True:
            yield number
            number += 1

    def address(self, purpose: str, device: str) -> str:
        """Give a device its address in a VLAN and return it."""
        found = str(IPv4Address(int(self.subnets[purpose].network_address) + next(self.hosts[purpose])))
        self.addresses[device, purpose] = found
        return found

    def addressed(self, device: str, *purposes: str) -> dict[str, str]:
        """Return the address mapping of a device."""
        return {self.vlan[purpose]: self.address(purpose, device) for purpose in purposes}

    def write_vlans(self) -> None:
        """Write the VLANs; the truck switch is the first querier of the audio VLAN, one more stands behind it."""
        plan, numbers = self.plan, self.rng.sample(range(2, 4000), len(PURPOSES))
        self.switch_addresses = {
            switch: self.addressed(switch, "management", "audio")
            for switch in (plan.truck_switch, *(site.switch for site in plan.sites))
        }
        audio = self.vlan["audio"]
        queriers = [plan.truck_switch, plan.sites[0].switch]
        for purpose, number in zip(PURPOSES, numbers, strict=True):
            keys: dict[str, object] = {"id": str(number)}
            if purpose in self.subnets:
                keys["subnet"] = str(self.subnets[purpose])
            if purpose == "audio":
                keys |= {"multicast": "yes", "snooping": "on"}
                keys["querier"] = {switch: self.switch_addresses[switch][audio] for switch in queriers}
            if purpose == "internet":
                base = str(self.subnets[purpose].network_address).removesuffix(".0")
                keys |= {"DHCP": f"{base}.100-199", "gateway": plan.router}
            self.sections.put("rig.yaml", "vlans", self.vlan[purpose], keys)

    def write_switches(self) -> None:
        """Write the switches and hand out their ports."""
        plan = self.plan
        self.free[plan.truck_switch] = iter([str(number) for number in range(1, plan.scale.truck_copper + 1)])
        fast = [f"{plan.truck_switch}/{number}" for number in range(45, 49)] if plan.scale.text else []
        self.fast = iter(fast)
        if fast:
            self.free[plan.truck_switch] = iter([str(number) for number in range(1, 45)])
        self.sections.device(
            plan.truck_switch, plan.scale.truck_switch, plan.rack, address=self.switch_addresses[plan.truck_switch]
        )
        for site in plan.sites:
            self.free[site.switch] = iter([str(number) for number in range(1, plan.scale.site_copper + 1)])
            address = self.switch_addresses[site.switch]
            self.sections.device(site.switch, plan.scale.site_switch, site.place, address=address)

    def plug(
        self, switch: str, end: str, purpose: str, *, poe: bool = False, fast: bool = False, **more: object
    ) -> None:
        """Run a data cable from the next port of a switch to an end."""
        port = next(self.fast) if fast and self.plan.scale.text else f"{switch}/{next(self.free[switch])}"
        self.ports[port] = {"access": self.vlan[purpose], **({"PoE": "on"} if poe else {})}
        stranded = self.rng.random() < 0.3
        length = self.rng.randint(2, 60 if stranded else 90)
        keys = {"kind": "cat stranded" if stranded else "cat solid", "length": f"{length} m"}
        self.sections.cable(self.plan.one("data cable"), {**keys, "from": port, "to": end, **more})

    def write_truck(self, feeds: Feeds) -> None:
        """Write what stands in the truck and its cables."""
        plan, device = self.plan, self.sections.device
        clock = {"domain": "0", "rate": "48 kHz"}
        for number, console in enumerate(name for name in (plan.console, plan.monitor) if name):
            role = {"priority1": str(100 + 5 * number), "role": "second" if number else "leader"}
            device(
                console, plan.scale.console, plan.booth, address=self.addressed(console, "audio", "control"),
                ports={"audio": self.vlan["audio"], "control": self.vlan["control"]},
                more={"bridges ports": "no", "link offset": "1 ms", "clock": {**clock, **role}},
            )  # fmt: skip
            self.plug(plan.truck_switch, f"{console}/audio", "audio", fast=True)
            self.plug(plan.truck_switch, f"{console}/control", "control")
        device(
            plan.recorder, plan.scale.recorder, plan.booth, address=self.addressed(plan.recorder, "audio"),
            more={"one interface": "yes", "link offset": "3 ms", "clock": {**clock, "role": "follower only"}},
        )  # fmt: skip
        self.plug(plan.truck_switch, plan.recorder, "audio", fast=True)
        device(plan.vision, "vision-mixer", plan.gallery, address=self.addressed(plan.vision, "control"))
        self.plug(plan.truck_switch, f"{plan.vision}/control", "control")
        device(plan.base, plan.scale.base, plan.rack, address=self.addressed(plan.base, "comms"))
        self.plug(plan.truck_switch, f"{plan.base}/net", "comms")
        for panel in feeds.truck_panels:
            place = next(row["place"] for row in feeds.stations if row["device"] == panel)
            device(panel, "key-panel", place, address=self.addressed(panel, "comms"))
            self.plug(plan.truck_switch, panel, "comms", poe=True)
        laptop = plan.one("laptop")
        address = self.addressed(laptop, "management")
        device(laptop, "computer", plan.booth, address=address, more={"one interface": "yes"})
        self.plug(plan.truck_switch, laptop, "management")
        self.write_router()

    def write_router(self) -> None:
        """Write the router behind a small trunk."""
        plan = self.plan
        address = self.addressed(plan.router, "management", "internet")
        self.sections.device(plan.router, "router", plan.rack, address=address)
        port = f"{plan.truck_switch}/{next(self.free[plan.truck_switch])}"
        tagged = [self.vlan["management"], self.vlan["internet"]]
        keys = {"kind": "cat stranded", "length": "3 m", "from": port, "to": f"{plan.router}/1"}
        self.sections.cable(plan.one("data cable"), {**keys, "carries": tagged, "native": self.vlan["park"]})
        self.ports[port] = {}

    def write_site(self, site: Site) -> None:
        """Write the devices of a site, its cables and the strand to the truck."""
        plan = self.plan
        up, down = plan.scale.optics
        index = plan.sites.index(site) + 1
        ends = f"{plan.truck_switch}/S{index}", f"{site.switch}/S1"
        self.ports[ends[0]], self.ports[ends[1]] = {"optic": up}, {"optic": down}
        carried = [self.vlan[purpose] for purpose in ("management", "audio", "internet", "pictures", "comms")]
        keys = {
            "kind": "single-mode strand",
            "length": f"{self.rng.randint(20, 300)} m",
            "from": ends[0],
            "to": ends[1],
        }
        keys["mated pairs"] = str(self.rng.choice([2, 3, 4]))
        self.sections.cable(plan.one("strand"), {**keys, "carries": carried, "native": self.vlan["park"]})
        for box in site.boxes:
            self.sections.device(
                box.name, plan.scale.box, site.place, address=self.addressed(box.name, "audio"),
                more={"link offset": "1 ms", "clock": {"domain": "0", **self.clock_role(box), "rate": "48 kHz"}},
            )  # fmt: skip
            self.plug(site.switch, f"{box.name}/audio", "audio")
        self.sections.device(site.panel, "key-panel", site.place, address=self.addressed(site.panel, "comms"))
        self.plug(site.switch, site.panel, "comms", poe=True)
        point = site.access_point
        self.sections.device(point, "access-point", site.place, address=self.addressed(point, "comms"))
        self.plug(site.switch, point, "comms", poe=True)
        for camera in site.cameras:
            self.sections.device(camera, "camera", site.place, address=self.addressed(camera, "pictures"))
            self.plug(site.switch, camera, "pictures", poe=True)
        for belt_pack in site.belt_packs:
            self.sections.device(belt_pack, "radio-belt-pack", site.place)

    def clock_role(self, box: Box) -> dict[str, str]:
        """Return a box's part in the clock: without a second console the first box leads when the console fails."""
        second = box is self.plan.boxes[0] and not self.plan.monitor
        return {"priority1": "110", "role": "second"} if second else {"role": "follower only"}

    def write_ports(self) -> None:
        """Write every switch port; those in no use are shut and parked."""
        plan, park = self.plan, self.vlan["park"]
        self.sections.put("rig.yaml", "templates", "parked", {"access": park, "shut": "yes"})
        for port, keys in self.ports.items():
            if keys:
                switch, _, name = port.partition("/")
                self.sections.port(switch, name, keys)
        for switch in (plan.truck_switch, *(site.switch for site in plan.sites)):
            for name in self.free[switch]:
                self.sections.port(switch, name, {"use": "parked"})

    def write_streams(self, feeds: Feeds) -> None:
        """Write the streams of the boxes and of the consoles."""
        stage = {name for group in feeds.stage_groups for name in group.members}
        strips: dict[str, int] = {self.plan.console: 0, self.plan.monitor: 0}
        for box in self.plan.boxes:
            for start in range(0, len(box.rows), STREAM_CHANNELS):
                rows = box.rows[start : start + STREAM_CHANNELS]
                self.box_stream(box, rows, start, strips, heard_on_stage=any(row["line"] in stage for row in rows))
            self.return_streams(box)

    def enter(self, device: str, count: int) -> str:
        """Return the next receiver channels of a device as a range."""
        first = self.channel[device] + 1
        self.channel[device] += count
        return f"{first}..{first + count - 1}" if count > 1 else str(first)

    def box_stream(
        self, box: Box, rows: list[Row], start: int, strips: dict[str, int], *, heard_on_stage: bool
    ) -> None:
        """Write one stream of a box to the consoles and, while it has tracks, to the recorder."""
        plan = self.plan
        consoles = [plan.console, *([plan.monitor] if plan.monitor and heard_on_stage else [])]
        receivers = {console: self.enter(console, len(rows)) for console in consoles}
        if self.channel[plan.recorder] + len(rows) <= plan.scale.tracks:
            receivers[plan.recorder] = self.enter(plan.recorder, len(rows))
        for row in rows:
            found = []
            for console in consoles:
                strips[console] += 1
                found.append(f"{console}/{strips[console]}")
            row["strip"], row["gain owner"] = ", ".join(found), plan.console
        name = plan.one("stream")
        last = start + len(rows)
        group = f"239.{self.rng.randint(1, 250)}.{len(self.box_streams)}.{start + 1}"
        keys: dict[str, object] = {"from": box.name, "channels": f"{start + 1}..{last}" if len(rows) > 1 else str(last)}
        keys |= {"packet time": "0.125 ms", "rate": "48 kHz", "group": group, "to": receivers}
        self.sections.put("show.yaml", "streams", name, keys)
        self.box_streams.setdefault(box.name, []).append(name)

    def return_streams(self, box: Box) -> None:
        """Write the streams from the consoles to a box; each channel comes out of the output of its number."""
        box.feeds.sort(key=lambda row: row["device"])
        for console in dict.fromkeys(row["device"] for row in box.feeds):
            rows = [row for row in box.feeds if row["device"] == console]
            for start in range(0, len(rows), STREAM_CHANNELS):
                part = rows[start : start + STREAM_CHANNELS]
                first = box.feeds.index(part[0]) + 1
                for offset, row in enumerate(part):
                    row["output"] = f"{box.name}/o{first + offset}"
                last = first + len(part) - 1
                keys: dict[str, object] = {"from": console, "feeds": [row["feed"] for row in part]}
                keys |= {"packet time": "0.125 ms", "rate": "48 kHz"}
                keys["to"] = {box.name: f"{first}..{last}" if len(part) > 1 else str(first)}
                self.sections.put("show.yaml", "streams", self.plan.one("stream"), keys)
