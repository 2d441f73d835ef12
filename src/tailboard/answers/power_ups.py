"""What each UPS carries, and how many minutes its energy lasts under that load."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.power import Load, loads
from tailboard.answers.wiring import wiring
from tailboard.physics.battery import lasting_min


@dataclass(frozen=True, slots=True)
class Backed:
    """A UPS with the devices behind it, and those that their switches feed over data cables.

    energy_wh  what it gives them from full to empty; None: its kind does not say.
    """

    ups: str
    energy_wh: float | None
    loads: tuple[Load, ...]

    @property
    def sum_w(self) -> float:
        """All loads that are written, added up."""
        return sum(load.power_w for load in self.loads if load.power_w is not None)

    @property
    def unknown(self) -> tuple[str, ...]:
        """The devices whose load is not written."""
        return tuple(load.device for load in self.loads if load.power_w is None)

    @property
    def lasts_min(self) -> float | None:
        """Minutes under the loads that are written, the longest they can be; None: the energy is not known."""
        return None if self.energy_wh is None else lasting_min(self.energy_wh, self.sum_w)


def backed(ask: Ask) -> tuple[Backed, ...]:
    """Return what hangs on each UPS that a device names."""
    model = ask.model
    behind: dict[str, list[Load]] = {
        device.behind_ups: [] for device in model.devices.values() if device.behind_ups in model.devices
    }
    if not behind:
        return ()
    for load in loads(model, ask(wiring)):
        source = model.devices[load.fed_by or load.device].behind_ups
        if source in behind and load.device != source:
            behind[source].append(load)
    return tuple(Backed(name, model.kind_of(name).ups_energy_wh, tuple(on)) for name, on in behind.items())
