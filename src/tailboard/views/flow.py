"""The signal flow of a place: its lines from source through box, stream and strip to the buses and feeds they are in."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.mixing import Mix, Mixing, mixing
from tailboard.answers.paths import chains
from tailboard.answers.signal_ears import natural
from tailboard.model.records import Feed, Line
from tailboard.model.show import device_of, jack_of
from tailboard.units.wording import counted
from tailboard.views.holes import bench, channels_of
from tailboard.views.rig_map import show_words

SCHEMA = "tailboard/flow/1"
FEEDS_MAX = 80  # more fill no page that anybody could follow: own choice


class FlowRow(TypedDict):
    """One line. `box`, `stream` and `desk` are where it passes, each with what it takes there; empty where nothing is written.

    mark  'broken' where the chain ends early, else nothing; stop: why it ends.
    """

    line: str
    label: str
    source: str
    box: str
    hole: str
    stream: str
    channel: str
    desk: str
    strip: str
    mark: str
    stop: str


class FlowMix(TypedDict):
    """A bus or a feed; `words`: the desk that makes it, or who gets it.

    lines    lines of the place that are in it.
    takes    buses by which they come; without: lines of the place that these hold and it does not.
    """

    name: str
    words: str
    lines: list[str]
    takes: list[str]
    without: list[str]


class FlowView(TypedDict):
    """The whole picture, rows that pass the same devices together."""

    schema: str
    title: str
    show: str
    about: list[str]
    rows: list[FlowRow]
    buses: list[FlowMix]
    feeds: list[FlowMix]


def flow_view(ask: Ask, place: str) -> FlowView:
    """Return the signal flow of a place; one that has no lines has no rows."""
    model = ask.model
    here = [name for name, line in model.lines.items() if line.place == place]
    rows = sorted((flow_row(ask, model.lines[name]) for name in here), key=order_of)
    record = model.places.get(place)
    name = f"{place}, {record.name}" if record is not None and record.name else place
    known = ask(mixing)
    of_here = known.set_of(*(f"line {name}" for name in here))
    holding = [mix for mix in known.mixes.values() if mix.mask & of_here]
    buses = [mix_view(known, mix, of_here) for mix in holding if mix.name.startswith("bus ")]
    feeding = [mix for mix in holding if mix.name.startswith("feed ")]
    many = len(feeding) > FEEDS_MAX
    feeds = [] if many else [mix_view(known, mix, of_here) for mix in feeding]
    broken = sum(row["mark"] == "broken" for row in rows)
    about = [
        f"{counted(len(rows), 'line')}, in {counted(len(buses), 'bus', 'buses')} and {counted(len(feeding), 'feed')}"
    ]
    about += ["these feeds are too many to draw; the feeds list says what each is made of"] if many else []
    about += [f"{counted(broken, 'chain')} of them broken: dashed, with the reason"] if broken else []
    return {
        "schema": SCHEMA, "title": f"Signal flow: {name}", "show": show_words(model), "about": about,
        "rows": rows, "buses": buses, "feeds": feeds,
    }  # fmt: skip


def order_of(row: FlowRow) -> tuple[object, ...]:
    """Return what rows are sorted by: the devices they pass, then the hole."""
    return (row["desk"], row["box"], row["stream"], natural(row["hole"]), natural(row["line"]))


def flow_row(ask: Ask, line: Line) -> FlowRow:
    """Return one line with what it passes."""
    chain = ask(chains).of_line.get(line.id)
    stop = chain.stop.words if chain is not None and chain.stop is not None else ""
    channels = channels_of(ask(bench), line.hole) if line.hole else []
    stream, _, channel = channels[0].rpartition("/") if channels else ("", "", "")
    goals = (*line.strips, *line.goes_to)
    first = device_of(goals[0]) if goals else ""
    rest = [jack_of(goal) if device_of(goal) == first else goal for goal in goals]
    return {
        "line": line.id,
        "label": line.label,
        "source": line.source,
        "box": device_of(line.hole) if line.hole else "",
        "hole": jack_of(line.hole) if line.hole else "",
        "stream": stream,
        "channel": ", ".join([channel, *channels[1:]]) if channels else "",
        "desk": first,
        "strip": ", ".join(rest),
        "mark": "broken" if stop else "",
        "stop": stop,
    }


def mix_view(known: Mixing, mix: Mix, of_here: int) -> FlowMix:
    """Return one bus or feed with the lines of the place that are in it."""
    record = mix.record
    inner = [known.inner.get(member, "") for member in mix.members]
    takes = [name for name in inner if name.startswith("bus ") and known.mixes[name].mask & of_here]
    brought = 0
    for name in takes:
        brought |= known.mixes[name].mask & of_here
    gets = (
        ", ".join(part for part in (record.listener, record.place or "") if part)
        if isinstance(record, Feed)
        else mix.desk
    )
    return {
        "name": mix.name.partition(" ")[2],
        "words": gets,
        "lines": list(known.names(mix.mask & of_here)),
        "takes": [name.removeprefix("bus ") for name in takes],
        "without": list(known.names(brought & ~mix.mask)),
    }
