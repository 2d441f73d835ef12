"""The answer of `trace` for one source: where it ends up, ear by ear, and in which mixes it is."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.mixing import Mixing, members_of
from tailboard.answers.signal_ways import short
from tailboard.model.records import Bus
from tailboard.model.show import Model
from tailboard.text.ranges import compress
from tailboard.views.chains import WayView, way_view
from tailboard.views.hears import after_strip, ear_words, source_words
from tailboard.views.levels import ends_of, loud_words
from tailboard.views.places import Sources

SCHEMA = "tailboard/ends/1"


class EndView(TypedDict):
    """One feed or station at which the source is heard.

    ear   its name; who: who listens there; words: the same with by what. by: the way in short, from the first mix on.
    loud  how loud it comes there, in words; empty where nobody knows.
    """

    ear: str
    who: str
    words: str
    by: str
    loud: str
    way: WayView


class MixView(TypedDict):
    """A bus that holds the source. `by`: under which of the names it is written with; on_air: the bus goes to air."""

    bus: str
    by: str
    on_air: bool


class EndsView(TypedDict):
    """The whole document.

    always, on_key, planned  where it is heard: always, with a key pressed, and by ways that are meant and do not work.
    kept_out                 where only a stated fact keeps it out; rests: those facts.
    never                    the feeds and stations to which no way leads.
    """

    schema: str
    source: str
    what: str
    mixes: list[MixView]
    always: list[EndView]
    on_key: list[EndView]
    planned: list[EndView]
    kept_out: list[str]
    rests: list[str]
    never: str


def source_label(mixing: Mixing, name: str) -> str:
    """Return the label of a source by the name a user writes: '15', 'line 15', 'KP-1'; empty where there is none."""
    return next((label for label in (name, f"line {name}", f"station {name}") if label in mixing.index), "")


def ends_view(ask: Ask, name: str, sources: Sources) -> EndsView:
    """Return where a source ends up. `name` is one that `source_label` knows."""
    model, found = ask.model, ask(hearing)
    label = source_label(found.mixing, name)
    number = found.mixing.index[label]
    views: dict[str, list[EndView]] = {"always": [], "on key": [], "planned": []}
    kept_out: list[str] = []
    facts: dict[str, None] = {}
    never: list[str] = []
    for ear in (*model.feeds, *model.stations):
        heard = found.at(f"ear {ear}")
        bit = 1 << number
        sort = (
            "always" if heard.always & bit else "on key" if heard.on_key & bit
            else "planned" if heard.possible & bit else "kept out" if heard.excluded & bit else "never"
        )  # fmt: skip
        way = found.way(number, f"ear {ear}") if sort != "never" else None
        if way is None:
            never.append(ear)
        elif sort == "kept out":
            kept_out.append(ear)
            facts.update((edge.unless, None) for edge in way.steps if edge.unless)
        else:
            by = after_strip(short(found.graph, way), label.removeprefix("line ").removeprefix("station "))
            who = model.feeds[ear].listener if ear in model.feeds else model.stations[ear].person
            view = way_view(ask, way, sources)
            loud, words = loud_words(ends_of([view["level"]])), ear_words(model, ear)
            views[sort].append({"ear": ear, "who": who, "words": words, "by": by, "loud": loud, "way": view})
    return {
        "schema": SCHEMA,
        "source": name,
        "what": source_words(model, label.removeprefix("line ").removeprefix("station ")),
        "mixes": mix_views(model, found.mixing, number),
        "always": views["always"],
        "on_key": views["on key"],
        "planned": views["planned"],
        "kept_out": kept_out,
        "rests": list(facts),
        "never": compress(never),
    }


def mix_views(model: Model, mixing: Mixing, number: int) -> list[MixView]:
    """Return the buses that hold a source, each with the name under which it gets in."""
    found: list[MixView] = []
    for mix in mixing.mixes.values():
        if isinstance(mix.record, Bus) and mix.mask >> number & 1:
            names = [name for name in members_of(mix.record) if held(mixing, name) >> number & 1]
            found.append(
                {"bus": mix.record.id, "by": ", ".join(names), "on_air": bool(model.buses[mix.record.id].on_air)}
            )
    return found


def held(mixing: Mixing, name: str) -> int:
    """Return what a name in a mix stands for."""
    inner = mixing.inner.get(name)
    return mixing.masks.get(name, 0) if inner is None else mixing.mixes[inner].mask
