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

    @property
    def ends(self) -> tuple[str, str]:
        """Both ports."""
        return (self.port_a, self.port_b)

    def far(self, port: str) -> str:
        """Return the end that is not `port`."""
        return self.port_b if port == self.port_a else self.port_a


def network_links(model: Model, found: Ports) -> dict[str, Link]:
    """Return every network cable, with the reason where it carries nothing."""
    return {cable: Link(cable, *ends, dead_reason(model, found, cable, ends)) for cable, ends in found.links.items()}


def dead_reason(model: Model, found: Ports, cable: str, ends: tuple[str, str]) -> Because | None:
    """Return why a cable carries nothing: not plugged, a shut port, optics that are no pair."""
    record = model.cables[cable]
    if record.state != "plugged":
        return Because(record.at.spot("state"), f"{cable} is {record.state}, not plugged")
    for end in ends:
        if end in found.shut:
            return found.shut[end]
    fault = unpaired(model.optic_of(ends[0]), model.optic_of(ends[1]))
    return Because(model.ports[ends[1]].at.spot("optic"), f"{cable} has no link: {fault}") if fault else None


def unpaired(optic_a: Optic | None, optic_b: Optic | None) -> str:
    """Return in words why two optics give no link; empty where they do, or where one of them is not written.

    TX of each must be RX of the other, at one rate and in one mode (clauses of IEEE 802.3 for single-strand optics, from
    memory; common practice).
    """
    if optic_a is None or optic_b is None:
        return ""
    if optic_a.mode != optic_b.mode:
        return f"one end is {optic_a.mode}, the other {optic_b.mode}"
    if optic_a.strands != optic_b.strands:
        return "one end sends and listens on one strand, the other on two"
    same = (optic_a.tx_nm, optic_a.rx_nm) == (optic_b.tx_nm, optic_b.rx_nm)
    if optic_a.tx_nm != optic_b.rx_nm or optic_b.tx_nm != optic_a.rx_nm:
        if same:
            return f"both ends send {optic_a.tx_nm:g} and listen at {optic_a.rx_nm:g}"
        return (
            f"one end sends {optic_a.tx_nm:g} and listens at {optic_a.rx_nm:g}, "
            f"the other sends {optic_b.tx_nm:g} and listens at {optic_b.rx_nm:g}"
        )
    return "" if optic_a.rate_bit_per_s == optic_b.rate_bit_per_s else "the two ends have different rates"
