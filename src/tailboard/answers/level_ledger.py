"""The level of a line step by step to its converter: nominal, peak, noise, clip point, the step that limits, the gain to set."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from tailboard.answers.ask import Ask
from tailboard.answers.levels import NOMINAL_DBU, HoleLevel, levels
from tailboard.kinds.records import PortKind, SourceKind
from tailboard.model.records import Line
from tailboard.model.show import Model
from tailboard.physics.level import REFERENCE_DB_SPL, dbu_from_v, sum_db
from tailboard.units import Alignment

PERMITTED_ABOVE_DB = 9.0  # EBU R 68 (second-hand): the highest permitted level is 9 dB above alignment
HEADROOM_DB = 6.0  # what peak-clips asks for between the highest peak and the clip point
GAIN_STEP_DB = 1.0  # own choice: a gain is set to whole decibels
NOISE = "the noise of "  # how the words for a missing figure of noise begin
PAD_DB = -20.0  # the usual pad of a microphone input: common practice, no source


@dataclass(frozen=True, slots=True)
class LevelStep:
    """One place on the way and the levels there; None where a figure is missing.

    at        the jack, or what it is; words: what happens there.
    gain_db   what this step adds.
    nominal_db, peak_db, noise_db, clip_db  in dBu before a converter, in dBFS behind it (`digital`).
    added_db  the noise that this step itself brings, at its own place.
    """

    at: str
    words: str
    gain_db: float
    digital: bool
    nominal_db: float | None
    peak_db: float | None
    noise_db: float | None
    clip_db: float | None
    added_db: float | None = None

    @property
    def headroom_peak_db(self) -> float | None:
        """What is left between the highest peak and the clip point. [dB]"""
        return None if self.peak_db is None or self.clip_db is None else self.clip_db - self.peak_db

    @property
    def headroom_nominal_db(self) -> float | None:
        """What is left between the nominal level and the clip point. [dB]"""
        return None if self.nominal_db is None or self.clip_db is None else self.clip_db - self.nominal_db


@dataclass(frozen=True, slots=True)
class GainAdvice:
    """The gain to set before anything is plugged.

    gain_db, pad_db  so that the highest peak comes to the highest permitted level; pad 0 where none is needed.
    reached_dbfs     where the peak comes to with them.
    words            why it is not more, or what must be done besides; empty where nothing is to be said.
    """

    gain_db: float
    pad_db: float
    reached_dbfs: float
    words: str = ""


@dataclass(frozen=True, slots=True)
class LevelLedger:
    """The levels of one line or feed.

    steps        in the order of the way.
    advice       for the preamplifier of a line; None where there is none, or a figure is missing.
    missing      the figures that are not written, in words; assumptions: the example figures the rest stands on.
    whole        whether it leads to the end of the way; else a missing figure ended it before.
    """

    steps: tuple[LevelStep, ...]
    advice: GainAdvice | None = None
    missing: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = ()
    whole: bool = True

    @property
    def signal_to_noise_db(self) -> float | None:
        """Nominal level over the noise at the end; None where a noise on the way is not known. [dB]"""
        last = self.steps[-1] if self.steps else None
        if last is None or last.nominal_db is None or last.noise_db is None or self.noises_missing:
            return None
        return last.nominal_db - last.noise_db

    @property
    def noises_missing(self) -> list[str]:
        """The figures of noise that are not written, in words."""
        return [words for words in self.missing if words.startswith(NOISE)]

    @property
    def clips_first(self) -> LevelStep | None:
        """The step with the least headroom at the peak."""
        known = [step for step in self.steps if step.headroom_peak_db is not None]
        return min(known, key=lambda step: step.headroom_peak_db or 0.0, default=None)

    @property
    def sets_the_noise(self) -> LevelStep | None:
        """The step whose own noise makes up the most of that at the end."""
        gains = [sum(step.gain_db for step in self.steps[place + 1 :]) for place in range(len(self.steps))]
        shares = [
            (step.added_db + gain, step)
            for step, gain in zip(self.steps, gains, strict=True)
            if step.added_db is not None
        ]
        return max(shares, key=lambda share: share[0])[1] if shares else None


@dataclass(slots=True)
class Walk:
    """A ledger as it grows. All levels are kept in dBu until the converter, from there on in dBFS."""

    steps: list[LevelStep] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)

    def begin(
        self,
        at: str,
        words: str,
        nominal_db: float | None,
        peak_db: float | None,
        noise_db: float | None,
        *,
        digital: bool = False,
    ) -> None:
        """Add the first step. Levels in dBu, or dBFS where digital."""
        clip_db = 0.0 if digital else None
        self.steps.append(LevelStep(at, words, 0.0, digital, nominal_db, peak_db, noise_db, clip_db, noise_db))

    def go(
        self,
        at: str,
        words: str,
        gain_db: float,
        clip_db: float | None,
        own_db: float | None,
        *,
        turns_db: float | None = None,
    ) -> None:
        """Add a step: gain, the clip point behind it, its own noise there; `turns_db` is the level in dBu of 0 dBFS where the
        signal passes from one scale to the other.
        """
        last = self.steps[-1]
        digital = last.digital if turns_db is None else not last.digital
        shift_db = gain_db + (0.0 if turns_db is None else -turns_db if digital else turns_db)
        noise_db = None if last.noise_db is None else last.noise_db + shift_db
        if own_db is not None and noise_db is not None:
            noise_db = sum_db(noise_db, own_db)
        moved = [None if level is None else level + shift_db for level in (last.nominal_db, last.peak_db)]
        self.steps.append(LevelStep(at, words, shift_db, digital, moved[0], moved[1], noise_db, clip_db, own_db))


def line_ledgers(ask: Ask) -> dict[str, LevelLedger]:
    """Return the levels of every line that has a hole and an analogue source, to its converter."""
    return dict(each_line(ask))


def each_line(ask: Ask) -> Iterator[tuple[str, LevelLedger]]:
    """Yield the same line by line: who looks at each once need not hold them all."""
    model = ask.model
    for name, found in ask(levels).items():
        if found.level not in (None, "digital") and (found.taken is None or found.taken.medium == "analogue"):
            yield name, line_ledger(model, model.lines[name], found)


def line_ledger(model: Model, line: Line, found: HoleLevel) -> LevelLedger:
    """Return the levels of one line from its source to the converter behind its hole."""
    source, jack = model.source_kind(line.id), found.taken
    walk = Walk()
    noise_dbu = source_noise_dbu(source)
    nominal_dbu = NOMINAL_DBU.get(found.level or "")
    if nominal_dbu is None and found.peak_dbu is not None:
        nominal_dbu = found.peak_dbu - PERMITTED_ABOVE_DB
    walk.begin(
        line.source or f"line {line.id}",
        source.id if source else "its type is not written",
        nominal_dbu,
        found.peak_dbu,
        noise_dbu,
    )
    lacking(walk, found, jack, noise_dbu, line)
    if line.pad_db:
        walk.go(line.hole or "", "pad", line.pad_db, None, None)
    clip_dbu = jack.clip_dbu if jack else None
    gain_db = line.gain_db or 0.0
    if found.gain_db is not None and jack is not None:
        own_dbu = None if jack.noise_dbu is None else jack.noise_dbu + gain_db
        words = "preamplifier" if jack.gain_db is not None else "input"
        walk.go(line.hole or "", words, gain_db, clip_dbu, own_dbu)
        if clip_dbu is not None:
            walk.go(line.hole or "", "converter", 0.0, 0.0, None, turns_db=clip_dbu)
    return LevelLedger(tuple(walk.steps), advice(model, line, found), tuple(walk.missing), found.assumptions)


def lacking(walk: Walk, found: HoleLevel, jack: PortKind | None, noise_dbu: float | None, line: Line) -> None:
    """Note the figures that a line's ledger lacks."""
    checks = (
        (found.peak_dbu, f"the peak of the type of line {line.id}"),
        (noise_dbu, f"{NOISE}the type of line {line.id}"),
        (found.gain_db, f"the gain of line {line.id}"),
        (jack.clip_dbu if jack else None, f"the clip level of {line.hole}"),
        (jack.noise_dbu if jack else None, f"{NOISE}{line.hole}"),
    )
    walk.missing += [words for value, words in checks if value is None]


