"""Light on every strand, each way: the most, the least and the usual power that arrives, and the figures that lack."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Spot
from tailboard.kinds.records import Optic
from tailboard.model.records import Cable
from tailboard.model.show import Model
from tailboard.physics.light import Losses, least, most, received_dbm, usual


@dataclass(frozen=True, slots=True)
class Beam:
    """Light of one strand in one direction. A figure is None where what it needs is not written.

    least, most   what a kilometre, a mated pair and a splice lose in the best and in the worst case.
    best_dbm      the most that can arrive: the strongest module, the fibre's least loss and a fitted attenuator alone.
    worst_dbm     the least that arrives over a sound strand: the weakest module, every loss at its limit.
    expected_dbm  between which readings a sound strand usually lies: weakest and strongest module, usual losses.
    """

    from_port: str
    to_port: str
    sender: Optic
    receiver: Optic
    least: Losses
    most: Losses
    best_dbm: float | None = None
    worst_dbm: float | None = None
    expected_dbm: tuple[float, float] | None = None
    loss_most_db: float | None = None

    @property
    def sensitivity_dbm(self) -> float | None:
        """The least the receiver needs."""
        return self.receiver.rx_dbm[0] if self.receiver.rx_dbm else None

    @property
    def overload_dbm(self) -> float | None:
        """The most the receiver takes."""
        return self.receiver.rx_dbm[1] if self.receiver.rx_dbm else None

    @property
    def assumptions(self) -> tuple[str, ...]:
        """The optics whose figures are example values."""
        optics = {optic.id: optic for optic in (self.sender, self.receiver)}
        return tuple(f"optic {name}" for name, optic in optics.items() if optic.figures.startswith("example value"))


@dataclass(frozen=True, slots=True)
class Strand:
    """One strand with an optical module at each end, or with what is missing for that.

    length_m  its pieces added up; mode  of its kind; both None where not written.
    beams     one each way, where the far module listens at the wavelength sent.
    missing   figures that are not written: where they belong, and in words.
    """

    cable: str
    record: Cable
    ports: tuple[str, str]
    length_m: float | None
    mode: str | None
    beams: tuple[Beam, ...] = ()
    missing: tuple[Because, ...] = ()


def light(ask: Ask) -> dict[str, Strand]:
    """Return every strand that is plugged, and every spare one with a module fitted at both ends.

    One with an empty cage is left out: that its module is missing is said where modules are paired.
    """
    model, found = ask.model, {}
    ends_of = ask(wiring).ends
    for name, cable in model.cables.items():
        kind = model.library.cables.get(cable.kind)
        end_a, end_b = ends_of[name]
        if kind is None or kind.medium != "fibre" or end_a is None or end_b is None:
            continue
        bare = [end for end in (end_a, end_b) if model.optic_of(end) is None]
        if not bare or (cable.state == "plugged" and not any(is_cage(model, end) for end in bare)):
            found[name] = strand_of(model, cable, (end_a, end_b), kind.mode)
    return found


def is_cage(model: Model, port: str) -> bool:
    """Return whether a module belongs into a port."""
    jack = model.port_kind(port)
    return jack is not None and jack.medium == "cage"


def strand_of(model: Model, cable: Cable, ports: tuple[str, str], mode: str | None) -> Strand:
    """Return the light of one strand."""
    length_m = sum(cable.pieces_m) if cable.pieces_m is not None else None
    missing = [*lacking_at_cable(cable, mode), *(gap for port in ports for gap in lacking_at_port(model, port))]
    optics = model.optic_of(ports[0]), model.optic_of(ports[1])
    beams = []
    for one, other in ((0, 1), (1, 0)):
        sender, receiver = optics[one], optics[other]
        if sender is not None and receiver is not None and sender.tx_nm == receiver.rx_nm:
            beams.append(beam_of(cable, length_m, mode or sender.mode, (ports[one], sender), (ports[other], receiver)))
    return Strand(cable.id, cable, ports, length_m, mode, tuple(beams), tuple(dict.fromkeys(missing)))


def lacking_at_cable(cable: Cable, mode: str | None) -> list[Because]:
    """Return what is not written at a strand."""
    found = []
    if cable.pieces_m is None:
        found.append(Because(cable.at.spot("pieces_m"), f"the length of {cable.id}"))
    if cable.mated_pairs is None:
        found.append(Because(cable.at.spot("mated_pairs"), f"the mated pairs of {cable.id}"))
    if mode is None:
        found.append(Because(cable.at.spot("kind"), f"the mode of the cable kind {cable.kind}"))
    return found


def lacking_at_port(model: Model, port: str) -> list[Because]:
    """Return what is not written at one end of a strand: its module, or figures of it."""
    optic = model.optic_of(port)
    if optic is None:
        return [Because(spot_of(model, port), f"the optic in {port}")]
    named = (("tx_dbm", "TX power", optic.tx_dbm), ("rx_dbm", "RX power", optic.rx_dbm))
    return [Because(optic.at.spot(), f"{word} of the optic {optic.id}") for _, word, figure in named if figure is None]


def spot_of(model: Model, port: str) -> Spot:
    """Return where the optic of a port stands, or belongs."""
    config = model.ports.get(port)
    if config is not None:
        return config.at.spot("optic")
    device = model.devices.get(port.partition("/")[0])
    return device.at.spot() if device is not None else Spot("rig.yaml")


def beam_of(cable: Cable, length_m: float | None, mode: str, start: tuple[str, Optic], end: tuple[str, Optic]) -> Beam:
    """Return the light from one module to the other."""
    (from_port, sender), (to_port, receiver) = start, end

    def lost_db(losses: Losses, pair_count: int | None) -> float | None:
        if length_m is None or pair_count is None:
            return None
        return losses.loss_db(length_m, pair_count, cable.splices) + cable.attenuator_db

    assert sender.tx_nm is not None  # the reader refuses an optic without it
    at_least, at_most = least(sender.tx_nm, mode), most(sender.tx_nm, mode)
    loss_least = lost_db(at_least, 0)
    loss_most = lost_db(at_most, cable.mated_pairs)
    loss_usual = lost_db(usual(sender.tx_nm, mode), cable.mated_pairs)
    sent = sender.tx_dbm
    return Beam(
        from_port,
        to_port,
        sender,
        receiver,
        at_least,
        at_most,
        None if sent is None or loss_least is None else received_dbm(sent[1], loss_least),
        None if sent is None or loss_most is None else received_dbm(sent[0], loss_most),
        None
        if sent is None or loss_usual is None
        else (received_dbm(sent[0], loss_usual), received_dbm(sent[1], loss_usual)),
        loss_most,
    )
