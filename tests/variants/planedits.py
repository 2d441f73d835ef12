"""A plan to break at random by its YAML: a shipped example or a generated show, and entries laid over it."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.model.records import Cable, Device
from tailboard.model.show import Model

SEEDS = (21, 22, 23, 24)
Entry = dict[str, Any]


@cache
def bases() -> tuple[tuple[Draft, Model], ...]:
    """Return clean shows: the small example and generated ones of 12 to 21 lines."""
    drafts = [Draft.example(), *(synthetic(random.Random(seed), 12 + 3 * n) for n, seed in enumerate(SEEDS))]
    return tuple((draft, draft.read().model) for draft in drafts)


@dataclass
class Plan:
    """One show under edit. `model` is that of the show before its edits."""

    rng: random.Random
    draft: Draft
    model: Model

    @classmethod
    def of(cls, rng: random.Random) -> Plan:
        """Return a clean show drawn at random."""
        draft, model = rng.choice(bases())
        return cls(rng, draft.copy(), model)

    def put(self, section: str, name: str, **keys: Any) -> Plan:
        """Lay keys over an entry, as an edit of show.yaml does; an underscore stands for a blank, None takes the key out."""
        show = yaml.load(self.draft.files["show.yaml"], Loader=yaml.BaseLoader)  # noqa: S506  all values stay texts
        entry = show.setdefault(section, {}).setdefault(name, {})
        entry.update({key.replace("_", " "): value for key, value in keys.items() if value is not None})
        for key in [key.replace("_", " ") for key, value in keys.items() if value is None]:
            entry.pop(key, None)
        self.draft.files["show.yaml"] = yaml.safe_dump(show, sort_keys=False, width=1000, allow_unicode=True)
        return self

    def remark(self) -> Draft:
        """Return the show with a remark that tells this variant from others."""
        return self.put("requirements", f"R-{self.rng.randrange(10**6)}", must="a remark").draft

    def devices(self, wish: Callable[[Device], object]) -> list[str]:
        """Return the devices that fit."""
        return [name for name, device in self.model.devices.items() if wish(device)]

    def cables(self, wish: Callable[[Cable], object]) -> list[str]:
        """Return the cables that fit."""
        return [name for name, cable in self.model.cables.items() if wish(cable)]

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
