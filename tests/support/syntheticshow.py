"""The plan of a generated show: sites, boxes, lines, buses and feeds, before anything is written as text."""

from __future__ import annotations

import random
from dataclasses import dataclass, field

from support.synthetickinds import SMALL_LINES_MAX, Scale, scale_of
from support.syntheticnames import Names, Series

Row = dict[str, str]

# Kinds of sources and how often each is drawn; peaks as in the built-in kinds, to set gains by.
SPEECH = {"gooseneck": -30, "radio receiver": 12, "dynamic": -36}
MUSIC = {"condenser": -24, "dynamic": -36, "active DI": -18}
PHANTOM = frozenset({"condenser", "gooseneck", "audience condenser", "active DI"})
PAIRED = frozenset({"pair", "audience", "house"})
STREAM_CHANNELS = 8  # channels a stream of the kinds used here
PEAK_GOAL_DBU = 6  # 12 dB under the boxes' clip level of +18 dBu


@dataclass
class Site:
    """A place away from the truck, with its switch."""

    place: str
    switch: str
    boxes: list[Box] = field(default_factory=list)
    panel: str = ""
    access_point: str = ""
    cameras: list[str] = field(default_factory=list)
    belt_packs: list[str] = field(default_factory=list)


@dataclass
class Box:
    """A stage box with what is plugged into it."""

    name: str
    site: Site
    rows: list[Row] = field(default_factory=list)
    feeds: list[Row] = field(default_factory=list)


@dataclass
class Group:
    """A bus with its members, as names."""

    name: str
    width: str
    members: list[str]
    minus: list[str] = field(default_factory=list)
    on_air: bool = False
    device: str = ""


