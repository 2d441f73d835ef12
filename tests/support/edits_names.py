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
    "untagged": ("vlan",),
    "tagged": ("vlan",),
}
PARTS = re.compile(r"[:/~ ]")


@dataclass
class Renamer:
    """Gives every name a new one. `new` holds table -> old name -> new name."""

    new: dict[str, dict[str, str]] = field(default_factory=dict)

    @classmethod
    def of(cls, model: Model, rng: random.Random) -> Renamer:
        """Return a renamer for a model; the new names are in no order with the old ones."""
        names = Names(rng)
        new = {}
        for table, attribute in TABLES.items():
            olds = list(getattr(model, attribute))
            news = [f"{names.capitals()}-{rng.randint(1, 99)}" for _ in olds]
            new[table] = dict(zip(olds, news, strict=True))
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
        if table in {"claim", "settles"}:
            return "".join(self.subject(part) if part else mark for part, mark in split(name))
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
        """Return the new name of whatever bears a name, as it stands in a claim's subject."""
        for table in self.new.values():
            if name in table:
                return table[name]
        return name


def split(text: str) -> list[tuple[str, str]]:
    """Return (part, "") and ("", mark) pairs of a claim's id or of an assumption."""
    found: list[tuple[str, str]] = []
    last = 0
    for mark in PARTS.finditer(text):
        found += [(text[last : mark.start()], ""), ("", mark[0])]
        last = mark.end()
    return [*found, (text[last:], "")]
