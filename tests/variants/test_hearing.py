"""Random variants of the hearing faults, and harmless neighbours after which the rules stay without error."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable

import pytest

from support.draft import Draft
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.signal_ears import listenings
from tailboard.model.records import Feed, Line
from tailboard.model.show import Model
from tailboard.rules import hearing as family
from tailboard.text.ranges import compress
from variants.chainstage import Fault, Harmless, Stage, prove_fault, prove_harmless

Wish = Callable[[Model], object]


def claim(stage: Stage, rule: str, feed: str) -> tuple[Draft, str]:
    """Return the edited show and the id of a rule's claim on a feed, with the other legs of that feed."""
    groups = Ask(stage.draft.read().model)(listenings)
    ids = next(group.ids for group in groups if feed in group.ids)
    return stage.draft, ":".join((rule, *ids))


KNOWN: dict[int, Hearing] = {}  # by the model's identity: the shows to break are read once and kept


def heard(stage: Stage) -> Hearing:
    """Return who hears whom before the edits."""
    if id(stage.model) not in KNOWN:
        KNOWN[id(stage.model)] = Ask(stage.model)(hearing)
    return KNOWN[id(stage.model)]


def names_at(stage: Stage, feed: Feed, *, keyed: bool = False) -> list[str]:
    """Return the lines and stations in a feed, or those that come on key only."""
    found = heard(stage)
    at = found.at(f"ear {feed.id}")
    return [name for name in found.names(at.on_key if keyed else at.always) if name != "OSC"]


def mixed(stage: Stage, feed: Feed) -> bool:
    """Return whether a desk makes the feed."""
    return feed.id not in heard(stage).graph.straight


def joined(*parts: str | Iterable[str]) -> str:
    """Return names as the text of a cell."""
    return compress(name for part in parts for name in ([part] if isinstance(part, str) else part) if name)


def some(rng: random.Random, names: Iterable[str], most: int = 4) -> list[str]:
    """Return a few of some names."""
    known = list(names)
    return rng.sample(known, min(len(known), rng.randint(1, most)))


def keyed(model: Model, name: str) -> bool:
    """Return whether a line is heard on key only."""
    kind = model.source_kind(name)
    return kind is not None and kind.keyed


def is_open(model: Model, line: Line) -> bool:
    """Return whether a line is an open microphone that stands somewhere and is none for the audience."""
    kind = model.source_kind(line.id)
    return kind is not None and kind.microphone and not kind.audience and line.place is not None


def of_kind(model: Model, what: str) -> list[Line]:
    """Return the lines of one kind of source: 'audience', 'keyed', 'house' (from an outside desk) or 'open'."""
    tests: dict[str, Callable[[Line], bool]] = {
        "audience": lambda line: bool((kind := model.source_kind(line.id)) and kind.audience),
        "keyed": lambda line: keyed(model, line.id),
        "house": lambda line: line.type == "transformer",
        "open": lambda line: is_open(model, line),
    }
    return [line for line in model.lines.values() if tests[what](line)]


def with_some(what: str) -> Wish:
    """Return the wish for a show that has lines of one kind."""
    return lambda model: of_kind(model, what)


def new_feed(stage: Stage, mix: str, **cells: str) -> str:
    """Add a feed to a free output and return its id."""
    name = f"XF{stage.rng.randrange(100, 999)}"
    console = next(iter(stage.model.consoles))
    row = {
        "label": f"X {name}",
        "listener": f"listener {name}",
        "output": stage.free("out"),
        "device": console,
        **cells,
    }
    stage.add_row("feeds", feed=name, mix=mix, **row)
    return name


def new_line(stage: Stage, **cells: str) -> str:
    """Add a line with a free hole and strip and return its number."""
    name = str(stage.rng.randrange(20000, 30000))
    console = stage.rng.choice(stage.model.consoles)
    strip = stage.rng.choice(stage.used.free_strips(console))
    row = {
        "label": f"X{name[-3:]}",
        "hole": stage.free("in"),
        "strip": f"{console}/{strip}",
        "gain_owner": console,
        **cells,
    }
    stage.add_row("lines", line=name, **row)
    return name


