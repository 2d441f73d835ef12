"""The answer of `fails`: what one failure takes, what goes on, who leads the clock, and what to do."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.fault_things import SORTS, spot_of, titled
from tailboard.answers.faults import Faults, faults
from tailboard.answers.faults_clock import Handover, handovers
from tailboard.answers.mixing import bits
from tailboard.answers.paths import chains
from tailboard.answers.signal_ears import natural
from tailboard.text.nearmiss import nearest
from tailboard.text.ranges import compress
from tailboard.units.wording import listed, plain
from tailboard.views.fails_steps import Step, steps
from tailboard.views.places import PlaceView, Sources, place_view

SCHEMA = "tailboard/fails/1"
TABLE_SCHEMA = "tailboard/failures/1"
LEFT_OUT = ("port", "stream")  # sorts that the table of all failures leaves out unless everything is asked for
NAMED_MAX = 12  # more feeds or stations that go on are listed without who is at them
WORDS = {"line": "lines", "feed": "feeds", "station": "stations", "talk": "interrupts"}


class LostView(TypedDict):
    """What is lost of one sort, and what goes on.

    sort   'lines', 'feeds', 'stations' or 'interrupts', total of them; names, words: those lost, and the same short.
    goes_on, goes_on_words  the others.
    """

    sort: str
    total: int
    names: list[str]
    words: str
    goes_on: list[str]
    goes_on_words: str


class FailsView(TypedDict):
    """What one failure takes.

    thing       its key: 'cable F-01'; words: what fails, as people say it; place: where it is written.
    takes       devices and cables that go with it; battery: those that run on for some minutes.
    no_reserve  lost lines that no reserve takes over.
    before      lines and feeds that do not work as planned anyway.
    clock, do   in sentences: who leads then; what to do.
    """

    schema: str
    thing: str
    words: str
    place: PlaceView | None
    takes: list[str]
    battery: list[str]
    lost: list[LostView]
    no_reserve: list[str]
    before: list[str]
    clock: list[str]
    do: list[str]


class FailureView(TypedDict):
    """One row of the table: how much a failure takes; `instead` is the first thing that takes over, in short."""

    thing: str
    words: str
    lines: int
    feeds: int
    stations: int
    interrupts: int
    no_reserve: int
    instead: str


class FailuresView(TypedDict):
    """All single failures that take something, the worst first. `harmless` counts the things that take nothing."""

    schema: str
    failures: list[FailureView]
    harmless: int


def things_named(ask: Ask, text: str) -> tuple[str, ...]:
    """Return the things that a text names: 'SB-1', 'line 7', 'place wing', 'SW-B/1'."""
    return ask(faults).named(text)


def near_thing(ask: Ask, text: str) -> str:
    """Return the name that was probably meant, or an empty text."""
    sort, _, name = text.partition(" ")
    if name and sort in (*SORTS, "line", "hole"):
        near = nearest(name, (key.partition(" ")[2] for key in ask(faults).things.takes if key.startswith(f"{sort} ")))
        return f"{sort} {near}" if near else ""
    return nearest(text, ask(faults).known_names())


def fails_view(ask: Ask, thing: str, sources: Sources) -> FailsView:
    """Return what happens when one thing fails alone."""
    found = ask(faults)
    lost = found.lost(thing)
    spot = spot_of(ask.model, thing)
    broken = stopped(ask)
    takes = [key.partition(" ")[2] for key in found.things.takes.get(thing, ()) if key != thing]
    battery = [
        f"{name}: {plain(ask.model.devices[name].ups_min or 0)} min" for name in found.things.on_battery.get(thing, ())
    ]
    return {
        "schema": SCHEMA,
        "thing": thing,
        "words": titled(thing),
        "place": place_view(spot, sources) if spot is not None else None,
        "takes": sorted(takes, key=natural),
        "battery": battery,
        "lost": [lost_view(ask, found, (lost, broken), sort) for sort in WORDS],
        "no_reserve": list(found.without_reserve(ask, lost)),
        "before": broken,
        "clock": [clock_words(change) for change in handovers(ask, thing)],
        "do": [step.do for step in steps(ask, thing)] if lost else [],
    }


def stopped(ask: Ask) -> list[str]:
    """Return the items that do not work as planned anyway: lines and feeds whose chain is not complete."""
    plan = ask(chains)
    return [
        *(f"line {name}" for name, chain in plan.of_line.items() if not chain.complete),
        *(f"feed {name}" for name, chain in plan.of_feed.items() if not chain.complete),
    ]


def lost_view(ask: Ask, found: Faults, out: tuple[int, list[str]], sort: str) -> LostView:
    """Return what is lost of one sort, and what goes on: not what does not work anyway."""
    lost, broken = out
    everything = (1 << len(found.needs.items)) - 1
    dead = lost | sum(found.needs.bit[item] for item in broken)
    gone, left = found.needs.names(lost, sort), found.needs.names(everything & ~dead, sort)
    return {
        "sort": WORDS[sort],
        "total": len(found.needs.names(everything, sort)),
        "names": list(gone),
        "words": worded(ask, sort, gone),
        "goes_on": list(left),
        "goes_on_words": worded(ask, sort, left) if sort == "talk" or len(left) <= NAMED_MAX else compress(left),
    }


def worded(ask: Ask, sort: str, names: tuple[str, ...]) -> str:
    """Return names in short, feeds and stations with who is at them."""
    if sort == "line":
        return compress(names)
    model = ask.model
    who: dict[str, list[str]] = {}
    for name in names:
        if sort == "talk":
            key, _, shown = name.partition(" to ")
        elif sort == "feed":
            key, shown = model.feeds[name].listener or "", name
        else:
            key, shown = model.stations[name].person or "", name
        who.setdefault(key, []).append(shown)
    if sort == "talk":
        return "; ".join(f"{speaker} into {compress(feeds)}" for speaker, feeds in who.items())
    return ", ".join(f"{compress(shown)} ({key})" if key else compress(shown) for key, shown in who.items())


def clock_words(change: Handover) -> str:
    """Return in a sentence who leads then."""
    who = listed(change.devices)
    if not change.next:
        verb = "hears" if len(change.devices) == 1 else "hear"
        return f"{who} {verb} no leader any more ({change.island}); {change.leader} led before"
    doubt = "; all priorities are equal, so look which one it is" if change.tied else ""
    if change.devices == (change.next,):
        return f"{who} leads itself then, instead of {change.leader} ({change.island}){doubt}"
    others = [name for name in change.devices if name != change.next]
    return f"{change.next} leads {listed(others)} then, instead of {change.leader} ({change.island}){doubt}"


def failures_view(ask: Ask, *, everything: bool = False) -> FailuresView:
    """Return all single failures, the worst first; ports and streams only if everything is asked for."""
    found = ask(faults)
    order = {sort: number for number, sort in enumerate(SORTS)}
    lost = {thing: mask for thing, mask in found.all().items() if everything or sort_of(thing) not in LEFT_OUT}
    worst = sorted(
        (thing for thing, mask in lost.items() if mask),
        key=lambda thing: (-lost[thing].bit_count(), order[sort_of(thing)], thing),
    )
    sorts = sort_masks(found)
    rows = [failure_view(ask, found, thing, sorts) for thing in worst]
    return {"schema": TABLE_SCHEMA, "failures": rows, "harmless": len(lost) - len(worst)}


def sort_masks(found: Faults) -> dict[str, int]:
    """Return the set of all items of each sort."""
    masks = dict.fromkeys(WORDS, 0)
    for number in bits((1 << len(found.needs.items)) - 1):
        masks[found.needs.items[number].partition(" ")[0]] |= 1 << number
    return masks


def failure_view(ask: Ask, found: Faults, thing: str, sorts: dict[str, int]) -> FailureView:
    """Return the row of one failure."""
    lost = found.lost(thing)
    helps: list[Step] = [step for step in steps(ask, thing) if step.short]
    counts = {WORDS[sort]: (lost & mask).bit_count() for sort, mask in sorts.items()}
    return {
        "thing": thing,
        "words": titled(thing),
        "lines": counts["lines"],
        "feeds": counts["feeds"],
        "stations": counts["stations"],
        "interrupts": counts["interrupts"],
        "no_reserve": len(found.without_reserve(ask, lost)),
        "instead": helps[0].short if helps else "",
    }


def sort_of(thing: str) -> str:
    """Return the sort of a thing: 'cable' of 'cable F-01'."""
    return thing.partition(" ")[0]
