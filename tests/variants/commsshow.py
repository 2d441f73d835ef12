"""A show with an intercom matrix to break at random: party lines, keys to feeds, beds, stations by line and feed."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache

from edits_auto.edit import Case, Change
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.model.records import Feed, Station
from tailboard.model.show import Model

MATRIX = """
# lines.csv
line,label,place,type,hole,strip,goes to,source
1,VLN,stage,condenser,SB-1/1,CON-1/1,,violin
2,VCL,stage,condenser,SB-1/2,CON-1/2,,cello
6,PRES,stage,dynamic,SB-1/6,CON-1/6,,presenter
28,FM ONE,stage,four-wire,SB-1/7,,ICS-1/1,floor manager one
29,FM TWO,stage,four-wire,SB-1/8,,ICS-1/2,floor manager two
# buses.csv
bus,device,members,on air
MUS,CON-1,"1, 2",
PGM,CON-1,"MUS, 6",yes
# feeds.csv
feed,label,listener,place,by,mix,minus,on cue,interrupt,via,bed,output,device
IFB1,IFB 1,commentator one,stage,ear,PGM,6,,"KP-1, KP-2",ICS-1,,SB-1/o1,CON-1
IFB2,IFB 2,commentator two,stage,ear,PGM,6,,"KP-1, KP-2",ICS-1,IFB1,SB-1/o2,CON-1
IFB3,IFB 3,commentator three,stage,ear,PGM,6,,KP-1,ICS-1,IFB1,SB-1/o3,CON-1
IFB4,IFB 4,presenter,stage,ear,MUS,,,"director, KP-4",ICS-1,,SB-1/o4,CON-1
FMR1,FMR 1,floor manager one,stage,ear,PL-E,28,PLP,KP-2,,,SB-1/o5,ICS-1
FMR2,FMR 2,floor manager two,stage,ear,PL-E,29,PLP,KP-2,,,SB-1/o6,ICS-1
PLP,PLP,stations,truck,machine,PGM,,,,,,ST-21,CON-1
# comms.csv
station,person,place,device,by line,by feed,talk,keys,listen
KP-1,producer,truck,KP-1,,,"PL-A, PL-C","IFB1, IFB2, IFB3","PL-A, PL-C, 28, PLP"
KP-2,director,truck,KP-2,,,"PL-A, PL-C, PL-E","IFB1, IFB2, IFB4, FMR1, FMR2","PL-A, PL-C, PL-E"
KP-3,sound mixer,truck,KP-3,,,"PL-A, PL-B",KP-4,"PL-A, PL-B, PLP"
KP-4,engineer,truck,KP-4,,,PL-B,"IFB4, KP-3",PL-B
BPK-1,camera one,stage,BPK-1,,,PL-C,,PL-C
BPK-2,camera two,stage,BPK-2,,,"PL-C, PL-E",,"PL-C, PL-E"
FM-1,floor manager one,stage,,28,FMR1,PL-E,,"PL-E, PLP"
FM-2,floor manager two,stage,,29,FMR2,PL-E,,"PL-E, PLP"
# hearing.csv
listener,by,always,on key,never
commentators,"IFB1, IFB2, IFB3","1, 2",KP-1,"6, 28, 29"
cameras,"BPK-1, BPK-2",KP-1,,6
producer,KP-1,"PL-A, 28",,IFB4
# show.yaml
places:
  truck: {}
  stage: {}
devices:
  CON-1: {kind: console-128, place: truck}
  ICS-1: {kind: intercom-matrix-32, place: truck}
  SB-1: {kind: box-18x9, place: stage}
  KP-1: {kind: own-supply-panel, place: truck}
  KP-2: {kind: own-supply-panel, place: truck}
  KP-3: {kind: own-supply-panel, place: truck}
  KP-4: {kind: own-supply-panel, place: truck}
  BPK-1: {kind: wired-belt-pack, place: stage}
  BPK-2: {kind: wired-belt-pack, place: stage}
