"""What the light rules share: the caution, and the evidence of a beam."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tailboard.answers.light import Beam, Strand
from tailboard.answers.light import spot_of as optic_spot
from tailboard.findings import Because
from tailboard.model.show import Model
from tailboard.units.wording import listed, worded


@dataclass(frozen=True, slots=True)
class Reading:
    """What one way of a strand brings: the power that arrives, and how far it is on the good side of its limit."""

    beam: Beam
    power_dbm: float
    reserve_db: float

    @property
    def words(self) -> str:
        """The power with the port it arrives at."""
        return f"{self.beam.to_port} {worded(self.power_dbm, 'dBm')}"


CAUTION = "never look into a fibre or a connector, caps on"


def sides(model: Model, beam: Beam, *, strong: bool) -> list[Because]:
    """Return what both modules say: the strongest against the overload, or the weakest against the sensitivity."""
    index, most = (1, "most") if strong else (0, "least")
    sent = beam.sender.tx_dbm[index] if beam.sender.tx_dbm else 0.0
    limit = (beam.overload_dbm if strong else beam.sensitivity_dbm) or 0.0
    word = "overload" if strong else "sensitivity"
    return [
        Because(
            optic_spot(model, beam.from_port),
            f"{beam.sender.id} in {beam.from_port} sends at {most} {worded(sent, 'dBm')}",
        ),
        Because(
            optic_spot(model, beam.to_port), f"{beam.receiver.id} in {beam.to_port}: {word} {worded(limit, 'dBm')}"
        ),
    ]


def length_words(strand: Strand) -> str:
    """Return the strand with its length."""
    return f"{strand.cable}, {worded(strand.length_m or 0.0, 'm')}"


def attenuator_words(strand: Strand) -> str:
    """Return the attenuator of a strand, empty where none is fitted."""
    loss_db = strand.record.attenuator_db
    return f", an attenuator of {loss_db:g} dB" if loss_db else ""


def worst_of(readings: Iterable[Reading]) -> Reading:
    """Return the one nearest to its limit, or furthest beyond it."""
    return min(readings, key=lambda reading: (reading.reserve_db, reading.beam.to_port))


def at_ends(readings: Iterable[Reading]) -> str:
    """Return what arrives at each end: 'SW-B/S1 -14.07 dBm and SW-T/S1 -14.07 dBm'."""
    return listed([reading.words for reading in readings])


def assumed(beams: Iterable[Beam]) -> list[str]:
    """Return the assumptions of several beams."""
    return [name for beam in beams for name in beam.assumptions]
