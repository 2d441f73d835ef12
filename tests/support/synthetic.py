"""Random shows that look like real ones and are clean: a truck, places with boxes, lines, feeds, comms, network."""

from __future__ import annotations

import random
from dataclasses import dataclass

from support.draft import Draft
from support.syntheticfeeds import Feeds
from support.syntheticnet import Network
from support.syntheticshow import Box, Plan, Row
from support.synthetictext import Sections, table
from tailboard.text.ranges import compress

LINE_COLUMNS = "line source place label type 48V gain hole strip gain_owner pair reserve gear spare"
FEED_COLUMNS = "feed label listener place by gear mix minus interrupt output own_voice device"
BUS_COLUMNS = "bus device width members minus on_air"


def synthetic(rng: random.Random, lines: int = 40) -> Draft:
    """Return a clean show with about that many lines and half as many feeds; lines 10..10,000."""
    plan = Plan(rng, lines)
    feeds = Feeds(plan, lines // 2)
    sections = Sections()
    network = Network(plan, feeds, sections)
    Analogue(plan, feeds, sections).write()
    places(plan, sections)
    recording(plan, feeds, network)
    show = f"format: 1\ntitle: {plan.names.word()}\ndate: 2027-{rng.randint(1, 12):02d}-{rng.randint(1, 28):02d}\nrig: rig.yaml"
    files = {
        "rig.yaml": sections.text("rig.yaml", "format: 1", plan.scale.text),
        "show.yaml": sections.text("show.yaml", show, accepted(plan)),
        "lines.csv": table(columns(LINE_COLUMNS), plan.rows),
        "feeds.csv": table(columns(FEED_COLUMNS), feeds.rows),
        "buses.csv": table(columns(BUS_COLUMNS), bus_rows(plan)),
        "comms.csv": table(columns("station person place device talk keys listen"), feeds.stations),
        "hearing.csv": table(columns("listener by always on_key never"), feeds.hearing),
        **found(plan, network),
    }
    return Draft(files)


def columns(words: str) -> list[str]:
    """Return column headings; an underscore stands for a blank."""
    return [word.replace("_", " ") for word in words.split()]


def bus_rows(plan: Plan) -> list[Row]:
    """Return the rows of buses.csv."""
    return [
        {
            "bus": group.name,
            "device": group.device,
            "width": group.width,
            "members": compress(group.members),
            "minus": compress(group.minus),
            "on air": "yes" if group.on_air else "",
        }
        for group in plan.groups
    ]


def accepted(plan: Plan) -> str:
    """Return the section that accepts what every one-truck show has: a reserve shares the way with its main line."""
    entries = [
        f'  - {{claim: "reserve-shares-failure:{main}:{other}", because: one truck, by: technical manager, on: 2027-01-01}}'
        for main, other in plan.reserve.items()
    ]
    return "\n".join(["accepted:", *entries]) if entries else ""


def places(plan: Plan, sections: Sections) -> None:
    """Write the supplies and places."""
    own, house = plan.names.capitals(), plan.names.capitals()
    sections.put("rig.yaml", "supplies", own, {"earth": plan.names.capitals()})
    sections.put("show.yaml", "supplies", house, {"earth": plan.names.capitals()})
    for place in (plan.booth, plan.rack, plan.gallery):
        sections.put("rig.yaml", "places", place, {"supply": own})
    for visit, place in enumerate([*(site.place for site in plan.sites), plan.foyer], 1):
        sections.put("show.yaml", "places", place, {"supply": house, "visit": str(visit)})


def recording(plan: Plan, feeds: Feeds, network: Network) -> None:
    """Add the feed of single tracks to the recorder, for the first box."""
    box = plan.boxes[0]
    if network.channel[plan.recorder] >= len(box.rows):
        feeds.add(
            listener="recorder", place=plan.booth, by="machine", gear=plan.recorder,
            mix=compress(row["line"] for row in box.rows), output=", ".join(network.box_streams[box.name]),
        )  # fmt: skip


def found(plan: Plan, network: Network) -> dict[str, str]:
    """Return documents that agree with the plan: the lid of a box, the ports of a switch, a letter of the house."""
    rng, files = plan.rng, {}
    box = rng.choice(plan.boxes)
    labels = [f"    {row['hole'].partition('/')[2]}: {row['label']}" for row in box.rows]
    labels += [f"    {row['output'].partition('/')[2]}: {row['label']}" for row in box.feeds]
    read = "read: {by: assistant, on: 2027-01-02 16:20}"
    files[f"found/{plan.names.word()}.yaml"] = "\n".join([read, "labels:", f"  {box.name}:", *labels]) + "\n"
    switch = rng.choice(plan.sites).switch
    ports = [
        f"    {port.partition('/')[2]}: {{state: up, untagged: {keys['access']}}}"
        for port, keys in network.ports.items()
        if port.startswith(f"{switch}/") and "access" in keys
    ]
    files[f"found/{plan.names.word()}.yaml"] = "\n".join([read, "ports:", f"  {switch}:", *ports]) + "\n"
    files["found/house.yaml"] = f"{read}\nhouse: {{ranges in use: [192.168.{rng.randint(0, 255)}.0/24]}}\n"
    return files


@dataclass
class Analogue:
    """The analogue cables and the gear on them."""

    plan: Plan
    feeds: Feeds
    sections: Sections

    def write(self) -> None:
        """Write the cables of most boxes and all gear."""
        plan, device = self.plan, self.sections.device
        if plan.house:
            device(plan.house_desk, "house-desk", plan.foyer)
        for box in plan.boxes:
            self.line_cables(box, written=plan.rng.random() < 0.7)
        for name, kind, box in self.feeds.gear:
            device(name, kind, box.site.place)
            feed = next(row for row in box.feeds if row.get("gear") == name)
            self.cable("line", feed["output"], name)
        for monitor, output in zip(self.feeds.monitors, (5, 6), strict=True):
            device(monitor, "active-loudspeaker", plan.booth)
            self.cable("line", f"{plan.console}/o{output}", monitor)
        for number in (1, 2):
            self.cable("line", f"{plan.console}/o{number}", f"{plan.vision}/a{number}")
        self.circuit()

    def circuit(self) -> None:
        """Write the circuit by which the director talks to the ears, and back where there is an off-air key."""
        plan, feeds = self.plan, self.feeds
        keys = {"device": plan.base, "out": f"{plan.base}/4W1out"}
        self.cable("line", f"{plan.base}/4W1out", f"{plan.console}/a1")
        if feeds.talks_back:
            keys["in"] = f"{plan.base}/4W1in"
            self.cable("line", f"{plan.console}/o3", f"{plan.base}/4W1in")
        self.sections.put("show.yaml", "circuits", feeds.circuit, keys)

    def cable(self, kind: str, start: str, end: str) -> None:
        """Write one cable."""
        length = f"{self.plan.rng.randint(2, 60)} m"
        self.sections.cable(self.plan.one("cable"), {"kind": kind, "length": length, "from": start, "to": end})

    def line_cables(self, box: Box, *, written: bool) -> None:
        """Write the cables of a box's lines, neighbours as a range; gear is always cabled."""
        run: list[Row] = []
        for row in [*box.rows, None]:
            direct = row is not None and "gear" not in row and row["type"] != "active DI"
            if row is not None and direct and (not run or self.follows(run[-1], row)):
                run.append(row)
                continue
            if written and run:
                self.run_cables(run)
            run = [row] if row is not None and direct else []
            if row is not None and not direct:
                self.gear_cables(row, box)

    def follows(self, before: Row, row: Row) -> bool:
        """Return whether a line's number is the next one."""
        return self.plan.order(row["line"]) == self.plan.order(before["line"]) + 1

    def run_cables(self, run: list[Row]) -> None:
        """Write the microphone cables of neighbouring lines as one entry."""
        names = [self.plan.one("cable") for _ in run]
        ends = [compress([row[key] for row in run]) for key in ("line", "hole")]
        if any("," in text for text in (compress(names), *ends)):
            for name, row in zip(names, run, strict=True):
                self.run_entry(name, row["line"], row["hole"])
            return
        self.run_entry(compress(names), *ends)

    def run_entry(self, name: str, lines: str, holes: str) -> None:
        """Write microphone cables from lines to holes."""
        length = f"{self.plan.rng.randint(2, 60)} m"
        self.sections.put("rig.yaml", "cables", name, {"kind": "mic", "length": length})
        self.sections.put("show.yaml", "cables", name, {"from": f"line {lines}", "to": holes})

    def gear_cables(self, row: Row, box: Box) -> None:
        """Write the device a line leaves by and its cables."""
        if row["type"] == "transformer":
            self.cable("transformer line", row["gear"], row["hole"])
        elif row["type"] == "radio receiver":
            self.sections.device(row["gear"], "radio-receiver", box.site.place)
            self.cable("mic", row["gear"], row["hole"])
        else:
            player, direct_box = self.plan.one("player"), self.plan.one("direct box")
            row["gear"] = f"{player}/1"
            self.sections.device(player, "playback-computer", box.site.place)
            self.sections.device(direct_box, "active-di", box.site.place)
            self.cable("line", row["gear"], f"{direct_box}/in")
            self.cable("mic", f"{direct_box}/out", row["hole"])
