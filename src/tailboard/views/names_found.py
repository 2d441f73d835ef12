"""What a few typed signs find: a line by its number, label, jack, strip, source or person, and everything else by name."""

from __future__ import annotations

from typing import TypedDict

from tailboard.answers.ask import Ask
from tailboard.model.show import Model
from tailboard.text.ranges import compress

FOUND_MAX = 12  # own choice: what fits on a phone above the keyboard, twice


class FoundNameView(TypedDict):
    """One thing found. `sort`: line, feed, station, device, cable, VLAN or place; `words`: what it is."""

    sort: str
    name: str
    label: str
    words: str


def found_names(ask: Ask, text: str) -> list[FoundNameView]:
    """Return what a text finds: exact names first, then beginnings, then what only holds it; lines before the rest."""
    wanted = " ".join(text.casefold().split())
    if not wanted:
        return []
    scored = []
    for number, (view, keys) in enumerate(ask(keyed_names)):
        rank = min((rank_of(key, wanted) for key in keys), default=9)
        if rank < 9:
            scored.append((rank, number, view))
    return [view for _, _, view in sorted(scored, key=lambda one: one[:2])[:FOUND_MAX]]


def rank_of(key: str, wanted: str) -> int:
    """Return how well a key answers: 0 exact, 1 as a whole word, 2 a beginning, 3 the beginning of a word, 4 within; 9 not."""
    if key == wanted:
        return 0
    if wanted not in key:
        return 9
    words = key.replace("/", " ").split()
    if wanted in words:
        return 1
    if key.startswith(wanted):
        return 2
    return 3 if any(word.startswith(wanted) for word in words) else 4


def keyed_names(ask: Ask) -> tuple[tuple[FoundNameView, tuple[str, ...]], ...]:
    """Return everything that can be found with the texts that find it, lower case."""
    model = ask.model
    rows = [*line_keys(model), *listener_keys(model)]
    for sort, table in (("device", model.devices), ("cable", model.cables)):
        rows += [(found(sort, name, "", record.kind), (name, record.kind)) for name, record in table.items()]
    rows += [
        (found("VLAN", name, "", str(vlan.number or "")), (name, str(vlan.number)))
        for name, vlan in model.vlans.items()
    ]
    rows += [(found("place", name, "", place.name), (name, place.name)) for name, place in model.places.items()]
    return tuple((view, tuple(key.casefold() for key in keys if key)) for view, keys in rows)


def line_keys(model: Model) -> list[tuple[FoundNameView, tuple[str, ...]]]:
    """Return the lines."""
    return [
        (
            found("line", name, line.label, ", ".join(filter(None, (line.source, line.hole, compress(line.strips))))),
            (
                name,
                f"line {name}",
                line.label,
                line.source,
                line.hole or "",
                *line.strips,
                *line.goes_to,
                line.gear or "",
            ),
        )
        for name, line in model.lines.items()
    ]


def listener_keys(model: Model) -> list[tuple[FoundNameView, tuple[str, ...]]]:
    """Return feeds and stations."""
    feeds = [
        (found("feed", name, feed.label, feed.listener), (name, feed.label, feed.listener, *feed.outputs, *feed.gear))
        for name, feed in model.feeds.items()
    ]
    stations = [
        (found("station", name, one.device or "", one.person), (name, one.person, one.device or ""))
        for name, one in model.stations.items()
    ]
    return [*feeds, *stations]


def found(sort: str, name: str, label: str, words: str) -> FoundNameView:
    """Return one row."""
    return {"sort": sort, "name": name, "label": label, "words": words}
