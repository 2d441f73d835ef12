"""Who reaches whom for all pairs at once, against two other ways of working it out: plain sets and a graph library."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import pairwise

import networkx as nx
import pytest

from support.draft import Draft
from support.synthetic import synthetic
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.mixing import Mixing, mixing
from tailboard.answers.signal import Signal
from tailboard.answers.signal_reach import Terms, spread
from tailboard.answers.signal_ways import ways
from tailboard.model.records import Bus, Feed
from tailboard.model.show import Model

NAMES = 12  # lines of a random set of mixes


def random_mixes(rng: random.Random, loops: bool = False) -> Draft:
    """Return lines, buses over one another, and feeds, each with a minus of lines or of buses."""
    lines = [str(number) for number in range(1, NAMES + 1)]
    buses = [f"B{number}" for number in range(rng.randint(2, 8))]
    rows = []
    for number, bus in enumerate(buses):
        below = [other for other in buses if other != bus] if loops else buses[:number]
        rows.append(f'{bus},"{some(rng, lines, below)}","{some(rng, lines, [] if loops else below, least=0)}"')
    feeds = [f'F{n},"{some(rng, lines, buses)}","{some(rng, lines, buses, least=0)}"' for n in range(6)]
    return Draft(
        {
            "lines.csv": "line\n" + "".join(f"{line}\n" for line in lines),
            "buses.csv": "bus,members,minus\n" + "\n".join(rows) + "\n",
            "feeds.csv": "feed,mix,minus\n" + "\n".join(feeds) + "\n",
        }
    )


def some(rng: random.Random, lines: list[str], buses: list[str], least: int = 1) -> str:
    """Return a few names as the text of a cell."""
    names = rng.sample(lines, rng.randint(least, 4)) + rng.sample(buses, min(len(buses), rng.randint(0, 2)))
    return ", ".join(rng.sample(names, len(names)))


def held(model: Model, record: Bus | Feed) -> set[str]:
    """Return the lines in a mix by the plain rule: what its members hold, without what its minus holds."""

    def of(names: tuple[str, ...]) -> set[str]:
        found: set[str] = set()
        for name in names:
            found |= held(model, model.buses[name]) if name in model.buses else {name}
        return found

    return of(record.members if isinstance(record, Bus) else record.mix) - of(record.minus)


@pytest.mark.parametrize("block", range(4))
def test_a_mix_holds_what_the_plain_rule_says(block: int) -> None:
    for seed in range(50):
        model = random_mixes(random.Random(1000 * block + seed)).read().model
        found = Ask(model)(mixing)
        records: list[Bus | Feed] = [*model.buses.values(), *model.feeds.values()]
        for record in records:
            kind = "bus" if isinstance(record, Bus) else "feed"
            mix = found.mixes[f"{kind} {record.id}"]
            assert set(found.names(mix.mask)) == held(model, record), (block, seed, record.id)
        assert not found.loops


def test_buses_in_a_circle_end_and_are_listed() -> None:
    looped = 0
    for seed in range(100):
        model = random_mixes(random.Random(seed), loops=True).read().model
        found = Ask(model)(mixing)
        members = nx.DiGraph(
            [(name, inner) for name, bus in model.buses.items() for inner in bus.members if inner in model.buses]
        )
        in_circles = {name for part in nx.strongly_connected_components(members) if len(part) > 1 for name in part}
        listed = {name.removeprefix("bus ") for loop in found.loops for name in loop}
        assert listed <= in_circles
        assert bool(listed) == bool(in_circles)
        looped += bool(listed)
    assert 20 < looped < 100


def state_graph(graph: Signal, terms: Terms) -> nx.DiGraph:
    """Return the signal as a graph of points and of (mix, label) states, in which a minus takes out one label."""
    found, mixes = nx.DiGraph(), graph.mixing
    for edges in graph.out.values():
        for edge in edges:
            open_now = (terms.keyed or not edge.keyed) and (terms.planned or edge.stop is None)
            if open_now and (terms.excluded or not edge.unless) and not edge.not_from:
                found.add_edge(edge.start, edge.end)
    patched = bool(graph.strips)
    for name, mix in mixes.mixes.items():
        if name.startswith("set ") or (name.startswith("feed ") and mix.record.id in graph.straight):
            continue
        for label in mixes.labels_of(mix.mask):
            strips = graph.entries.get(mix.desk, {}).get(label, ())
            said = not strips and not (
                patched and mix.desk in graph.model.devices and label.startswith("line ") and not terms.planned
            )
            kind = graph.model.source_kind(label.removeprefix("line ")) if label.startswith("line ") else None
            for start in strips or ((label,) if said and (terms.keyed or kind is None or not kind.keyed) else ()):
                found.add_edge(start, (name, label))
            found.add_edge((name, label), name)
    return found


def reached(graph: nx.DiGraph, source: str) -> set[str]:
    """Return the points that a source gets to."""
    return {node for node in nx.descendants(graph, source) if isinstance(node, str)} if source in graph else set()


def without_echo(graph: Signal, found: nx.DiGraph, station: str) -> set[str]:
    """Return the points that a station gets to; its party lines give it to every ear but its own."""
    whole = found.copy()
    for edges in graph.out.values():
        for edge in edges:
            if edge.not_from and edge.not_from != station:
                whole.add_edge(edge.start, edge.end)
    return reached(whole, station)


def returning(rng: random.Random) -> Draft:
    """Return the small example with feeds that come back by the outside desk, a second desk and split microphones."""
    draft = Draft.example()
    if rng.random() < 0.7:
        draft.sub("show.yaml", "    excludes: {aux1: in1..2, aux2: in1..2}\n", "")
    rows = draft.rows("feeds")
    for row in rows[1:]:
        if row[0] != "FD9" and rng.random() < 0.5:
            row[6] = ", ".join(
                rng.sample(["PGM", "MUS", "SPK", "AMB", "SMQ", "8", "9", "15", "3", "S-DIR"], rng.randint(1, 3))
            )
    draft.write("feeds", rows)
    for line in rng.sample(range(1, 17), 4):
        other = rng.randint(1, 16)
        draft.cell("lines", str(line), "strip", rng.choice([f"CON-1/{other}", ""]))
    if rng.random() < 0.5:
        draft.cell("lines", str(rng.randint(1, 7)), "gear", rng.choice(["RXR-1", "RXR-2", "PBC-1/1"]))
    return draft


SHOWS: dict[str, list[Callable[[], Draft]]] = {
    "small": [Draft.example],
    "medium": [lambda: Draft.example("medium")],
    "synthetic": [partial(synthetic, random.Random(seed), 12 + 9 * seed) for seed in range(5)],
    "returning": [partial(returning, random.Random(seed)) for seed in range(30)],
}


@pytest.mark.parametrize("sort", SHOWS)
def test_the_sets_at_every_point_are_what_a_graph_library_finds(sort: str) -> None:
    several = 0
    for make in SHOWS[sort]:
        graph = Ask(make().read().model)(hearing).graph
        for terms in (
            Terms(),
            Terms(keyed=False),
            Terms(planned=False),
            Terms(keyed=False, planned=False),
            Terms(excluded=True),
        ):
            if terms.keyed and any(mix.cue for mix in graph.mixing.mixes.values()):
                continue  # what is on cue is no label of the mix
            reach, states = spread(graph, terms), state_graph(graph, terms)
            for number, label in enumerate(graph.mixing.labels):
                expected = without_echo(graph, states, label)
                got = {node for node, sources in reach.at.items() if sources >> number & 1 and node != label}
                assert got == expected - {label}, (sort, terms, label, got ^ expected)
                several += len(got)
    assert several > 100


def ear_sets(found: Hearing, *, working: bool) -> dict[str, set[str]]:
    """Return the names at every ear."""
    reach = found.working if working else found.planned
    return {node: set(found.names(sources)) for node, sources in reach.at.items() if node.startswith("ear ")}


def grown(before: dict[str, set[str]], after: dict[str, set[str]]) -> dict[str, set[str]]:
    """Return what an ear has got that it had not before."""
    return {ear: more for ear, names in after.items() if (more := names - before.get(ear, set()))}


LAW_SHOWS = [Draft.example(), *(synthetic(random.Random(seed), 14) for seed in (1, 2))]


@pytest.mark.parametrize("draft", LAW_SHOWS, ids=["small", "synthetic 1", "synthetic 2"])
def test_taking_a_cable_away_never_adds_a_way(draft: Draft) -> None:
    model = draft.read().model
    before = [ear_sets(Ask(model)(hearing), working=working) for working in (False, True)]
    lost = 0
    for name in model.cables:
        less = replace(model, cables={key: cable for key, cable in model.cables.items() if key != name})
        for working in (False, True):
            after = ear_sets(Ask(less)(hearing), working=working)
            assert not grown(before[working], after), name
            lost += bool(grown(after, before[working]))
    assert lost > 2


@pytest.mark.parametrize("draft", LAW_SHOWS, ids=["small", "synthetic 1", "synthetic 2"])
def test_taking_a_member_out_or_into_a_minus_never_adds_a_source(draft: Draft) -> None:
    model, rng = draft.read().model, random.Random(4)
    before = ear_sets(Ask(model)(hearing), working=False)
    records: list[Bus | Feed] = [*model.buses.values(), *model.feeds.values()]
    in_a_minus = {name for record in records for name in record.minus}
    lost = 0
    for bus in model.buses.values():
        if bus.id in in_a_minus:
            continue  # what a minus takes out grows and shrinks with it
        for member in bus.members:
            less = replace(bus, members=tuple(name for name in bus.members if name != member))
            after = ear_sets(Ask(replace(model, buses={**model.buses, bus.id: less}))(hearing), working=False)
            assert not grown(before, after), (bus.id, member)
            lost += bool(grown(after, before))
    for feed in model.feeds.values():
        more = replace(feed, minus=(*feed.minus, rng.choice([*model.lines, *model.buses])))
        after = ear_sets(Ask(replace(model, feeds={**model.feeds, feed.id: more}))(hearing), working=False)
        assert not grown(before, after), feed.id
        lost += bool(grown(after, before))
    assert lost > 5


def test_every_listed_way_is_a_way_and_every_source_heard_has_one() -> None:
    for draft in (Draft.example(), *(returning(random.Random(seed)) for seed in range(6))):
        found = Ask(draft.read().model)(hearing)
        for ear, names in ear_sets(found, working=False).items():
            for bit in (found.mixing.index[label] for label in labels(found.mixing, names)):
                way = found.way(bit, ear)
                assert way is not None, (ear, bit)
                steps = way.steps
                assert steps[0].start == found.mixing.labels[bit]
                assert steps[-1].end == ear
                assert all(first.end == second.start for first, second in pairwise(steps))
                assert ways(found.graph, steps[0].start, ear).count >= 1


def labels(mixing: Mixing, names: set[str]) -> list[str]:
    """Return the labels of names."""
    return [label for label in mixing.labels if label.removeprefix("line ").removeprefix("station ") in names]