class Plan:
    """Everything that is decided about a generated show."""

    def __init__(self, rng: random.Random, lines: int) -> None:
        self.rng = rng
        self.names = Names(rng)
        self.scale: Scale = scale_of(lines)
        self.series: dict[str, Series] = {}
        self.console = self.one("console")
        self.monitor = self.one("console") if lines > SMALL_LINES_MAX else ""
        self.recorder = self.one("recorder")
        self.base = self.one("base")
        self.truck_switch = self.one("switch")
        self.router = self.one("router")
        self.house_desk = self.one("house desk")
        self.vision = self.one("vision")
        self.booth, self.rack, self.gallery, self.foyer = (self.names.word() for _ in range(4))
        self.sites = self.make_sites(lines)
        self.boxes = [box for site in self.sites for box in site.boxes]
        self.rows: list[Row] = []
        self.speech: list[str] = []
        self.music: list[str] = []
        self.audience: list[str] = []
        self.house: list[str] = []
        self.keys: list[str] = []
        self.fill_boxes(lines)
        self.groups: list[Group] = []
        self.tone = self.names.capitals()
        self.programme = self.make_groups()
        self.reserve: dict[str, str] = self.choose_reserves()

    def one(self, sort: str) -> str:
        """Return the next name of a sort of thing."""
        if sort not in self.series:
            self.series[sort] = self.names.lines() if sort == "line" else self.names.series()
        return self.series[sort].one()

    def make_sites(self, lines: int) -> list[Site]:
        """Return sites with enough boxes, filled to about three quarters."""
        boxes = max(1, -(-lines * 4 // (self.scale.holes * 3)))
        sites: list[Site] = []
        while boxes > 0:
            site = Site(self.names.word(), self.one("switch"))
            count = min(boxes, self.rng.randint(1, self.scale.boxes_per_site))
            if len(sites) + 1 + boxes // self.scale.boxes_per_site >= self.scale.truck_cages:
                count = min(boxes, self.scale.boxes_per_site)
            site.boxes = [Box(self.one("box"), site) for _ in range(count)]
            site.panel = self.one("panel")
            site.access_point = self.one("access point")
            site.cameras = [self.one("camera") for _ in range(self.rng.randint(0, 2))]
            site.belt_packs = [self.one("belt-pack") for _ in range(self.rng.randint(1, 3))]
            boxes -= count
            sites.append(site)
        return sites

    def fill_boxes(self, lines: int) -> None:
        """Give every box its share of the lines, spares among them: 10 to 20 % of the working ones."""
        spares = max(-(-lines // 11), round(lines / 9))
        sorts = self.sorts(lines - spares, spares)
        done = 0
        for index, box in enumerate(self.boxes, 1):
            while sorts and done < index * lines // len(self.boxes) and len(box.rows) + 2 <= self.scale.holes:
                made = self.made(self.next_sort(sorts, box))
                done += len(made)
                for row in made:
                    self.add(box, row)
            self.rows += box.rows

    def next_sort(self, sorts: list[str], box: Box) -> str:
        """Take the next sort of line; a pair does not begin on the last channel of a stream."""
        if len(box.rows) % STREAM_CHANNELS != STREAM_CHANNELS - 1 or sorts[0] not in PAIRED:
            return sorts.pop(0)
        single = next((index for index, sort in enumerate(sorts) if sort not in PAIRED), None)
        if single is None:
            sorts[:1] = ["music", "music"]
        return sorts.pop(single or 0)

    def sorts(self, working: int, spares: int) -> list[str]:
        """Return which sorts of lines there are, in random order; pairs count twice."""
        sorts = ["spare"] * spares
        left, house = working, 0
        while left > 0:
            sort = self.rng.choices(["music", "pair", "speech", "audience", "house", "key"], [50, 10, 25, 6, 5, 2])[0]
            if (sort in PAIRED and left < 2) or (sort == "house" and house >= 4):
                sort = "speech"
            house += sort == "house"
            left -= 2 if sort in PAIRED else 1
            sorts.append(sort)
        self.rng.shuffle(sorts)
        return sorts

    def made(self, sort: str) -> list[Row]:
        """Return the new lines of one sort."""
        makers = {
            "music": self.music_rows, "pair": self.pair_rows, "speech": self.speech_rows, "house": self.house_rows,
            "audience": self.audience_rows, "key": self.key_rows, "spare": self.spare_rows,
        }  # fmt: skip
        return makers[sort]()

    def row(self, source: str, kind: str, peak_dbu: int, group: list[str], **more: str) -> Row:
        """Return a new line."""
        number = self.one("line")
        group.append(number)
        gain = 0 if peak_dbu > 0 else PEAK_GOAL_DBU - peak_dbu - self.rng.randint(0, 6)
        return {
            "line": number,
            "source": source,
            "label": self.names.label(),
            "type": kind,
            "48V": "on" if kind in PHANTOM else "off",
            "gain": str(gain),
            **more,
        }

    def music_rows(self) -> list[Row]:
        """Return an instrument: one microphone or a direct box."""
        kind = self.rng.choice(list(MUSIC))
        return [self.row(self.names.word(), kind, MUSIC[kind], self.music)]

    def pair_rows(self) -> list[Row]:
        """Return an instrument on two microphones."""
        return self.paired(self.names.word(), "condenser", -24, self.music)

    def speech_rows(self) -> list[Row]:
        """Return a voice."""
        kind = self.rng.choice(list(SPEECH))
        return [self.row(self.names.word(), kind, SPEECH[kind], self.speech)]

    def audience_rows(self) -> list[Row]:
        """Return a pair of audience microphones."""
        return self.paired(self.names.word(), "audience condenser", -34, self.audience)

    def house_rows(self) -> list[Row]:
        """Return two lines from the house desk."""
        rows = self.paired(self.names.word(), "transformer", 12, self.house)
        for row in rows:
            row["gear"] = f"{self.house_desk}/aux{self.house.index(row['line']) + 1}"
        return rows

    def key_rows(self) -> list[Row]:
        """Return an off-air key."""
        return [self.row(self.names.word(), "key box", 12, self.keys)]

    def spare_rows(self) -> list[Row]:
        """Return a spare line."""
        return [self.row("spare", "dynamic", -36, self.rng.choice([self.music, self.speech]), spare="yes")]

    def paired(self, source: str, kind: str, peak_dbu: int, group: list[str]) -> list[Row]:
        """Return a stereo pair with equal gains."""
        left, right = (self.row(f"{source} {side}", kind, peak_dbu, group) for side in ("left", "right"))
        left["pair"], right["pair"], right["gain"] = right["line"], left["line"], left["gain"]
        return [left, right]

    def add(self, box: Box, row: Row) -> None:
        """Plug a line into a box."""
        row["hole"] = f"{box.name}/{len(box.rows) + 1}"
        row["place"] = self.foyer if row["type"] == "transformer" else box.site.place
        if row["type"] == "radio receiver":
            row["gear"] = self.one("radio receiver")
        box.rows.append(row)

    def choose_reserves(self) -> dict[str, str]:
        """Return main line: reserve, for some voices; both are in one box and one bus, and neither is a spare."""
        pairs: dict[str, str] = {}
        box_of = {row["line"]: row["hole"].partition("/")[0] for row in self.rows if "spare" not in row}
        voices = set(self.speech)
        for group in self.groups:
            left = [name for name in group.members if name in voices and name in box_of]
            two = zip(left[::8], left[1::8], strict=False)
            pairs |= {one: other for one, other in two if box_of[one] == box_of[other] and self.rng.random() < 0.7}
        for row in self.rows:
            row["reserve"] = pairs.get(row["line"], "")
        return pairs

    def make_groups(self) -> Group:
        """Make the buses and return the programme."""
        parts: list[str] = []
        for group, width in ((self.music, "stereo"), (self.speech, "mono"), (self.audience, "stereo")):
            if group:
                parts.append(self.make_group(sorted(group, key=self.order), width).name)
        self.audience_group = parts[-1] if self.audience else ""
        programme = Group(self.names.capitals(), "stereo", [*parts, *self.house], on_air=True, device=self.console)
        self.groups.append(programme)
        if self.keys:
            self.groups.append(Group(self.names.capitals(), "mono", list(self.keys), device=self.console))
        self.groups.append(Group(self.tone, "mono", ["OSC"], device=self.console))
        return programme

    def order(self, line: str) -> int:
        """Return a line's place in the order of numbers."""
        return int(line.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))

    def chunks(self, lines: list[str], size: int) -> list[list[str]]:
        """Return lines in parts of a size; a pair stays in one part."""
        mates = {row["line"]: row.get("pair", "") for row in self.rows}
        parts: list[list[str]] = [[]]
        for line in lines:
            if len(parts[-1]) >= size and mates[line] not in parts[-1]:
                parts.append([])
            parts[-1].append(line)
        return parts

    def make_group(self, lines: list[str], width: str) -> Group:
        """Return a bus of lines, with buses below it where there are many."""
        size = self.rng.randint(16, 30)
        members: list[str] = lines
        if len(lines) > size:
            members = [self.make_group(part, width).name for part in self.chunks(lines, size)]
        group = Group(self.names.capitals(), width, members, device=self.console)
        self.groups.append(group)
        return group
