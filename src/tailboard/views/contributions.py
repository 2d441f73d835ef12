"""What comes from each source to a listener: all ways counted, the strongest with gain, ledger and delay, and their sum."""

from __future__ import annotations

import math
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing
from tailboard.answers.mixing import bits, plain
from tailboard.answers.signal_contributions import Contribution, Contributions, contributions
from tailboard.answers.signal_ways import short
from tailboard.answers.soundpath import Entry, entries_of
from tailboard.units.wording import plain as plain_number
from tailboard.views.chains import delay_words
from tailboard.views.places import PlaceView, Sources, place_view

SUM_HZ = 1000.0  # the frequency at which ways are added up: that of line-up tone, common practice, no source
SILENT_DB = -200.0  # own choice: below this nothing is said of a sum


class EntryView(TypedDict):
    """One figure of a way's delay. [s] None where it is not known."""

    words: str
    least_s: float | None
    worst_s: float | None
    assumption: str
    place: PlaceView


class PartView(TypedDict):
    """One way. `gain_db`: the gains that are written on it; `least_s`, `worst_s`: the known figures added up. [s]"""

    by: str
    gain_db: float
    least_s: float
    worst_s: float
    delay: str
    missing: list[str]
    ledger: list[EntryView]


class ContributionView(TypedDict):
    """One source at one ear.

    count   the ways that work, keys pressed; exact: False where circles make more than could be counted.
    parts   the strongest of them; sum_db: all listed ones added as phasors at 1 kHz, None where they cancel.
    apart   how far the first and the last of the listed lie apart, and the first notch, in words; empty for one way.
    """

    source: str
    ear: str
    count: int
    exact: bool
    parts: list[PartView]
    sum_db: float | None
    apart: str


def contribution_views(
    ask: Ask, found: Hearing, heard: int, ears: tuple[str, ...], sources: Sources
) -> list[ContributionView]:
    """Return the contributions of some sources, by their bits, at some ears; those that do not get there are left out."""
    graph = found.graph
    made = []
    for bit in bits(heard):
        label = found.mixing.labels[bit]
        for ear in ears:
            parts = contributions(graph, label, ear)
            if parts.count:
                made.append(contribution_view(ask, found, plain(label), ear, parts, sources))
    return made


def contribution_view(
    ask: Ask, found: Hearing, source: str, ear: str, parts: Contributions, sources: Sources
) -> ContributionView:
    """Return the contributions of one source at one ear."""
    ledgers = [tuple(entries_of(ask, part.way.steps)) for part in parts.listed]
    delays_s = [sum(entry.worst_s or 0.0 for entry in ledger) for ledger in ledgers]
    total = abs(parts.sum_at(SUM_HZ, delays_s))
    sum_db = 20 * math.log10(total) if total > 10 ** (SILENT_DB / 20) else None
    return {
        "source": source,
        "ear": ear,
        "count": parts.count,
        "exact": parts.exact,
        "parts": [part_view(found, part, ledger, sources) for part, ledger in zip(parts.listed, ledgers, strict=True)],
        "sum_db": None if sum_db is None else round(sum_db, 3),
        "apart": apart_words(delays_s),
    }


def part_view(found: Hearing, part: Contribution, ledger: tuple[Entry, ...], sources: Sources) -> PartView:
    """Return one way with its ledger."""
    return {
        "by": short(found.graph, part.way),
        "gain_db": part.gain_db,
        "least_s": sum(entry.least_s or 0.0 for entry in ledger),
        "worst_s": sum(entry.worst_s or 0.0 for entry in ledger),
        "delay": delay_words(ledger),
        "missing": list(dict.fromkeys(entry.words for entry in ledger if entry.worst_s is None)),
        "ledger": [
            {
                "words": entry.words,
                "least_s": entry.least_s,
                "worst_s": entry.worst_s,
                "assumption": entry.assumption,
                "place": place_view(entry.spot, sources),
            }
            for entry in ledger
        ],
    }


def apart_words(delays_s: list[float]) -> str:
    """Return how far apart ways lie in time, and where their comb has its first notch."""
    apart_s = max(delays_s) - min(delays_s) if len(delays_s) > 1 else 0.0
    if apart_s <= 0:
        return ""
    return f"{plain_number(1e3 * apart_s, 2)} ms apart, first notch at {plain_number(1 / (2 * apart_s))} Hz"
