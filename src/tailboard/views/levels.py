"""How loud a source comes to an ear: the levels of its way step by step, and in one sentence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple, TypedDict

from tailboard.answers.level_ledger import LevelLedger, LevelStep
from tailboard.answers.level_ways import UNITY
from tailboard.units.wording import listed, plain, worded


class LevelStepView(TypedDict):
    """The levels at one place, in dBu before a converter, in dBFS behind it; `left`: headroom of the peak. [dB]"""

    at: str
    what: str
    unit: str
    peak_db: float | None
    nominal_db: float | None
    noise_db: float | None
    clip_db: float | None
    left_db: float | None


class WayLevelView(TypedDict):
    """The levels of a way.

    words   where it comes out, how far over its noise, and which step clips first.
    whole   whether the levels lead to the end of the way; else a missing figure ended them before.
    taken   what is taken for granted; missing: the figures that are not written; assumptions: example figures.
    """

    steps: list[LevelStepView]
    words: str
    whole: bool
    over_noise_db: float | None
    missing: list[str]
    assumptions: list[str]
    taken: str


class End(NamedTuple):
    """Where a way ends: the levels there, and how far the nominal one is over the noise. [dB]"""

    step: LevelStepView
    over_noise_db: float | None


def level_view(ledger: LevelLedger) -> WayLevelView:
    """Return the levels of a ledger of at least one step."""
    return {
        "steps": [step_view(step) for step in ledger.steps],
        "words": level_words(ledger),
        "whole": ledger.whole,
        "over_noise_db": rounded(ledger.signal_to_noise_db),
        "missing": list(ledger.missing),
        "assumptions": list(ledger.assumptions),
        "taken": UNITY,
    }


def step_view(step: LevelStep) -> LevelStepView:
    """Return the levels at one place."""
    return {
        "at": step.at,
        "what": step.words,
        "unit": unit_of(step),
        "peak_db": rounded(step.peak_db),
        "nominal_db": rounded(step.nominal_db),
        "noise_db": rounded(step.noise_db),
        "clip_db": rounded(step.clip_db),
        "left_db": rounded(step.headroom_peak_db),
    }


def unit_of(step: LevelStep) -> str:
    """Return the unit of a step's levels."""
    return "dBFS" if step.digital else "dBu"


def rounded(level_db: float | None) -> float | None:
    """Return a level as it is shown: to a tenth of a decibel."""
    return None if level_db is None else round(level_db, 1) + 0.0


def level_words(ledger: LevelLedger) -> str:
    """Return in one sentence how loud a source comes there and which step clips first; empty where nothing is known."""
    known = loud_words([End(step_view(ledger.steps[-1]), rounded(ledger.signal_to_noise_db))])
    words = [known] if known else []
    first = ledger.clips_first
    if first is not None:
        left_db = first.headroom_peak_db or 0.0
        said = f"{plain(round(abs(left_db), 1), 1)} dB {'of headroom' if left_db >= 0 else 'too much'}"
        partly = ", of what is known" if ledger.missing else ""
        words.append(f"least room at {first.at} ({first.words}): {said}{partly}")
    return "; ".join(words)


def ends_of(levels: Iterable[WayLevelView | None]) -> list[End]:
    """Return where ways end, of those whose levels are known to their end."""
    return [End(level["steps"][-1], level["over_noise_db"]) for level in levels if level is not None and level["whole"]]


def loud_words(ends: Sequence[End]) -> str:
    """Return how loud sources come to the one place where they end, in words; empty where nobody knows."""
    peaks = [end.step["peak_db"] for end in ends if end.step["peak_db"] is not None]
    if not peaks:
        return ""
    places = dict.fromkeys(end.step["at"] for end in ends)
    words = f"peaks of {span(peaks, ends[0].step['unit'])} at {listed(list(places))}"
    ratios = [end.over_noise_db for end in ends if end.over_noise_db is not None]
    return words + (f", nominal {span(ratios, 'dB')} over the noise" if ratios else "")


def span(levels_db: Sequence[float], unit: str) -> str:
    """Return one level, or the least and the greatest of several."""
    return " to ".join(worded(value, unit) for value in dict.fromkeys((min(levels_db), max(levels_db))))
