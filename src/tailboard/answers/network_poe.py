"""Power over Ethernet: what each switch has to feed, as stated and by class, against its budget."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.model.show import Model, device_of
from tailboard.physics.poe import source_power_w


@dataclass(frozen=True, slots=True)
class Fed:
    """A device that a switch port feeds.

    stated_w  what its kind says it draws; None: not said.
    class_w   what a source sets aside for its class; None: no class is said.
    """

    device: str
    port: str
    cable: str
    stated_w: float | None
    class_w: float | None

    @property
    def power_w(self) -> float | None:
        """What to plan with: the stated figure, else that of the class; None: neither is known."""
        return self.class_w if self.stated_w is None else self.stated_w


@dataclass(frozen=True, slots=True)
class Feeding:
    """What one switch feeds; powers are None where a figure is missing for one of its devices.

    budget_w  what the switch can feed in all; limit_w the share of it to plan with.
    stated_w  sum of the stated figures, by class where none is stated; class_w sum by class, stated where there is none.
    """

    switch: str
    fed: tuple[Fed, ...]
    budget_w: float | None
    limit_w: float | None
    stated_w: float | None
    class_w: float | None


def feedings(ask: Ask) -> dict[str, Feeding]:
    """Return what every switch that feeds something, or is planned to, has to feed."""
    net = ask(network)
    fed: dict[str, list[Fed]] = {}
    for port, planned in ask.model.ports.items():
        if planned.poe and device_of(port) in ask.model.devices:
            fed.setdefault(device_of(port), []).extend(fed_by(net, port))
    return {switch: feeding(ask.model, switch, tuple(loads)) for switch, loads in fed.items()}


def fed_by(net: Network, port: str) -> list[Fed]:
    """Return the powered devices on the plugged cables at a port."""
    found = []
    for cable in net.ports.at.get(port, ()):
        far = net.links[cable].far(port)
        load = drawn_w(net.model, far)
        if net.model.cables[cable].state == "plugged" and load is not None:
            found.append(Fed(device_of(far), port, cable, *load))
    return found


def drawn_w(model: Model, port: str) -> tuple[float | None, float | None] | None:
    """Return what a powered device at DEVICE/PORT draws as stated and by class; None for a device that is not fed so."""
    kind, jack = model.kind_of(device_of(port)), model.port_kind(port)
    poe_class = jack.poe_class if jack is not None else None
    if poe_class is None and kind.poe_power_w is None:
        return None
    return kind.poe_power_w, None if poe_class is None else source_power_w(poe_class)


def feeding(model: Model, switch: str, fed: tuple[Fed, ...]) -> Feeding:
    """Return the sums of one switch."""
    budget_w = model.kind_of(switch).poe_budget_w
    limit_w = None if budget_w is None else budget_w * model.heading.poe_share_max / 100
    stated = [load.power_w for load in fed]
    by_class = [load.stated_w if load.class_w is None else load.class_w for load in fed]
    return Feeding(switch, fed, budget_w, limit_w, total_w(stated), total_w(by_class))


def total_w(powers_w: list[float | None]) -> float | None:
    """Return the sum of powers, None where one is not known. [W]"""
    return None if any(power is None for power in powers_w) else sum(power or 0.0 for power in powers_w)
