"""Which plugged cables lead back from a jack to where its signal begins, and on from a jack to where it ends."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import occupancy
from tailboard.answers.wiring import wiring
from tailboard.kinds.records import Kind
from tailboard.model.show import Model, device_of, jack_of


@dataclass(frozen=True, slots=True)
class Way:
    """Plugged cables in a row, seen from one jack.

    cables  the cables, the one in the jack first.
    ends    the far end of each: DEVICE/JACK, a bare device, `line 7`, or '' where none is written.
    """

    cables: tuple[str, ...]
    ends: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cabling:
    """The plugged cables as ways. Devices are passed by their fixed paths, one jack to one jack; desks are not passed."""

    model: Model
    plugged: dict[str, tuple[str, ...]]
    ends: dict[str, tuple[str | None, str | None]]
    entries: dict[str, dict[str, tuple[str, ...]]] = field(default_factory=dict)  # kind: out jack: the in jacks

    def behind(self, jack: str) -> tuple[Way, ...]:
        """Return the ways back from an input jack, one for each cable plugged there."""
        return tuple(self.followed(jack, cable, back=True) for cable in self.plugged.get(jack, ()))

    def ahead(self, jack: str) -> tuple[Way, ...]:
        """Return the ways on from an output jack, one for each cable plugged there; of a split the first leg."""
        return tuple(self.followed(jack, cable, back=False) for cable in self.plugged.get(jack, ()))

    def followed(self, jack: str, cable: str, *, back: bool) -> Way:
        """Return the way that begins with a cable at a jack."""
        cables: list[str] = []
        ends: list[str] = []
        next_cable: str | None = cable
        while next_cable is not None and next_cable not in cables:
            end_a, end_b = self.ends[next_cable]
            jack = (end_b if end_a == jack else end_a) or ""
            cables.append(next_cable)
            ends.append(jack)
            jack, next_cable = self.through(jack, back=back)
        return Way(tuple(cables), tuple(ends))

    def through(self, jack: str, *, back: bool) -> tuple[str, str | None]:
        """Return the jack on the other side of a device and the cable there, if one fixed path leads through it."""
        device, name = device_of(jack), jack_of(jack)
        if not name or device not in self.model.devices:
            return jack, None
        kind = self.model.kind_of(device)
        if kind.mixes or kind.returns:
            return jack, None
        beyond = self.inside(kind).get(name, ()) if back else (kind.paths or {}).get(name, ())
        jacks = [f"{device}/{other}" for other in beyond if other in (kind.ports or {})]
        cables = [(other, self.plugged[other][0]) for other in jacks if other in self.plugged]
        if not cables or (back and len(jacks) > 1):
            return jack, None
        return cables[0]

    def inside(self, kind: Kind) -> dict[str, tuple[str, ...]]:
        """Return for each jack of a kind the jacks that feed it inside the device."""
        if kind.id not in self.entries:
            feeding: dict[str, list[str]] = {}
            for begin, ends in (kind.paths or {}).items():
                for end in ends:
                    feeding.setdefault(end, []).append(begin)
            self.entries[kind.id] = {end: tuple(begins) for end, begins in feeding.items()}
        return self.entries[kind.id]


def cabling(ask: Ask) -> Cabling:
    """Return the plugged cables as ways."""
    return Cabling(ask.model, ask(occupancy).cables, ask(wiring).ends)
