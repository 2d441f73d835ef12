"""The way of a packet's time to one receiver, step by step, against its link offset, ready to be drawn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.delay import Arrival, arrivals
from tailboard.answers.delay_network import queues
from tailboard.rules.delay.packet_ledger import dearest, hop_words, time
from tailboard.text.nearmiss import nearest
from tailboard.views.rig_map import show_words

SCHEMA = "tailboard/arrival/1"


class StepTime(TypedDict):
    """One step: what it is, what it consists of, how long it takes at worst, and when it begins. [s]"""

    name: str
    words: str
    begins_s: float
    worst_s: float
    time: str
    most: bool


class ArrivalView(TypedDict):
    """The whole picture. `mark` and `verdict` say how it stands; `missing` why there is no bound."""

    schema: str
    title: str
    show: str
    about: list[str]
    mark: str
    verdict: str
    steps: list[StepTime]
    needed_s: float | None
    needed: str
    offset_s: float | None
    offset: str
    missing: list[str]


def chosen_arrival(ask: Ask, names: tuple[str, ...]) -> Arrival | None:
    """Return the arrival that names mean: a receiver, a stream, or both; of several the one with the least reserve."""
    found = [arrival for arrival in ask(arrivals) if all(name in {*arrival.subject, arrival.flow.id} for name in names)]
    return min(found, key=tightness, default=None)


def tightness(found: Arrival) -> tuple[int, float, tuple[str, ...]]:
    """Return a sorting key: no bound first, then the least reserve."""
    if found.worst_s is None:
        return 0, 0.0, found.subject
    reserve = found.reserve_s
    return (1, 0.0, found.subject) if reserve is None else (2, reserve, found.subject)


def near_arrival(ask: Ask, names: tuple[str, ...]) -> str:
    """Return the name that was probably meant, or an empty text."""
    receivers = sorted({found.receiver for found in ask(arrivals)})
    streams = sorted({found.flow.stream for found in ask(arrivals)})
    wrong = next((name for name in names if name not in {*receivers, *streams}), "")
    return (nearest(wrong, receivers) or nearest(wrong, streams)) if wrong else ""


def arrival_view(ask: Ask, found: Arrival) -> ArrivalView:
    """Return the ledger of one arrival."""
    steps = list(step_times(ask, found)) if found.worst_s is not None else []
    missing = [f"missing: {part.words}" for part in found.missing]
    if found.refused is not None:
        missing.append(f"no bound at {found.refused[0]}: {found.refused[1].value}")
    if found.offset_s is None:
        missing.append(f"missing: the link offset of {found.offset_of}")
    mark, verdict = stands(ask, found)
    second = " on the second network" if found.flow.second else ""
    return {
        "schema": SCHEMA,
        "title": f"{found.flow.stream} at {found.receiver}{second}: when its packets arrive at worst",
        "show": show_words(ask.model),
        "about": ["time counts from the first sample of a packet; each bar is the longest that a step may take"],
        "mark": mark,
        "verdict": verdict,
        "steps": steps,
        "needed_s": found.needed_s,
        "needed": "" if found.needed_s is None else time(found.needed_s),
        "offset_s": found.offset_s,
        "offset": "" if found.offset_s is None else f"link offset of {found.offset_of}: {time(found.offset_s)}",
        "missing": missing,
    }


def stands(ask: Ask, found: Arrival) -> tuple[str, str]:
    """Return the mark of an arrival and what to say of it."""
    needed, reserve = found.needed_s, found.reserve_s
    if needed is None:
        return "open", "open: there is no bound"
    if reserve is None:
        return "open", f"open: it needs {time(needed)}, and no link offset is written"
    if reserve < 0:
        return "broken", f"broken: packets may be {time(-reserve)} late"
    library = ask.model.library.kinds
    example = any(library[kind].figures.startswith("example value") for kind in found.kinds if kind in library)
    words = f"{time(reserve)} to spare"
    return ("holds if", f"holds if the example figures are true: {words}") if example else ("holds", f"holds: {words}")


def step_times(ask: Ask, found: Arrival) -> Iterator[StepTime]:
    """Yield the steps of an arrival that has a bound, the first sample of its packet first."""
    model, flow, lines = ask.model, found.flow, ask(queues).lines
    most, _ = dearest(ask, found)
    parts = [
        ("packet", f"{flow.sender} fills a packet", flow.period_s or 0.0),
        ("release", f"{flow.sender} may release it late", model.kind_of(flow.sender).release_jitter_s or 0.0),
    ]
    for hop, through_s in zip(found.hops, found.through_s, strict=True):
        parts.append((hop.port, hop_words(ask, found, hop, through_s), through_s + lines[hop.port].way_s))
    parts.append(("play-out", f"{found.receiver} needs it before play-out", found.playout_s))
    if found.clock_error_s:
        parts.append(("clocks", f"the clocks of {flow.sender} and {found.receiver} may differ", found.clock_error_s))
    begins_s = 0.0
    for name, words, worst_s in parts:
        yield {
            "name": name, "words": words, "begins_s": begins_s, "worst_s": worst_s, "time": time(worst_s),
            "most": name == most,
        }  # fmt: skip
        begins_s += worst_s
