"""Network cables: which carry frames, and why others do not."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.network_ports import Ports
from tailboard.findings import Because
from tailboard.kinds.records import Optic
from tailboard.model.show import Model


@dataclass(frozen=True, slots=True)
class Link:
    """A network cable with its two ports; `dead` says why it carries nothing."""

    cable: str
    port_a: str
    port_b: str
    dead: Because | None = None

    def far(self, port: str) -> str:
        """Return the end that is not `port`."""
        return self.port_b if port == self.port_a else self.port_a


def live_links(model: Model, found: Ports) -> dict[str, Link]:
    """Return every network cable, with the reason where it carries nothing."""
    return {cable: Link(cable, *ends, dead_reason(model, cable, ends)) for cable, ends in found.links.items()}


def dead_reason(model: Model, cable: str, ends: tuple[str, str]) -> Because | None:
    """Return why a cable carries nothing: not plugged, a shut port, optics that are no pair."""
    record = model.cables[cable]
    if record.state != "plugged":
        return Because(record.at.spot("state"), f"{cable} is {record.state}, not plugged")
    for end in ends:
        port = model.ports.get(end)
        if port is not None and port.shut:
            return Because(port.at.spot("shut"), f"{end} is shut")
    optics = [model.optic_of(end) for end in ends]
    fault = unpaired(optics[0], optics[1])
    return Because(model.ports[ends[1]].at.spot("optic"), f"{cable} has no link: {fault}") if fault else None


def unpaired(optic_a: Optic | None, optic_b: Optic | None) -> str:
    """Return in words why two optics give no link; empty where they do, or where one of them is not written."""
    if optic_a is None or optic_b is None:
        return ""
    if optic_a.mode != optic_b.mode:
        return f"one end is {optic_a.mode}, the other {optic_b.mode}"
    if optic_a.strands != optic_b.strands:
        return f"one end works on {optic_a.strands} strand, the other on {optic_b.strands}"
    if optic_a.tx_nm == optic_b.rx_nm and optic_b.tx_nm == optic_a.rx_nm:
        return "" if optic_a.rate_bit_per_s == optic_b.rate_bit_per_s else "the two ends have different rates"
    if (optic_a.tx_nm, optic_a.rx_nm) == (optic_b.tx_nm, optic_b.rx_nm):
        return f"both ends send {optic_a.tx_nm:g} and listen at {optic_a.rx_nm:g}"
    return f"one end sends {optic_a.tx_nm:g} and listens at {optic_a.rx_nm:g}, the other sends {optic_b.tx_nm:g} and listens at {optic_b.rx_nm:g}"