def programme(stage: Stage) -> str:
    """Return a bus that goes to air."""
    return stage.rng.choice([name for name, bus in stage.model.buses.items() if bus.on_air])


def second_of(stage: Stage, line: str) -> str:
    """Bring the signal of a line in a second time, by a second line, and return the new line's number."""
    first = stage.model.lines[line]
    if first.gear:
        return new_line(stage, gear=first.gear)
    name = new_line(stage)
    stage.cable(f"from: line {line}, to: {stage.draft.get('lines', name, 'hole')}")
    return name


# -- minus and own voice ---------------------------------------------------------------------------------------


def minus_torn(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(
        rng, lambda model: any(line in model.lines for feed in model.feeds.values() for line in feed.minus)
    )
    if rng.random() < 0.3 and (found := [bus for bus in stage.model.buses.values() if bus.minus]):
        bus = rng.choice(found)
        line = rng.choice([name for name in bus.minus if name in stage.model.lines])
        stage.set("buses", bus.id, "members", joined(bus.members, second_of(stage, line)))
        return stage.draft, f"minus-open:{bus.id}"
    feed = stage.feed(lambda feed: mixed(stage, feed) and [name for name in feed.minus if name in stage.model.lines])
    line = rng.choice([name for name in feed.minus if name in stage.model.lines])
    stage.set("feeds", feed.id, "mix", joined(feed.mix, second_of(stage, line)))
    return claim(stage, "minus-open", feed.id)


def minus_guards(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed))
    if rng.random() < 0.5:
        own = new_line(stage)
        stage.set("feeds", feed.id, "mix", joined(feed.mix, own))
    outside = [name for name in stage.model.lines if name not in names_at(stage, feed)]
    return stage.set("feeds", feed.id, "minus", joined(feed.minus, some(rng, outside or stage.model.lines))).draft


def own_voice_left_in(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed) and [n for n in names_at(stage, feed) if n in stage.model.lines])
    voices = some(rng, [name for name in names_at(stage, feed) if name in stage.model.lines], 3)
    stage.set("feeds", feed.id, "own voice", joined(feed.own, voices))
    return claim(stage, "own-voice-in-feed", feed.id)


def own_voice_taken_out(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed) and [n for n in names_at(stage, feed) if n in stage.model.lines])
    voices = some(rng, [name for name in names_at(stage, feed) if name in stage.model.lines], 3)
    stage.set("feeds", feed.id, "own voice", joined(feed.own, voices))
    return stage.set("feeds", feed.id, "minus", joined(feed.minus, voices)).draft


# -- outside desks and loops -----------------------------------------------------------------------------------


def house_mix(stage: Stage) -> str:
    """Return a mix in which a line from the outside desk is."""
    line = stage.rng.choice(of_kind(stage.model, "house")).id
    return programme(stage) if stage.rng.random() < 0.4 else joined(line, some(stage.rng, stage.model.lines))


def house_input(stage: Stage) -> str:
    """Return an input of the outside desk that no feed is plugged into."""
    desk = next(name for name in stage.model.devices if stage.model.kind_of(name).returns)
    return f"{desk}/in{stage.rng.randrange(3, 9)}"


def house_gets_itself(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng, with_some("house"))
    name = new_feed(stage, house_mix(stage), gear=house_input(stage), by=rng.choice(("loudspeaker", "machine", "")))
    return claim(stage, "feed-returns-to-its-desk", name)


def house_gets_others(rng: random.Random) -> Draft:
    stage = Stage.of(rng, with_some("house"))
    house = {line.id for line in of_kind(stage.model, "house")}
    others = [name for name in stage.model.lines if name not in house]
    if rng.random() < 0.3:
        new_feed(stage, programme(stage), gear=house_input(stage), minus=joined(house))
    else:
        new_feed(stage, joined(some(rng, others)), gear=house_input(stage))
    return stage.draft


