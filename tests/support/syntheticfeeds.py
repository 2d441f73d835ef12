"""The feeds, circuits, stations and the hearing table of a generated show."""

from __future__ import annotations

from support.syntheticshow import Box, Group, Plan, Row, Site
from tailboard.text.ranges import compress

OPEN_STATIONS = 3  # stations in the truck: director, producer, mixer


class Feeds:
    """Who hears what in a plan."""

    def __init__(self, plan: Plan, count: int) -> None:
        self.plan = plan
        self.rng = plan.rng
        self.rows: list[Row] = []
        self.stations: list[Row] = []
        self.hearing: list[Row] = []
        self.truck_panels = [plan.one("panel") for _ in range(OPEN_STATIONS)]
        self.party_line = f"PL {plan.names.capitals()}"
        self.circuit = plan.one("circuit")
        self.talks_back = bool(plan.keys)
        self.gear: list[tuple[str, str, Box]] = []  # device, kind, the box it is fed from
        self.listed = {row["line"]: row for row in plan.rows}
        self.stage_groups = self.make_stage_groups()
        self.make_stations()
        self.truck_feeds()
        self.site_feeds(count - len(self.rows))
        self.hear_stations()

    def make_stage_groups(self) -> list[Group]:
        """Make a few buses for loudspeakers: instruments only, some kept out. They stand on the monitor desk if any."""
        plan, found = self.plan, []
        for _ in range(self.rng.randint(1, 3 + len(plan.music) // 100) if plan.music else 0):
            members = self.with_mates(self.rng.sample(plan.music, min(40, -(-len(plan.music) // 2))))
            out = self.with_mates(self.rng.sample(plan.music, min(2, len(members) - 1)))  # some may be guards
            found.append(Group(plan.names.capitals(), "stereo", members, out, device=plan.monitor or plan.console))
        plan.groups += found
        return found

    def with_mates(self, lines: list[str]) -> list[str]:
        """Return lines in the order of the list, each with the other of its pair."""
        mates = [mate for line in lines if (mate := self.listed[line].get("pair", ""))]
        return sorted({*lines, *mates}, key=self.plan.order)

    def add(self, **keys: str) -> Row:
        """Add a feed."""
        row = {"feed": self.plan.one("feed"), "label": self.plan.names.label()}
        row.update({key.replace("_", " "): value for key, value in keys.items()})
        self.rows.append(row)
        return row

    def truck_feeds(self) -> None:
        """Add what stays in the truck: pictures, monitors, talk to the director."""
        plan, mix = self.plan, self.plan.programme.name
        viewers = self.add(
            listener="viewers", place=plan.gallery, by="machine", gear=f"{plan.vision}/a1, {plan.vision}/a2",
            mix=mix, output=f"{plan.console}/o1..2", device=plan.console,
        )  # fmt: skip
        on_air = [*plan.music, *plan.speech, *plan.audience, *plan.house]
        self.hear("viewers", viewers["feed"], [name for name in on_air if not self.is_spare(name)], [], plan.keys)
        self.monitors = [plan.one("monitor") for _ in range(2)]
        self.add(
            listener="sound mixer", place=plan.booth, by="loudspeaker", gear=", ".join(self.monitors), mix=mix,
            output=f"{plan.console}/o5..6", device=plan.console,
        )  # fmt: skip
        if self.talks_back:
            keyed = next(group.name for group in plan.groups if group.members == plan.keys)
            self.add(
                listener="director", place=plan.gallery, by="machine", gear=f"{plan.base}/4W1in", mix=keyed,
                output=f"{plan.console}/o3", device=plan.console,
            )  # fmt: skip

    def site_feeds(self, count: int) -> None:
        """Add feeds at the boxes, one after another."""
        plan = self.plan
        voices = {box.name: [row for row in box.rows if row["line"] in set(plan.speech)] for box in plan.boxes}
        room = [box for box in plan.boxes for _ in range(plan.scale.outputs)]
        for box in self.rng.sample(room, min(max(count, 1), len(room))):
            own = [row for row in voices[box.name] if "spare" not in row and row["line"] not in plan.reserve.values()]
            sort = self.rng.choices(["voice", "ear", "loudspeaker", "tone"], [4, 3, 3, 1])[0]
            if sort == "voice" and own:
                row = own[0]
                voices[box.name].remove(row)
                self.voice_feed(box, row)
            elif sort == "loudspeaker" and self.stage_groups:
                self.loudspeaker_feed(box)
            elif sort == "tone":
                self.feed_at(box, plan.console, listener="spare", mix=plan.tone)
            else:
                self.ear_feed(box)

    def feed_at(self, box: Box, device: str, **keys: str) -> Row:
        """Add a feed at the next output of a box; feeds of one console share streams, so outputs go by console."""
        row = self.add(place=box.site.place, device=device, **keys)
        box.feeds.append(row)
        return row

    def voice_feed(self, box: Box, row: Row) -> None:
        """Add the earpiece of somebody whose voice is line `row`: the programme without it and without its reserve."""
        plan, line = self.plan, row["line"]
        own = [line, *([plan.reserve[line]] if line in plan.reserve else [])]
        device = plan.one("transmitter")
        minus = [*own, *([plan.audience_group] if plan.audience and self.rng.random() < 0.5 else [])]
        listener = plan.names.word()
        feed = self.feed_at(
            box, plan.console, listener=listener, by="ear", gear=device, mix=plan.programme.name,
            minus=compress(minus), interrupt=self.circuit, own_voice=compress(own),
        )  # fmt: skip
        self.gear.append((device, "earpiece-transmitter", box))
        heard = [name for name in (*plan.music, *plan.speech) if name not in own and not self.is_spare(name)]
        if self.rng.random() < 0.4:
            chosen = sorted(self.rng.sample(heard, min(len(heard), 12)), key=plan.order)
            self.hear(listener, feed["feed"], chosen, [self.director], [*own, *plan.keys[:4]])

    def ear_feed(self, box: Box) -> None:
        """Add a headphone feed of the programme."""
        device = self.plan.one("headphones")
        listener = self.plan.names.word()
        self.feed_at(box, self.plan.console, listener=listener, by="ear", gear=device, mix=self.plan.programme.name)
        self.gear.append((device, "headphone-amplifier", box))

    def loudspeaker_feed(self, box: Box) -> None:
        """Add a fold-back loudspeaker."""
        group = self.rng.choice(self.stage_groups)
        device = self.plan.one("loudspeaker")
        listener = self.plan.names.word()
        self.feed_at(box, group.device, listener=listener, by="loudspeaker", gear=device, mix=group.name)
        self.gear.append((device, "active-loudspeaker", box))

    def is_spare(self, line: str) -> bool:
        """Return whether a line is a spare."""
        return "spare" in self.listed[line]

    def make_stations(self) -> None:
        """Add a station at every panel and belt-pack; the director's key interrupts the earpieces."""
        plan, roles = self.plan, ("director", "producer", "sound mixer")
        for role, panel in zip(roles, self.truck_panels, strict=True):
            self.station(role, plan.booth if role == "sound mixer" else plan.gallery, panel)
        self.director = self.stations[0]["station"]
        self.stations[0]["keys"] = self.circuit
        if self.talks_back:
            self.stations[0]["listen"] = f"{self.party_line}, {self.circuit}"
        for site in plan.sites:
            self.site_stations(site)

    def site_stations(self, site: Site) -> None:
        """Add the stations of a site."""
        self.station(self.plan.names.word(), site.place, site.panel)
        for belt_pack in site.belt_packs:
            self.station(self.plan.names.word(), site.place, belt_pack)

    def station(self, person: str, place: str, device: str) -> None:
        """Add a station on the party line."""
        row = {"station": self.plan.one("station"), "person": person, "place": place, "device": device}
        self.stations.append({**row, "talk": self.party_line, "keys": "", "listen": self.party_line})

    def hear(self, listener: str, by: str, always: list[str], on_key: list[str], never: list[str]) -> None:
        """Add a row of the hearing table."""
        row = {"listener": listener, "by": by, "always": compress(always), "on key": compress(on_key)}
        self.hearing.append({**row, "never": compress(never)})

    def hear_stations(self) -> None:
        """Add rows for some stations: the party line, not oneself."""
        for station in self.rng.sample(self.stations[1:], min(4, len(self.stations) - 1)):
            self.hear(station["person"], station["station"], [self.party_line], [], [station["station"]])