def source_noise_dbu(source: SourceKind | None) -> float | None:
    """Return the noise of a source at the hole: as its kind says, else that of a microphone by its self noise. [dBu]"""
    if source is None or source.noise_dbu is not None:
        return source.noise_dbu if source else None
    if source.sensitivity_mv_per_pa is None or source.self_noise_db_spl is None:
        return None
    return dbu_from_v(source.sensitivity_mv_per_pa / 1e3) + source.self_noise_db_spl - REFERENCE_DB_SPL


def permitted_dbfs(alignment: Alignment) -> float:
    """Return the highest permitted level of a show: 9 dB above its alignment level (EBU R 68, second-hand). [dBFS]"""
    return alignment.level_dbfs + PERMITTED_ABOVE_DB


def advice(model: Model, line: Line, found: HoleLevel) -> GainAdvice | None:
    """Return the gain that brings the highest peak of a line to the highest permitted level, within the preamplifier's range."""
    jack = found.taken
    if jack is None or jack.gain_db is None or jack.clip_dbu is None or found.peak_dbu is None:
        return None
    least_db, most_db = jack.gain_db
    goal_dbfs = permitted_dbfs(model.heading.alignment)
    wanted_db = goal_dbfs + jack.clip_dbu - found.peak_dbu
    pad_db = 0.0
    words = ""
    if wanted_db < least_db and found.peak_dbu + least_db - jack.clip_dbu <= -HEADROOM_DB:
        return GainAdvice(least_db, 0.0, found.peak_dbu + least_db - jack.clip_dbu)
    if wanted_db < least_db:
        pad_db = PAD_DB
        words = f"{line.source or 'it'} is too loud for the preamplifier alone: put a pad of {-PAD_DB:g} dB before it"
    gain_db = math.floor((wanted_db - pad_db) / GAIN_STEP_DB + 1e-9) * GAIN_STEP_DB
    if gain_db > most_db:
        words = f"the preamplifier of {line.hole} gives {most_db:g} dB at most"
    if gain_db < least_db:
        words = f"even with a pad of {-PAD_DB:g} dB it is louder than planned: use the line input"
    gain_db = min(max(gain_db, least_db), most_db)
    return GainAdvice(gain_db, pad_db, found.peak_dbu + gain_db + pad_db - jack.clip_dbu, words)
