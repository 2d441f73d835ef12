"""A model written out again as text, every name and key of its own: no ranges, no templates, no rig under the show.

For the laws: the same show in other words. Names may be changed on the way, and units, and which file says what.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from ipaddress import IPv4Network
from typing import Any

from support.draft import Draft
from tailboard.model.show import Model
from tailboard.text.fields import Column, Record, columns_of

Naming = Callable[[str, str], str]  # (table or attribute, name) -> name

SECTIONS = (
    "supplies",
    "places",
    "vlans",
    "devices",
    "cables",
    "streams",
    "circuits",
    "sets",
    "requirements",
    "confirmed",
)
TABLES = {
    "lines": "line", "buses": "bus", "feeds": "feed", "stations": "station", "hearing": "listener",
}  # fmt: skip
FILES = {"stations": "comms.csv"}
WORDS_OF_TABLE = {
    "supplies": "supply", "places": "place", "vlans": "vlan", "devices": "device", "cables": "cable",
    "streams": "stream", "circuits": "circuit", "lines": "line", "buses": "bus", "feeds": "feed",
    "stations": "station", "sets": "set",
}  # fmt: skip

# Units a quantity may be written in: unit and how many of it make one base unit.
UNITS: dict[str, tuple[tuple[str, float], ...]] = {
    "m": (("m", 1), ("cm", 100), ("km", 0.001)),
    "s": (("us", 1e6), ("ms", 1e3), ("ns", 1e9)),
    "min": (("min", 1), ("", 1)),
    "bit/s": (("M", 1e-6), ("Mb/s", 1e-6), ("kb/s", 1e-3), ("Gb/s", 1e-9), ("G", 1e-9)),
    "Hz": (("Hz", 1), ("kHz", 1e-3)),
    "dB": (("dB", 1), ("", 1)),
    "dBu": (("dBu", 1),),
    "W": (("W", 1), ("mW", 1e3), ("kW", 1e-3)),
}  # fmt: skip


def same(_: str, name: str) -> str:
    """Return a name as it is."""
    return name


@dataclass
class Writer:
    """Writes a model as text.

    rename  gives each name as it is to be written.
    rng     chooses units and what goes into the rig; None: base units, everything in show.yaml.
    """

    model: Model
    rename: Naming = same
    rng: random.Random | None = None
    split: bool = False
    rig: dict[str, dict[str, dict[str, str]]] = field(default_factory=dict)
    show: dict[str, dict[str, dict[str, str]]] = field(default_factory=dict)

    def draft(self) -> Draft:
        """Return the show as text."""
        for section in SECTIONS:
            for name, record in getattr(self.model, section, {}).items():
                self.entry(section, self.rename(WORDS_OF_TABLE.get(section, section), name), self.keys(record))
        for port in self.model.ports.values():
            self.entry("switches", self.rename("port", port.id), self.keys(port, leave_out=("use",)))
        files = {"show.yaml": self.yaml(self.show, head=True)}
        if self.split:
            files["rig.yaml"] = self.yaml(self.rig, head=False)
        for table, identity in TABLES.items():
            records = getattr(self.model, table)
            if records:
                files[FILES.get(table, f"{table}.csv")] = self.table(table, identity, records)
        return Draft({**files, **self.found()})

    def entry(self, section: str, name: str, keys: dict[str, str]) -> None:
        """Keep an entry; where files are split, each key goes into one of the two by chance."""
        for key, text in keys.items():
            file = self.rig if self.split and self.rng is not None and self.rng.random() < 0.5 else self.show
            file.setdefault(section, {}).setdefault(name, {})[key] = text
        if not keys:
            self.show.setdefault(section, {}).setdefault(name, {})

    def keys(self, record: Record, leave_out: tuple[str, ...] = ()) -> dict[str, str]:
        """Return the keys of a record that say more than the default."""
        return {
            column.name: self.value(column, getattr(record, column.attribute))
            for column in columns_of(type(record))
            if getattr(record, column.attribute) != column.default and column.attribute not in leave_out
        }

    def value(self, column: Column, value: Any) -> str:
        """Return a value as YAML."""
        if column.part is not None:
            return flow(self.keys(value))
        if column.attribute == "settles":
            return quoted(", ".join(self.rename("settles", name) for name in value))
        if isinstance(value, dict) and all(item == () for item in value.values()):
            return "[" + ", ".join(quoted(self.rename("device", name)) for name in value) + "]"
        if isinstance(value, dict):
            keyed = self.key_table(column)
            return flow({self.rename(keyed, key): quoted(self.plain(column, item)) for key, item in value.items()})
        return quoted(self.plain(column, value))

    def key_table(self, column: Column) -> str:
        """Return what the keys of a mapping name."""
        named = {
            "address": "vlan",
            "querier": "device",
            "receivers": "device",
            "sends_bit_per_s": "device",
            "exchanges_bit_per_s": "device",
        }
        return named.get(column.attribute, "")

    def plain(self, column: Column, value: Any) -> str:
        """Return a value as plain text."""
        shape = column.shape
        assert shape is not None
        table = shape.names or column.attribute
        match value:
            case bool():
                return "yes" if value else "no"
            case float():
                return self.quantity(value, shape.base)
            case tuple() if column.attribute == "pieces_m":
                return " + ".join(self.quantity(piece, "m") for piece in value)
            case tuple() if column.attribute == "dhcp":
                return "..".join(value)
            case tuple():
                return ", ".join(
                    str(item) if isinstance(item, IPv4Network) else self.rename(table, item) for item in value
                )
            case str():
                return self.rename(table, value)
            case _:
                return str(value)

    def quantity(self, value: float, base: str) -> str:
        """Return a quantity; the unit is chosen by chance if there is a choice."""
        units = UNITS[base or "s"]  # the one mapping of floats that a show writes holds link offsets
        unit, count = units[0] if self.rng is None else self.rng.choice(units)
        number = f"{value * count:.9f}".rstrip("0").rstrip(".")
        return f"{number} {unit}".strip()

    def yaml(self, sections: dict[str, dict[str, dict[str, str]]], *, head: bool) -> str:
        """Return one YAML file."""
        out = (
            [f"{key}: {text}" for key, text in self.keys(self.model.heading, ("rig",)).items()]
            if head
            else ["format: 1"]
        )
        if head and self.split:
            out.append("rig: rig.yaml")
        for section, entries in sections.items():
            out.append(f"{section}:")
            if section == "switches":
                out += ports_by_switch(entries)
            else:
                out += [f"  {quoted(name)}: {flow(keys)}" for name, keys in entries.items()]
        if head and self.model.accepted:
            out.append("accepted:")
            for claim, entry in self.model.accepted.items():
                out.append(f"  - {flow({'claim': quoted(self.rename('claim', claim)), **self.keys(entry)})}")
        return "\n".join(out) + "\n"

    def table(self, table: str, identity: str, records: Mapping[str, Record]) -> str:
        """Return a table as CSV."""
        columns = columns_of(type(next(iter(records.values()))))
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow([identity, *(column.name for column in columns)])
        for name, record in records.items():
            cells = [self.rename(WORDS_OF_TABLE.get(table, table), name)]
            for column in columns:
                value = getattr(record, column.attribute)
                cells.append("" if value in (None, ()) else self.plain(column, value))
            writer.writerow(cells)
        return text.getvalue()

    def found(self) -> dict[str, str]:
        """Return the documents in found/, one a thing found, so that who read it and when stay with it."""
        files = {}
        for number, port in enumerate(self.model.found.ports.values()):
            switch, _, jack = self.rename("port", port.id).partition("/")
            files[f"found/port-{number}.yaml"] = f"ports: {{{switch}: {{{jack}: {flow(self.keys(port))}}}}}\n"
        for number, label in enumerate(self.model.found.labels.values()):
            box, _, jack = self.rename("port", label.id).partition("/")
            files[f"found/label-{number}.yaml"] = f"labels: {{{box}: {{{jack}: {flow(self.keys(label))}}}}}\n"
        for name, house in self.model.found.houses.items():
            files[f"found/{name}.yaml"] = f"house: {flow(self.keys(house))}\n"
        return files


def ports_by_switch(entries: dict[str, dict[str, str]]) -> list[str]:
    """Return the lines of the section `switches`."""
    switches: dict[str, list[str]] = {}
    for name, keys in entries.items():
        switch, _, port = name.partition("/")
        switches.setdefault(switch, []).append(f"    {quoted(port)}: {flow(keys)}")
    return [line for switch, lines in switches.items() for line in (f"  {quoted(switch)}:", *lines)]


def quoted(text: str) -> str:
    """Return a text in double quotes."""
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def flow(keys: Mapping[str, str]) -> str:
    """Return a mapping on one line; its values are YAML already."""
    return "{" + ", ".join(f"{quoted(key)}: {text}" for key, text in keys.items()) + "}"
