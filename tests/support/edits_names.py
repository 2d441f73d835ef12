"""Every name of a show changed to one that is not used: which name stands where, and what becomes of claims' subjects."""

from __future__ import annotations

import random
import re
from dataclasses import dataclass, field

from support.syntheticnames import Names
from tailboard.model.show import Model

TABLES = {
    "supply": "supplies", "place": "places", "vlan": "vlans", "device": "devices", "cable": "cables",
    "stream": "streams", "circuit": "circuits", "line": "lines", "bus": "buses", "feed": "feeds", "station": "stations",
    "set": "sets",
}  # fmt: skip
# Which tables a text names, by the word of its shape or, where that says nothing, by its attribute.
LOOK_IN = {
    "member": ("set", "line", "bus", "feed", "station", "circuit", "party line"),
    "interrupts": ("circuit", "station"),
    "talk": ("party line", "circuit"),
    "keys": ("circuit", "party line", "feed", "station"),
    "listen": ("party line", "circuit", "feed", "line"),
    "by": ("feed", "station"),
    "always": ("set", "line", "bus", "station", "party line"),
    "on_key": ("set", "line", "bus", "station", "party line"),
    "never": ("set", "line", "bus", "station", "party line"),
    "keeps": ("line", "feed", "station", "place"),
    "survives": ("device", "cable", "supply", "place", "stream"),
    "untagged": ("vlan",),
    "tagged": ("vlan",),
}
PARTS = {"claim": re.compile("[:~]"), "settles": re.compile(" ")}  # the marks between names in what they build

DERIVED_STREAM = re.compile(r"\S+( to \S+)? [0-9][0-9-]*")  # a stream nobody wrote: `SB-1 1-8`, `CON-1 to SB-1 1-8`


@dataclass
class Renamer:
    """Gives every name a new one. `new` holds table -> old name -> new name."""

    new: dict[str, dict[str, str]] = field(default_factory=dict)

    @classmethod
    def of(cls, model: Model, rng: random.Random) -> Renamer:
        """Return a renamer for a model; the new names are in no order with the old ones."""
        names = Names(rng)
        given: dict[str, str] = {}  # a name that two tables share stays shared
        new = {}
        for table, attribute in TABLES.items():
            olds = list(getattr(model, attribute))
            new[table] = {old: given.setdefault(old, f"{names.capitals()}-{rng.randint(1, 99)}") for old in olds}
        lines = [name for station in model.stations.values() for name in (*station.listen, *station.talk)]
        known = {name for table in new.values() for name in table}
        new["party line"] = {name: f"PL {names.capitals()}" for name in dict.fromkeys(lines) if name not in known}
        return cls(new)

    def __call__(self, table: str, name: str) -> str:
        """Return the new name of a thing of a table, of a jack DEVICE/JACK, or of what an attribute may name."""
        if table in self.new:
            return self.new[table].get(name, name)
        if table == "port":
            return self.port(name)
        if table in PARTS:
            whole = self.subject(name)
            return (
                whole
                if whole != name
                else "".join(self.subject(part) or mark for part, mark in split(name, PARTS[table]))
            )
        for other in LOOK_IN.get(table, ()):
            if name in self.new[other]:
                return self.new[other][name]
        return name

    def port(self, name: str) -> str:
        """Return the new name of a jack, of a stream or of `line 7`."""
        if name.startswith("line "):
            return f"line {self('line', name.removeprefix('line '))}"
        device, slash, jack = name.partition("/")
        table = "stream" if device in self.new["stream"] else "vlan" if device in self.new["vlan"] else "device"
        return self(table, device) + slash + jack

    def subject(self, name: str) -> str:
        """Return the new name of whatever bears a name, as it stands in a claim's subject: `feed FD1`, `SB-1/5`, `SB-1 1-8`."""
        for table in self.new.values():
            if name in table:
                return table[name]
        first, blank, rest = name.partition(" ")
        if blank and first in self.new:
            return f"{first} {self(first, rest)}"
        if DERIVED_STREAM.fullmatch(name):
            return " ".join(self("device", word) for word in name.split(" "))
        return self.port(name)


def split(text: str, marks: re.Pattern[str]) -> list[tuple[str, str]]:
    """Return (part, "") and ("", mark) pairs of a claim's id or of an assumption."""
    found: list[tuple[str, str]] = []
    last = 0
    for mark in marks.finditer(text):
        found += [(text[last : mark.start()], ""), ("", mark[0])]
        last = mark.end()
    return [*found, (text[last:], "")]
