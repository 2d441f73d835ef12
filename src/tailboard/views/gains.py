"""The gains to set before the first microphone is plugged, box by box."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import GainAdvice, line_ledgers
from tailboard.answers.signal_ears import natural
from tailboard.model.show import device_of, jack_of
from tailboard.units.wording import plain, worded


class GainRow(TypedDict):
    """One preamplifier. All in words; `advised` is empty where a figure is missing, and `note` then says which.

    written   gain in the plan; advised: the gain that brings the highest peak to the highest permitted level.
    reached   where the peak comes to with the gain written (as advised, where none is); ratio: signal over noise.
    clips     the step that clips first; noise: the one that sets the noise.
    """

    box: str
    hole: str
    line: str
    label: str
    phantom: str
    pad: str
    written: str
    advised: str
    reached: str
    ratio: str
    clips: str
    noise: str
    note: str


def gain_rows(ask: Ask, box: str = "") -> list[GainRow]:
    """Return a row for every line with a preamplifier, of one box or of all, box by box and hole by hole."""
    model = ask.model
    rows = []
    for name, ledger in ask(line_ledgers).items():
        line = model.lines[name]
        jack = model.port_kind(line.hole or "")
        if jack is None or jack.gain_db is None or (box and device_of(line.hole or "") != box):
            continue
        last, advised = ledger.steps[-1], ledger.advice
        row: GainRow = {
            "box": device_of(line.hole or ""),
            "hole": jack_of(line.hole or ""),
            "line": name,
            "label": line.label,
            "phantom": "48 V" if line.phantom else "off",
            "pad": worded(line.pad_db, "dB") if line.pad_db else pad_words(advised),
            "written": "" if line.gain_db is None else worded(line.gain_db, "dB"),
            "advised": "" if advised is None else worded(advised.gain_db, "dB"),
            "reached": reached_words(last.peak_db if last.digital else None, advised),
            "ratio": "" if ledger.signal_to_noise_db is None else f"{plain(round(ledger.signal_to_noise_db))} dB",
            "clips": "" if ledger.clips_first is None else ledger.clips_first.words,
            "noise": "" if ledger.sets_the_noise is None else ledger.sets_the_noise.at,
            "note": (advised.words if advised else "") or "; ".join(ledger.missing),
        }
        rows.append(row)
    return sorted(rows, key=lambda row: (row["box"], natural(row["hole"])))


def pad_words(advised: GainAdvice | None) -> str:
    """Return the pad that is advised, if one is."""
    return worded(advised.pad_db, "dB") if advised is not None and advised.pad_db else ""


def reached_words(peak_dbfs: float | None, advised: GainAdvice | None) -> str:
    """Return where the highest peak comes to."""
    reached_dbfs = peak_dbfs if peak_dbfs is not None else advised.reached_dbfs if advised is not None else None
    return "" if reached_dbfs is None else worded(round(reached_dbfs, 1), "dBFS")
