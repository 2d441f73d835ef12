"""A label does not fit a display.

What it finds: a label with more characters than the shortest display among the devices that show it: the box, the
consoles and other destinations of a line; the console, outputs and gear of a feed. And the names that a station talks to
or hears, against the display of its panel or belt-pack.
Why it matters: the end is cut off, and it is the end that tells left from right.
Example: `PRESENTER L` on a console that shows 8 characters.
Fix: shorten the label so that it fits the shortest display.
Does not find: a label that becomes equal to another when cut; see labels-alike-when-cut. A display whose length the kind does not give.
Source: the figures of the kinds; the same label on every display, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tailboard.answers.ask import Ask
from tailboard.answers.labels import Display, cut_alike, labels
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Line, Station
from tailboard.model.show import Model
from tailboard.rules.chain.common import example_figures
from tailboard.units.wording import listed

RULE = Rule("label-too-long", "chain", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a labelled line and feed with a display on its chain."""
    found = ask(labels)
    clashing = {(name.table, name.owner) for clashes in ask(cut_alike).values() for clash in clashes for name in clash}
    yield from fitting(ask.model, "line", ask.model.lines, found.of_line, clashing)
    yield from fitting(ask.model, "feed", ask.model.feeds, found.of_feed, clashing)
    for station in ask.model.stations.values():
        length = ask.model.kind_of(station.device or "").display_length
        shown = dict.fromkeys((*station.talk, *station.keys, *station.listen))
        if length is not None and shown:
            yield at_station(ask.model, station, length, list(shown))


def at_station(model: Model, station: Station, length: int, shown: list[str]) -> Claim:
    """Return the claim on the names at one station, each with the column it stands in."""
    device = station.device or ""
    says = f"the names at station {station.id} fit {length} characters"
    cut = [name for name in shown if len(name) > length]
    if not cut:
        return RULE.holds(f"station {station.id}", says, assumptions=example_figures(model.kind_of(device)))
    columns = ("talk", "keys", "listen")
    first = next(column for column in columns if cut[0] in getattr(station, column))
    return RULE.broken(
        f"station {station.id}",
        says,
        spot=station.at.spot(first),
        message=f"{listed(cut)} at station {station.id} {'is' if len(cut) == 1 else 'are'} longer than {device} shows, "
        f"{length} characters: '{cut[0][:length].rstrip()}'",
        because=[Because(model.devices[device].at.spot("kind"), f"{device} is a {model.kind_of(device).id}")],
        fix=f"give {listed(cut)} names of at most {length} characters",
    )


def fitting(
    model: Model,
    noun: str,
    rows: Mapping[str, Line] | Mapping[str, Feed],
    displays: dict[str, Display],
    clashing: set[tuple[str, str]],
) -> Iterator[Claim]:
    """Yield the claims of one list."""
    for name, display in displays.items():
        row = rows[name]
        if not row.label or (noun, name) in clashing:
            continue
        kind = model.kind_of(display.device)
        says = f"label {row.label} of {noun} {name} fits {display.length} characters"
        if len(row.label) <= display.length:
            yield RULE.holds(f"{noun} {name}", says, assumptions=example_figures(kind))
            continue
        yield RULE.broken(
            f"{noun} {name}",
            says,
            spot=row.at.spot("label"),
            message=f"label '{row.label}' of {noun} {name} has {len(row.label)} characters; {display.device} shows {display.length}: "
            f"'{row.label[: display.length].rstrip()}'",
            because=[Because(model.devices[display.device].at.spot("kind"), f"{display.device} is a {kind.id}")],
            fix=f"shorten the label of {noun} {name} to {display.length} characters",
            lines=[name] if noun == "line" else (),
            feeds=[name] if noun == "feed" else (),
        )