circuits:
  CW-1: {device: ICS-1, out: ICS-1/1}
streams:
  ST-20: {from: CON-1, feeds: "IFB1, IFB4", to: {ICS-1: 12..13}}
  ST-21: {from: CON-1, feeds: PLP, to: {ICS-1: "14"}}
  ST-30: {from: ICS-1, feeds: "IFB1..4, FMR1, FMR2", to: {SB-1: 1..6}}
"""


def drawn(text: str) -> Draft:
    """Return the show written in one text."""
    files: dict[str, list[str]] = {}
    for line in text.strip("\n").splitlines():
        if line.startswith("# "):
            files[line.removeprefix("# ")] = []
        else:
            files[list(files)[-1]].append(line)
    return Draft({name: "\n".join(lines) + "\n" for name, lines in files.items()})


@cache
def cases() -> dict[str, Case]:
    """Return the shows to break: one with a matrix, the small example, generated ones."""
    found = {"matrix": Case("matrix", drawn(MATRIX).read().model), "small": Case.example("small")}
    for seed in (21, 22, 23):
        found[f"generated {seed}"] = Case(f"generated {seed}", synthetic(random.Random(seed), 12).read().model)
    return found


@dataclass
class Comms:
    """One show under edit: entries written otherwise, then the text."""

    rng: random.Random
    case: Case
    changes: dict[tuple[str, str], dict[str, object]]

    @classmethod
    def of(cls, rng: random.Random, *names: str) -> Comms:
        """Return one of some shows, of all where none is named."""
        return cls(rng, cases()[rng.choice(names or tuple(cases()))], {})

    @property
    def model(self) -> Model:
        """The show before its edits."""
        return self.case.model

    def set(self, table: str, name: str, **values: object) -> Comms:
        """Write some values of an entry otherwise."""
        self.changes.setdefault((table, name), {}).update(values)
        return self

    def value(self, table: str, name: str, attribute: str) -> tuple[str, ...]:
        """Return the names in a cell as it now stands."""
        changed = self.changes.get((table, name), {})
        found: tuple[str, ...] = changed.get(attribute, getattr(self.case.table(table)[name], attribute))  # type: ignore[assignment]
        return found

    def add(self, table: str, name: str, attribute: str, *names: str) -> Comms:
        """Add names to a cell."""
        return self.set(table, name, **{attribute: (*self.value(table, name, attribute), *names)})

    def take(self, table: str, name: str, attribute: str, *names: str) -> Comms:
        """Take names out of a cell."""
        left = tuple(other for other in self.value(table, name, attribute) if other not in names)
        return self.set(table, name, **{attribute: left})

    def station(self, **wish: object) -> Station:
        """Return a station drawn at random; with by_feed one that hears by a feed, without it one at a device."""
        by_feed = bool(wish.get("by_feed"))
        return self.rng.choice([one for one in self.model.stations.values() if bool(one.feed) == by_feed])

    def stations(self, count: int) -> list[Station]:
        """Return different stations drawn at random."""
        return self.rng.sample([one for one in self.model.stations.values() if not one.feed], count)

    def feed(self, *names: str) -> Feed:
        """Return one of some feeds, of all where none is named."""
        return self.model.feeds[self.rng.choice(names or tuple(self.model.feeds))]

    def channel(self) -> str:
        """Return a party line of the show that no feed holds."""
        held = {name for feed in self.model.feeds.values() for name in (*feed.mix, *feed.cues)}
        known = {*self.model.circuits, *self.model.feeds, *self.model.lines, *held}
        names = {name for one in self.model.stations.values() for name in one.talk}
        return self.rng.choice(sorted(names - known))

    def new(self, stem: str = "X") -> str:
        """Return a name that is in no table."""
        return f"{stem}{self.rng.choice('QWZ')}{self.rng.choice('JVK')}-{self.rng.randrange(100, 999)}"

    @property
    def draft(self) -> Draft:
        """The edited show."""
        return self.case.text(*(Change(table, name, values) for (table, name), values in self.changes.items()))
