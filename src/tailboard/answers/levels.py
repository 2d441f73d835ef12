"""The level of each line at its hole and at the converter behind it."""

from __future__ import annotations

from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.cabling import Way, cabling
from tailboard.kinds.records import PortKind, SourceKind
from tailboard.model.records import Line
from tailboard.model.show import Model, device_of
from tailboard.physics.level import CONSUMER_DBV, PROFESSIONAL_DBU, converter_dbfs, dbu_from_dbv, microphone_dbu

NOMINAL_DBU = {"line +4 dBu": PROFESSIONAL_DBU, "line -10 dBV": dbu_from_dbv(CONSUMER_DBV)}


@dataclass(frozen=True, slots=True)
class HoleLevel:
    """One line where it meets its hole.

    given         level class the plan gives the line: its own, or that of its type; None: not written.
    sent          level class of the output jack whose cable is in the hole, and that jack; None and '': not known.
    taken         kind of the jack; None: the box or the jack is not known.
    way           the cables behind the hole; None where none, or more than one, is plugged there.
    gain_db       gain and pad; None: not written, though the jack has a preamplifier.
    peak_dbu      highest peak at the hole.
    peak_dbfs     the same after the converter; None: a figure is missing.
    nominal_dbfs  what the nominal level of a line-level source reads; None for other sources.
    assumptions   the example figures that these numbers rest on.
    """

    given: str | None
    sent: str | None
    sender: str
    taken: PortKind | None
    way: Way | None
    gain_db: float | None
    peak_dbu: float | None
    peak_dbfs: float | None
    nominal_dbfs: float | None
    assumptions: tuple[str, ...]

    @property
    def level(self) -> str | None:
        """The level class at the hole: what the plan gives the line, else what the jack before it sends."""
        return self.given or self.sent


def levels(ask: Ask) -> dict[str, HoleLevel]:
    """Return the level of every line that has a hole."""
    model, ways = ask.model, ask(cabling)
    found: dict[str, HoleLevel] = {}
    for name, line in model.lines.items():
        if not line.hole:
            continue
        behind = ways.behind(line.hole) if ways.plugged else ()
        found[name] = hole_level(model, name, line, behind[0] if len(behind) == 1 else None)
    return found


def hole_level(model: Model, name: str, line: Line, way: Way | None) -> HoleLevel:
    """Return the level of one line at its hole."""
    assert line.hole is not None
    source, jack = model.source_kind(name), model.port_kind(line.hole)
    sender = way.ends[0] if way else ""
    sending = model.port_kind(sender) if sender else None
    given = line.level or (source.level if source else None)
    sent = sending.level if sending else None
    gain_db = gain_before_converter_db(line, jack)
    clip_dbu = jack.clip_dbu if jack else None
    peak_dbu = peak_at_hole_dbu(line, source)
    nominal_dbu = NOMINAL_DBU.get(given or sent or "")
    return HoleLevel(
        given,
        sent,
        sender,
        jack,
        way,
        gain_db,
        peak_dbu,
        peak_dbfs=converted_dbfs(peak_dbu, gain_db, clip_dbu),
        nominal_dbfs=converted_dbfs(nominal_dbu, gain_db, clip_dbu),
        assumptions=example_figures(model, line.hole, source),
    )


def peak_at_hole_dbu(line: Line, source: SourceKind | None) -> float | None:
    """Return the highest peak of a line at its hole: of the sound that is written for it, else that of its type."""
    if source is None:
        return None
    if line.peak_db_spl is not None and source.sensitivity_mv_per_pa is not None:
        return microphone_dbu(source.sensitivity_mv_per_pa, line.peak_db_spl)
    return source.peak_dbu


def converted_dbfs(level_dbu: float | None, gain_db: float | None, clip_dbu: float | None) -> float | None:
    """Return what the converter reads, or None where a figure is missing."""
    if level_dbu is None or gain_db is None or clip_dbu is None:
        return None
    return converter_dbfs(level_dbu, gain_db, clip_dbu)


def gain_before_converter_db(line: Line, jack: PortKind | None) -> float | None:
    """Return gain and pad of a line; a jack without a preamplifier has none, an unwritten gain is not known."""
    if line.gain_db is None and (jack is None or jack.gain_db is not None):
        return None
    return (line.gain_db or 0.0) + (line.pad_db or 0.0)


def example_figures(model: Model, hole: str, source: SourceKind | None) -> tuple[str, ...]:
    """Return the assumption keys of a hole's kind and a source's kind whose figures are example values."""
    kind = model.kind_of(device_of(hole))
    keys = [f"kind {kind.id}"] if kind.figures.startswith("example value") else []
    if source is not None and source.figures.startswith("example value"):
        keys.append(f"source kind {source.id}")
    return tuple(keys)