def feed_comes_back(rng: random.Random) -> tuple[Draft, str]:
    if rng.random() < 0.5:
        stage = Stage.of(rng, with_some("house"))
        name = new_feed(stage, house_mix(stage), gear=house_input(stage))
        return claim(stage, "feed-loop", name)
    stage = Stage.of(rng)
    console = rng.choice(stage.model.consoles)
    output = f"{console}/o{rng.randrange(7, 9)}"
    line = new_line(stage, gear=output, strip=f"{console}/{rng.choice(stage.used.free_strips(console))}")
    name = new_feed(stage, joined(line, some(rng, stage.model.lines)), output=output, device=console)
    return claim(stage, "feed-loop", name)


def feed_goes_out_only(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    console = rng.choice(stage.model.consoles)
    output = f"{console}/o{rng.randrange(7, 9)}"
    line = new_line(stage, gear=output, strip=f"{console}/{rng.choice(stage.used.free_strips(console))}")
    name = new_feed(stage, joined(some(rng, stage.model.lines)), output=output, device=console)
    if rng.random() < 0.5:
        stage.set("feeds", name, "minus", line)
    return stage.draft


def buses_in_a_circle(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    names = [f"X{letter}{rng.randrange(10, 99)}" for letter in "ABCD"[: rng.randint(1, 4)]]
    console = rng.choice(stage.model.consoles)
    for name, inner in zip(names, [*names[1:], names[0]], strict=True):
        stage.add_row("buses", bus=name, device=console, members=joined(some(rng, stage.model.lines), inner))
    return stage.draft, ":".join(("bus-loop", *names))


def buses_in_a_tree(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    names = [*stage.model.buses, *(f"X{letter}{rng.randrange(10, 99)}" for letter in "ABCD")]
    for number in range(len(stage.model.buses), len(names)):
        stage.add_row("buses", bus=names[number], members=joined(some(rng, names[:number], 3)))
    return stage.draft


# -- the air ---------------------------------------------------------------------------------------------------


def room_in_pa(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng, with_some("audience"))
    line = rng.choice(of_kind(stage.model, "audience"))
    mix = programme(stage) if rng.random() < 0.4 else joined(line.id, some(rng, stage.model.lines))
    name = new_feed(stage, mix, place=line.place or "", by="loudspeaker")
    return claim(stage, "audience-microphone-in-pa", name)


def room_elsewhere(rng: random.Random) -> Draft:
    stage = Stage.of(rng, with_some("audience"))
    line = rng.choice(of_kind(stage.model, "audience"))
    room = {other.id for other in of_kind(stage.model, "audience")}
    if rng.random() < 0.5:
        others = [name for name in stage.model.lines if name not in room]
        new_feed(stage, joined(some(rng, others)), place=line.place or "", by="loudspeaker")
    else:
        empty = [
            name
            for name in stage.model.places
            if all(model_line.place != name for model_line in stage.model.lines.values())
        ]
        new_feed(stage, joined(line.id, some(rng, stage.model.lines)), place=rng.choice(empty), by="loudspeaker")
    return stage.draft


def microphone_before_its_speaker(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng, with_some("open"))
    line = rng.choice(of_kind(stage.model, "open"))
    name = new_feed(stage, joined(line.id, some(rng, stage.model.lines)), place=line.place or "", by="loudspeaker")
    return claim(stage, "microphone-in-own-loudspeaker", name)


def microphone_before_another(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng, lambda model: len(of_kind(model, "open")) > 1)
    line = rng.choice([found for found in of_kind(stage.model, "open") if programme_holds(stage, found)])
    others = [name for name in stage.model.lines if name != line.id]
    name = new_feed(stage, joined(some(rng, others, 2)), place=line.place or "", by="loudspeaker")
    return claim(stage, "coupling-not-stated", name)


def programme_holds(stage: Stage, line: Line) -> bool:
    """Return whether a line is in a bus."""
    mixing = heard(stage).mixing
    bit = mixing.set_of(f"line {line.id}")
    return any(mix.mask & bit for name, mix in mixing.mixes.items() if name.startswith("bus "))


def loudspeaker_alone(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    empty = [name for name in stage.model.places if all(line.place != name for line in stage.model.lines.values())]
    new_feed(
        stage, joined(some(rng, stage.model.lines)), place=rng.choice(empty), by=rng.choice(("loudspeaker", "ear"))
    )
    return stage.draft


# -- programme and hearing table -------------------------------------------------------------------------------


def talk_on_air(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    bus = stage.model.buses[programme(stage)]
    secret = ["OSC", *stage.model.stations, *(line.id for line in of_kind(stage.model, "keyed"))]
    name = rng.choice(secret)
    if rng.random() < 0.5:
        inner = f"XB{rng.randrange(10, 99)}"
        stage.add_row("buses", bus=inner, device=bus.device or "", members=name)
        name = inner
    stage.set("buses", bus.id, "members", joined(bus.members, name))
    return stage.draft, f"never-on-programme:{bus.id}"


def talk_off_air(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    bus = stage.model.buses[programme(stage)]
    secret = ["OSC", *stage.model.stations, *(line.id for line in of_kind(stage.model, "keyed"))]
    inner = f"XB{rng.randrange(10, 99)}"
    stage.add_row("buses", bus=inner, device=bus.device or "", members=joined(some(rng, secret)))
    return stage.set("buses", bus.id, "members", joined(bus.members, new_line(stage))).draft


def table_row(stage: Stage, **cells: str) -> str:
    """Add a row to the hearing table and return its listener."""
    name = f"listener {stage.rng.randrange(1000, 9999)}"
    stage.add_row("hearing", listener=name, **cells)
    return name


def forbidden_heard(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: names_at(stage, feed))
    names = some(rng, names_at(stage, feed))
    column = "never" if rng.random() < 0.7 else "on_key"
    row = table_row(stage, by=feed.id, **{column: joined(names)})
    return stage.draft, f"listener-hears-forbidden:{row}"


def forbidden_absent(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: names_at(stage, feed))
    inside = {*names_at(stage, feed), *names_at(stage, feed, keyed=True)}
    outside = [name for name in (*stage.model.lines, *stage.model.stations) if name not in inside]
    table_row(stage, by=feed.id, always=joined(some(rng, names_at(stage, feed))), never=joined(some(rng, outside)))
    return stage.draft


def promised_missing(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: names_at(stage, feed))
    inside = {*names_at(stage, feed), *names_at(stage, feed, keyed=True)}
    outside = [name for name in (*stage.model.lines, *stage.model.stations) if name not in inside]
    column = rng.choice(("always", "on_key"))
    row = table_row(stage, by=feed.id, **{column: joined(some(rng, outside))})
    return stage.draft, f"listener-misses-source:{row}"


def promised_kept(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: names_at(stage, feed))
    table_row(stage, by=feed.id, always=joined(some(rng, names_at(stage, feed), 8)))
    return stage.draft


def promised_on_key(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: names_at(stage, feed, keyed=True) and names_at(stage, feed))
    names = [*some(rng, names_at(stage, feed, keyed=True)), *some(rng, names_at(stage, feed))]
    row = table_row(stage, by=feed.id, always=joined(names))
    return stage.draft, f"heard-only-on-key:{row}"


def promised_steadily(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: names_at(stage, feed, keyed=True) and names_at(stage, feed))
    keys = some(rng, names_at(stage, feed, keyed=True))
    table_row(stage, by=feed.id, always=joined(some(rng, names_at(stage, feed))), on_key=joined(keys))
    return stage.draft


def mix_taken_out(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed))
    mix = rng.choice([list(feed.mix), some(rng, stage.model.lines, 2), some(rng, stage.model.buses, 2)])
    for column, text in (("mix", joined(mix)), ("minus", joined(mix, feed.minus)), ("interrupt", "")):
        stage.set("feeds", feed.id, column, text)
    return stage.draft, f"feed-without-source:{feed.id}"


def mix_thinned(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed))
    lines = some(rng, stage.model.lines, 6)
    left = rng.choice(lines)
    minus = [name for name in lines if name != left]
    return stage.set("feeds", feed.id, "mix", joined(lines)).set("feeds", feed.id, "minus", joined(minus)).draft


# -- intercom --------------------------------------------------------------------------------------------------


def interrupt_cut(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed))
    base = next(name for name in stage.model.devices if stage.model.kind_of(name).role == "intercom base")
    name = f"XW-{rng.randrange(100, 999)}"
    if rng.random() < 0.7:
        port = f"{base}/4W{rng.randrange(3, 5)}"
        stage.entry("circuits", f"{name}: {{device: {base}, out: {port}out}}")
        if rng.random() < 0.5:
            console = heard(stage).mixing.mixes[f"feed {feed.id}"].desk
            state = rng.choice(("laid", "capped"))
            stage.cable(f"from: {port}out, to: {console}/a{rng.randrange(3, 9)}, state: {state}")
    stage.set("feeds", feed.id, "interrupt", joined(feed.interrupts, name))
    return claim(stage, "interrupt-without-way", feed.id)


def interrupt_led(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    feed = stage.feed(lambda feed: mixed(stage, feed))
    console = heard(stage).mixing.mixes[f"feed {feed.id}"].desk
    base = next(name for name in stage.model.devices if stage.model.kind_of(name).role == "intercom base")
    if rng.random() < 0.5:
        circuits, stations = stage.model.circuits, stage.model.stations
        talking = [name for name, station in stations.items() if set(station.keys) & set(circuits)]
        return stage.set("feeds", feed.id, "interrupt", rng.choice(talking)).draft
    name, number = f"XW-{rng.randrange(100, 999)}", rng.randrange(3, 5)
    stage.entry("circuits", f"{name}: {{device: {base}, out: {base}/4W{number}out}}")
    stage.cable(f"from: {base}/4W{number}out, to: {console}/a{rng.randrange(3, 9)}")
    return stage.set("feeds", feed.id, "interrupt", joined(feed.interrupts, name)).draft


def station_in_its_ear(rng: random.Random) -> tuple[Draft, str]:
    stage = Stage.of(rng)
    station = stage.rng.choice(list(stage.model.stations.values()))
    feed = new_feed(stage, joined(some(rng, stage.model.lines)))
    way = rng.randrange(3)
    if way == 0:
        stage.set("feeds", feed, "mix", joined(station.id, some(rng, stage.model.lines)))
    elif way == 1:
        stage.set("feeds", feed, "interrupt", station.id)
    else:
        stage.set("comms", station.id, "keys", joined(station.keys, feed))
    stage.set("comms", station.id, "listen", joined(station.listen, feed))
    return stage.draft, f"station-hears-itself:{station.id}"


def station_with_a_feed(rng: random.Random) -> Draft:
    stage = Stage.of(rng)
    station, other = rng.sample(list(stage.model.stations.values()), 2)
    feed = new_feed(stage, joined(some(rng, stage.model.lines)), interrupt=other.id)
    return stage.set("comms", station.id, "listen", joined(station.listen, feed)).draft


VARIANTS: dict[str, tuple[Fault, Harmless]] = {
    "minus-open": (minus_torn, minus_guards),
    "own-voice-in-feed": (own_voice_left_in, own_voice_taken_out),
    "feed-returns-to-its-desk": (house_gets_itself, house_gets_others),
    "feed-loop": (feed_comes_back, feed_goes_out_only),
    "audience-microphone-in-pa": (room_in_pa, room_elsewhere),
    "microphone-in-own-loudspeaker": (microphone_before_its_speaker, loudspeaker_alone),
    "coupling-not-stated": (microphone_before_another, loudspeaker_alone),
    "never-on-programme": (talk_on_air, talk_off_air),
    "listener-hears-forbidden": (forbidden_heard, forbidden_absent),
    "listener-misses-source": (promised_missing, promised_kept),
    "heard-only-on-key": (promised_on_key, promised_steadily),
    "bus-loop": (buses_in_a_circle, buses_in_a_tree),
    "feed-without-source": (mix_taken_out, mix_thinned),
    "interrupt-without-way": (interrupt_cut, interrupt_led),
    "station-hears-itself": (station_in_its_ear, station_with_a_feed),
}
MODULES = {module.RULE.name: module for module in family.MODULES}


@pytest.mark.parametrize("rule", VARIANTS)
def test_every_variant_of_the_fault_is_found(rule: str) -> None:
    prove_fault(MODULES[rule], VARIANTS[rule][0])


@pytest.mark.parametrize("rule", VARIANTS)
def test_harmless_neighbours_are_left_alone(rule: str) -> None:
    prove_harmless(MODULES[rule], VARIANTS[rule][1])
