"""One chain as a line through its stations, with time and level beneath, and the level of a line in steps, to be drawn."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.level_ledger import LevelLedger, line_ledgers
from tailboard.answers.level_ledger import LevelStep as LedgerStep
from tailboard.answers.level_ways import UNITY, way_ledger
from tailboard.answers.levels import HoleLevel
from tailboard.answers.paths import chains
from tailboard.answers.signal import signal
from tailboard.answers.signal_edges import Edge
from tailboard.answers.soundpath import Entry, entries_of
from tailboard.model.show import Model
from tailboard.text.nearmiss import nearest
from tailboard.units.wording import plain, worded
from tailboard.views.chains import delay_words, ends_of, point_words, starts_of, step_view, ways_between
from tailboard.views.levels import unit_of
from tailboard.views.rig_map import show_words

SCHEMA = "tailboard/chain/1"
LEVEL_SCHEMA = "tailboard/level/1"
GAINS = frozenset({"pad", "preamplifier", "input"})  # steps of which the gain is said; that of a converter is its scale


class StationView(TypedDict):
    """A point of the chain. `by`, `delay`, `mark`: the step that leads there, empty at the first; `time`: all so far."""

    station: str
    by: str
    delay: str
    mark: str
    time: str
    level: str


class ChainView(TypedDict):
    """The whole picture."""

    schema: str
    title: str
    show: str
    about: list[str]
    signs: list[str]
    stations: list[StationView]


class LevelStep(TypedDict):
    """A level at one place: in words and against full scale of the converter. [dBFS]

    sort  `peak`, `nominal` or `noise`; steps of one name stand in one column.
    """

    name: str
    words: str
    level_dbfs: float
    sort: str


class LevelView(TypedDict):
    """The level diagram of a line; `missing` says which figures are not written, and then there are no steps."""

    schema: str
    title: str
    show: str
    about: list[str]
    mark: str
    verdict: str
    steps: list[LevelStep]
    missing: list[str]


def chain_steps(ask: Ask, names: tuple[str, ...]) -> tuple[tuple[Edge, ...], str] | None:
    """Return the steps of a chain and why it ends early: of a line or feed, or the first way from one thing to another."""
    plan = ask(chains)
    if len(names) == 1:
        name = names[0].removeprefix("line ")
        chain = plan.of_line.get(name) or plan.of_feed.get(name)
        return None if chain is None else (chain.steps, chain.stop.words if chain.stop else "")
    graph = ask(signal)
    pairs = [(start, end) for start in starts_of(graph, names[0]) for end in ends_of(graph, names[1])]
    found = [way for start, end in pairs for way in ways_between(graph, start, end).listed]
    if not found:
        return None
    best = min(found, key=lambda way: (way.stop is not None, way.keyed, len(way.steps)))
    return best.steps, best.stop.words if best.stop else ""


def near_chain(ask: Ask, name: str) -> str:
    """Return the line or feed that was probably meant, or an empty text."""
    return nearest(name, [*ask.model.lines, *ask.model.feeds])


def chain_view(ask: Ask, names: tuple[str, ...], steps: tuple[Edge, ...], stop: str) -> ChainView:
    """Return a chain of at least one step."""
    every = [tuple(entries_of(ask, (edge,))) for edge in steps]
    total = [entry for entries in every for entry in entries]
    known = levels_on(ask, steps)
    first = point_words(ask.model, steps[0].start)
    made: list[StationView] = [
        {"station": first, "by": "", "delay": "", "mark": "", "time": "", "level": known.get(steps[0].start, "")}
    ]
    sofar: list[Entry] = []
    for edge, entries in zip(steps, every, strict=True):
        sofar += entries
        step = step_view(ask.model, edge, entries, {})
        made.append(
            {
                "station": step["ends"],
                "by": step["by"],
                "delay": delay_words(entries),
                "mark": mark_of(edge, entries),
                "time": known_words(sofar),
                "level": known.get(edge.end, ""),
            }
        )
    if stop and made[-1]["mark"] != "broken":
        made.append({"station": "no further", "by": stop, "delay": "", "mark": "broken", "time": "", "level": ""})
    about = [f"time in all: {known_words(total)}"] if known_words(total) else []
    about += [f"not known: {words}" for words in dict.fromkeys(e.words for e in total if e.worst_s is None)]
    about += [f"it gets no further: {stop}"] if stop else []
    title = f"From {names[0]} to {names[1]}" if len(names) > 1 else title_of(ask.model, names[0])
    return {
        "schema": SCHEMA, "title": title, "show": show_words(ask.model), "about": about,
        "signs": [mark for mark in ("holds", "holds if", "open", "broken") if mark in {s["mark"] for s in made}],
        "stations": made,
    }  # fmt: skip


def known_words(entries: list[Entry]) -> str:
    """Return the time of some figures in words, and whether more is to come that nobody knows."""
    words = delay_words(entries)
    if any(entry.worst_s is None for entry in entries):
        return f"{words} and more" if words else "a time that is not known"
    return words


def title_of(model: Model, name: str) -> str:
    """Return what the chain of a line or feed is called."""
    line = model.lines.get(name.removeprefix("line "))
    if line is not None:
        return f"Line {line.id}: {line.source}" if line.source else f"Line {line.id}"
    feed = model.feeds[name]
    return f"Feed {name}: {feed.listener}" if feed.listener else f"Feed {name}"


def mark_of(edge: Edge, entries: tuple[Entry, ...]) -> str:
    """Return how a step stands: broken where it stops, open where its time is not known, 'holds if' on example figures."""
    if edge.stop is not None:
        return "broken"
    if any(entry.worst_s is None for entry in entries):
        return "open"
    return "holds if" if any(entry.assumption for entry in entries) or edge.unless else "holds"


def levels_on(ask: Ask, steps: tuple[Edge, ...]) -> dict[str, str]:
    """Return the peaks that are known on a chain that begins at a line: at its hole, behind the converter, and on."""
    ledger = way_ledger(ask, steps)
    if ledger is None:
        return {}
    hole = ask.model.lines[steps[0].start.removeprefix("line ")].hole or ""
    known = {hole: ledger.steps[0]}
    for step in ledger.steps[1:]:
        after = next((edge.end for edge in steps if edge.start == hole), "") if step.at == hole else ""
        known.update(dict.fromkeys([after] if after else [step.at, f"bus {step.at}", f"feed {step.at}"], step))
    return {
        point: f"peak {worded(round(step.peak_db, 1), unit_of(step))}"
        for point, step in known.items()
        if step.peak_db is not None and point
    }


def level_view(ask: Ask, name: str, found: HoleLevel, ends: str = "", ledger: LevelLedger | None = None) -> LevelView:
    """Return the level diagram of one line, from its source to its converter, or as far as a ledger leads to its end."""
    model = ask.model
    line = model.lines[name]
    clip_dbu = found.taken.clip_dbu if found.taken else None
    lacks = (
        ("the peak of its type", found.peak_dbu),
        ("its gain", found.gain_db),
        (f"the clip level of {line.hole}", clip_dbu),
    )
    missing = [f"missing: {words}" for words, value in lacks if value is None]
    steps: list[LevelStep] = []
    mark, verdict = "open", "open: a figure is missing"
    about = [f"full scale of the converter is {worded(clip_dbu, 'dBu')} at {line.hole}"] if clip_dbu is not None else []
    ledger = ledger or ask(line_ledgers).get(name)
    if ends and ledger is not None:
        about.append(f"taken for granted: {UNITY}")
        missing += [f"missing: {words}" for words in ledger.missing]
    if found.peak_dbfs is not None and clip_dbu is not None and ledger is not None:
        steps = ledger_steps(ledger)
        mark, verdict = judged(found.peak_dbfs, example=bool(found.assumptions))
        about += ledger_words(ledger)
    return {
        "schema": LEVEL_SCHEMA, "title": f"{title_of(model, name)}{f' to {ends}' if ends else ''}: level", "show": show_words(model),
        "about": about,
        "mark": mark, "verdict": verdict, "steps": steps, "missing": missing,
    }  # fmt: skip


def ledger_steps(ledger: LevelLedger) -> list[LevelStep]:
    """Return the levels of every place of a ledger, those in dBu laid against the full scale of the converter beside them."""
    found: list[LevelStep] = []
    for place, step in enumerate(ledger.steps):
        unit = unit_of(step)
        gain = f", {worded(round(step.gain_db, 2), 'dB')}" if step.gain_db and step.words in GAINS else ""
        name = step.words if place == 0 or step.words in {"converter", "pad"} else f"{step.words} {step.at}"
        if name in {one["name"] for one in found}:
            name = f"{step.words} {step.at}"
        for sort, level in (("peak", step.peak_db), ("nominal", step.nominal_db), ("noise", step.noise_db)):
            if level is not None:
                words = f"{sort} {worded(round(level, 1), unit)}{gain if sort == 'peak' else ''}"
                level_dbfs = level - full_scale_beside(ledger.steps, place)
                found.append({"name": name, "words": words, "level_dbfs": level_dbfs, "sort": sort})
    return found


def full_scale_beside(steps: Sequence[LedgerStep], place: int) -> float:
    """Return the level of 0 dBFS at a step: of the converter that it comes to next or else came from, 0 where it is digital. [dBu]"""
    if steps[place].digital:
        return 0.0
    ahead = next((step for step in steps[place:] if step.digital), None)
    if ahead is not None:
        return -ahead.gain_db
    left = [two.gain_db for one, two in pairwise(steps[: place + 1]) if one.digital and not two.digital]
    return left[-1] if left else 0.0


def ledger_words(ledger: LevelLedger) -> list[str]:
    """Return what a ledger says in sentences: what is left over the noise, what sets it, the gain that is advised."""
    words = []
    if ledger.signal_to_noise_db is not None:
        loudest = ledger.sets_the_noise
        of = f", most of it from {loudest.at}" if loudest is not None else ""
        words.append(f"nominal level {plain(round(ledger.signal_to_noise_db))} dB over the noise{of}")
    if ledger.advice is not None:
        pad = f" and a pad of {worded(-ledger.advice.pad_db, 'dB')}" if ledger.advice.pad_db else ""
        note = f": {ledger.advice.words}" if ledger.advice.words else ""
        words.append(
            f"gain to set: {worded(ledger.advice.gain_db, 'dB')}{pad}, "
            f"for peaks at {worded(round(ledger.advice.reached_dbfs, 1), 'dBFS')}{note}"
        )
    return words


def judged(peak_dbfs: float, *, example: bool) -> tuple[str, str]:
    """Return the mark of a peak at the converter and what to say of it."""
    if peak_dbfs > 0:
        return "broken", f"broken: it clips by {plain(peak_dbfs, 2)} dB"
    words = f"{plain(-peak_dbfs, 2)} dB of headroom"
    return ("holds if", f"holds if the example figures are true: {words}") if example else ("holds", f"holds: {words}")
