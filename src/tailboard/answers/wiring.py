"""Which cable is in which jack: both ends of every cable, resolved to DEVICE/PORT."""

from __future__ import annotations

from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.model.records import Cable
from tailboard.model.show import Model

FITS = {
    "copper data": ("network",),
    "fibre": ("cage", "network"),
    "analogue": ("analogue",),
    "loudspeaker": ("analogue",),
    "video": ("video",),
    "digital audio": ("digital",),
}


@dataclass(frozen=True, slots=True)
class Wiring:
    """The cables as plugged.

    ends   cable: its two ends as DEVICE/PORT or `line 7`; None for an end that is not written. A device written
           without a port is resolved to the one port that fits; where none or several fit it stays the bare device.
    at     DEVICE/PORT (or `line 7`, or a bare device): the cables there, in the order written.
    loose  bare ends that could not be resolved: (cable, attribute 'end_a' or 'end_b', the ports that would fit).
    """

    ends: dict[str, tuple[str | None, str | None]]
    at: dict[str, tuple[str, ...]] = field(default_factory=dict)
    loose: tuple[tuple[str, str, tuple[str, ...]], ...] = ()

    def far_end(self, cable: str, port: str) -> str | None:
        """Return the end of a cable that is not `port`."""
        end_a, end_b = self.ends[cable]
        return end_b if end_a == port else end_a


def wiring(ask: Ask) -> Wiring:
    """Return both ends of every cable and the cables at every jack."""
    model = ask.model
    ends: dict[str, tuple[str | None, str | None]] = {}
    at: dict[str, list[str]] = {}
    loose: list[tuple[str, str, tuple[str, ...]]] = []
    for name, cable in model.cables.items():
        pair = []
        for attribute, way in (("end_a", "out"), ("end_b", "in")):
            end = resolved(model, cable, getattr(cable, attribute), way)
            if end is not None and "/" not in end and end in model.devices:
                loose.append((name, attribute, fitting_ports(model, cable, end, way)))
            pair.append(end)
            if end is not None:
                at.setdefault(end, []).append(name)
        ends[name] = (pair[0], pair[1])
    return Wiring(ends, {port: tuple(names) for port, names in at.items()}, tuple(loose))


def resolved(model: Model, cable: Cable, end: str | None, way: str) -> str | None:
    """Return an end with its port where only one port of the device fits the cable."""
    if end is None or "/" in end or end.startswith("line ") or end not in model.devices:
        return end
    ports = fitting_ports(model, cable, end, way)
    return f"{end}/{ports[0]}" if len(ports) == 1 else end


def fitting_ports(model: Model, cable: Cable, device: str, way: str) -> tuple[str, ...]:
    """Return the ports of a device that a cable's end fits, by medium and direction."""
    kind = model.library.cables.get(cable.kind)
    media = FITS.get(kind.medium if kind else "", ())
    ports = model.kind_of(device).ports or {}
    return tuple(name for name, port in ports.items() if port.medium in media and port.way in {way, "both"})
