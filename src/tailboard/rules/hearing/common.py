"""What the rules of this family share: sentences about feeds and lines, the evidence of ways, keys for filing."""

from __future__ import annotations

from collections.abc import Iterable

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import bits
from tailboard.answers.signal_ears import Listening, natural
from tailboard.answers.signal_ways import Way, short
from tailboard.findings import Because
from tailboard.model.show import Model, device_of, jack_of
from tailboard.text.ranges import compress
from tailboard.units.wording import listed

OWN_VOICE_S = 5e-3  # from mouth to ear: a course on monitoring, second-hand; see own-voice-late
SHOWN_MAX = 3  # ways shown in a message; the others stand in the list of names


def named(model: Model, names: Iterable[str]) -> str:
    """Return names as a reader calls them: 'line 7', 'lines 1..5, 7 and S-DIR'."""
    lines = sorted((name for name in names if name in model.lines), key=natural)
    others = sorted((name for name in names if name not in model.lines), key=natural)
    words = [f"line{'s' if len(lines) > 1 else ''} {compress(lines)}"] if lines else []
    return " and ".join([*words, *([listed(others)] if others else [])])


def feed_names(group: Listening) -> str:
    """Return the ids of the legs of a feed: 'FD4 and FD5'."""
    return listed(group.ids)


def listener(group: Listening) -> str:
    """Return who gets a feed, in words."""
    return group.first.listener or "the listener"


def shown(found: Hearing, ways: Iterable[Way], after: str = "") -> str:
    """Return ways in short, a few of them: '8 - PGM - FD4 - HD-1; 9 - PGM - FD4 - HD-1'."""
    texts = list(dict.fromkeys(short(found.graph, way) + after for way in ways))
    return "; ".join(texts[:SHOWN_MAX])


def steps_of(ways: Iterable[Way], most: int = 1) -> list[Because]:
    """Return the steps of the first ways as evidence, each place once."""
    found: dict[Because, None] = {}
    for number, way in enumerate(ways):
        if number < most:
            found.update(dict.fromkeys(way.because))
    return list(found)


def jack_keys(ways: Iterable[Way]) -> set[str]:
    """Return the keys of the holes, strips and audio cables on some ways: a fault there brings in what is heard."""
    keys: set[str] = set()
    for way in ways:
        for edge in way.steps:
            device, between, strip = edge.end.partition(" strip ")
            keys.add(f"strip {device}/{strip}" if between else f"hole {edge.end}")
            keys |= edge.depends if edge.step == "cable" else frozenset()
    return keys


def excluding(found: Hearing, heard: int, *points: str) -> tuple[str, ...]:
    """Return the stated facts that alone keep some sources from some points: 'HD-1 excludes'."""
    if not heard:
        return ()
    ways = found.ways(heard, *points)
    return tuple(dict.fromkeys(edge.unless for way in ways for edge in way.steps if edge.unless))


def returned_lines(ask: Ask) -> dict[str, int]:
    """Return for each outside desk, hybrid or codec the lines that come from it, as a set of labels."""
    model, graph = ask.model, ask(hearing).graph
    found: dict[str, int] = {}
    for name, line in model.lines.items():
        devices = {device_of(line.gear)} if line.gear else set()
        devices |= {
            graph.device_of.get(edge.end, "") for edge in graph.out.get(f"line {name}", ()) if edge.step == "source"
        }
        for device in devices:
            if model.kind_of(device).returns or model.kind_of(device).role in {"outside desk", "hybrid", "codec"}:
                found[device] = found.get(device, 0) | 1 << graph.mixing.index[f"line {name}"]
    return found


def own_lines(found: Hearing, group: Listening) -> int:
    """Return the lines of a listener's own voice, as a set of labels."""
    return found.mixing.set_of(*(f"line {name}" for name in group.first.own))


def minus_of(found: Hearing, group: Listening) -> int:
    """Return what the minus of a feed names, as a set of labels."""
    mix = found.mixing.mixes.get(f"feed {group.ids[0]}")
    return mix.minus if mix is not None else 0


def lines_in(found: Hearing, model: Model, heard: int) -> tuple[str, ...]:
    """Return the numbers of the lines in a set."""
    return tuple(name for name in found.names(heard) if name in model.lines)


def open_microphones(ask: Ask) -> dict[str, tuple[int, int]]:
    """Return for each place the open microphones that stand there, as sets: (those for the audience, all others)."""
    model, index = ask.model, ask(hearing).mixing.index
    found: dict[str, tuple[int, int]] = {}
    for name, line in model.lines.items():
        kind = model.source_kind(name)
        if line.place is None or kind is None or not (kind.microphone or kind.audience):
            continue
        room, near = found.get(line.place, (0, 0))
        bit = 1 << index[f"line {name}"]
        found[line.place] = (room | bit, near) if kind.audience else (room, near | bit)
    return found


def place_words(model: Model, places: Iterable[str]) -> str:
    """Return places as a spoken list."""
    return listed([name for name in places if name in model.places] or list(places))


def lowest(heard: int, most: int) -> int:
    """Return the first few of a set."""
    found = 0
    for number, bit in enumerate(bits(heard)):
        if number < most:
            found |= 1 << bit
    return found


def jack_words(port: str) -> str:
    """Return a jack for a sentence: 'jack o4 of SB-1'."""
    return f"jack {jack_of(port)} of {device_of(port)}"


def feed_mixes(model: Model, feeds: Iterable[str]) -> list[Because]:
    """Return the mixes of some feeds as evidence."""
    return [Because(model.feeds[name].at.spot("mix"), f"{name}: {', '.join(model.feeds[name].mix)}") for name in feeds]
