"""A plan to break at random by its YAML: a shipped example or a generated show, and entries laid over it."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import yaml

from support.clockshow import clean_clock_show
from support.draft import Draft
from support.synthetic import synthetic
from tailboard.model.records import Cable, Device
from tailboard.model.show import Model
from tailboard.text.ranges import expand

SEEDS = (21, 22, 23, 24)
Entry = dict[str, Any]


@cache
def bases() -> tuple[tuple[Draft, Model], ...]:
    """Return clean shows: the small example and generated ones of 12 to 21 lines."""
    drafts = [Draft.example(), *(synthetic(random.Random(seed), 12 + 3 * n) for n, seed in enumerate(SEEDS))]
    return tuple((draft, draft.read().model) for draft in drafts)


@dataclass
class Plan:
    """One show under edit. `base` and `model` are those before its edits; `trees` the files that are edited."""

    rng: random.Random
    base: Draft
    model: Model
    trees: dict[str, Entry] = field(default_factory=dict)

    @classmethod
    def of_clocks(cls, rng: random.Random) -> Plan:
        """Return the small example, or mostly a clean show of clocks made for this variant."""
        if rng.random() < 0.1:
            return cls(rng, *bases()[0])
        draft = clean_clock_show(rng)
        return cls(rng, draft, draft.read().model)

    @classmethod
    def of(cls, rng: random.Random) -> Plan:
        """Return a clean show drawn at random."""
        return cls(rng, *rng.choice(bases()))

    @property
    def draft(self) -> Draft:
        """The show with its edits."""
        texts = {
            name: yaml.dump(tree, Dumper=yaml.CSafeDumper, sort_keys=False, width=1000)
            for name, tree in self.trees.items()
        }
        return Draft({**self.base.files, **texts})

    def tree(self, file: str) -> Entry:
        """Return a YAML file as mappings of texts."""
        if file not in self.trees:
            self.trees[file] = yaml.load(self.base.files[file], Loader=yaml.CBaseLoader)  # noqa: S506  all values stay texts
        return self.trees[file]

    def put(self, section: str, name: str, **keys: Any) -> Plan:
        """Write keys into an entry, where show.yaml or the rig has it; an underscore is a blank, None takes a key out."""
        trees = [self.tree(file) for file in ("show.yaml", "rig.yaml") if file in self.base.files]
        entries = [tree[section][name] for tree in trees if name in tree.get(section, {})]
        if not entries:
            entries = [trees[0].setdefault(section, {}).setdefault(name, {})]
        for key, value in keys.items():
            for entry in entries:
                entry.pop(key.replace("_", " "), None)
            if value is not None:
                entries[0][key.replace("_", " ")] = value
        return self

    def in_range(self, section: str, name: str) -> bool:
        """Return whether show.yaml writes an entry as one of a range, so that it cannot be edited alone."""
        keys = [key for key in self.tree("show.yaml").get(section, {}) if key != name]
        return any(name in expand(key)[0] for key in keys)

    def remark(self) -> Draft:
        """Return the show with a remark that tells this variant from others."""
        return self.put("requirements", f"R-{self.rng.randrange(10**6)}", must="a remark").draft

    def devices(self, wish: Callable[[Device], object]) -> list[str]:
        """Return the devices that fit and can be edited."""
        fitting = [name for name, device in self.model.devices.items() if wish(device)]
        return [name for name in fitting if not self.in_range("devices", name)]

    def cables(self, wish: Callable[[Cable], object]) -> list[str]:
        """Return the cables that fit and can be edited."""
        fitting = [name for name, cable in self.model.cables.items() if wish(cable)]
        return [name for name in fitting if not self.in_range("cables", name)]

    def strands(self) -> list[str]:
        """Return the plugged strands."""
        return self.cables(lambda cable: cable.state == "plugged" and self.medium(cable) == "fibre")

    def medium(self, cable: Cable) -> str:
        """Return the medium of a cable."""
        kind = self.model.library.cables.get(cable.kind)
        return kind.medium if kind else ""

    def clock_of(self, device: str, **keys: Any) -> Plan:
        """Lay keys over a device's clock settings, None takes one out."""
        record = self.model.devices[device].clock
        assert record is not None
        written = {"domain": record.domain, "priority1": record.priority1, "role": record.role,
                   "rate": f"{(record.rate_hz or 48e3) / 1e3:g} kHz"}  # fmt: skip
        merged = {key: str(value) for key, value in {**written, **keys}.items() if value is not None}
        return self.put("devices", device, clock=merged)

    def clocks(self, *roles: str | None) -> list[str]:
        """Return the devices whose clock has one of the roles; any clock where none is given."""
        return self.devices(lambda device: device.clock and (not roles or device.clock.role in roles))
