"""What a feed sends comes back into it.

What it finds: a circle of feeds and strips: a feed leaves a desk, comes back by a line, a circuit or an outside desk that
may return it, and is in a mix that leads to the same feed.
Why it matters: it howls as soon as two faders are open; electrical loops need no loudspeaker.
Example: FD4 goes to HD-1, HD-1 returns it on line 8, line 8 is in PGM, and FD4 is PGM.
Fix: take the line out of the mix, or have the desk's owner confirm which outputs never carry our feed: `excludes`.
Does not find: loops through the air; see coupling-not-stated. Buses that hold one another; see bus-loop.
Source: common practice, no source.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.hearing import Hearing, hearing
from tailboard.answers.signal import Signal
from tailboard.answers.signal_ears import STEPS, Listening, leads, listenings
from tailboard.answers.signal_edges import Edge, onward, trail
from tailboard.answers.signal_ways import Way, through
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.hearing.common import feed_names, shown

Entered = dict[str, list[tuple[str, tuple[Edge, ...]]]]  # feed: the feeds into which it comes, with the steps there

RULE = Rule("feed-loop", "hearing", Severity.ERROR, __doc__)
Came = dict[str, Edge | None]


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that comes back into a desk, legs of one feed together, and one a circle."""
    found = ask(hearing)
    graph = found.graph
    coming = {name: came for name, came in ask(leads).items() if comes_back(graph, came)}
    shut = shut_out(graph, ask(leads)) if graph.excluded else {}
    told: set[frozenset[str]] = set()
    known: Entered = {}
    known_shut: Entered = {}
    for group in ask(listenings):
        names = [name for name in group.ids if name in coming or name in shut]
        if not names:
            continue
        circle = next((loop for name in names if (loop := circle_of(graph, coming, name, known)) is not None), None)
        if circle is None:
            yield RULE.holds(group.ids, f"nothing that {feed_names(group)} sends comes back into it",
                             assumptions=facts_of(graph, shut, names, known_shut))  # fmt: skip
            continue
        members = frozenset(edge.end for edge in circle if edge.end.startswith("feed "))
        if members not in told and not any(earlier & members for earlier in told):
            told.add(members)
            yield broken(found, group, circle)


def shut_out(graph: Signal, leading: dict[str, Came]) -> dict[str, Came]:
    """Return the feeds that would come back into a desk but for a stated fact, with every point they would lead to."""
    near = [
        name for name, came in leading.items() if any(edge.unless for node in came for edge in graph.out.get(node, ()))
    ]
    found = {name: onward([f"feed {name}"], lambda node: graph.out.get(node, ()), STEPS) for name in near}
    return {name: came for name, came in found.items() if comes_back(graph, came)}


def comes_back(graph: Signal, came: Came) -> bool:
    """Return whether a feed gets to a strip or into another feed."""
    first, *others = came
    return any(
        node in graph.strips or (node.startswith("feed ") and not node.startswith(f"{first} at ")) for node in others
    )


def circle_of(graph: Signal, coming: dict[str, Came], name: str, known: Entered) -> tuple[Edge, ...] | None:
    """Return the shortest circle from a feed back to itself, or None. `known`: the feeds that each comes into, so far."""
    start = f"feed {name}"
    way: dict[str, tuple[Edge, ...]] = {}
    queue: deque[tuple[str, tuple[Edge, ...]]] = deque([(name, ())])
    while queue:
        current, steps = queue.popleft()
        if current not in known:
            known[current] = list(entered(graph, coming.get(current, {})))
        for end, more in known[current]:
            if end == start:
                return (*steps, *more)
            if end not in way:
                way[end] = (*steps, *more)
                queue.append((end.removeprefix("feed "), way[end]))
    return None


def entered(graph: Signal, came: Came) -> Iterator[tuple[str, tuple[Edge, ...]]]:
    """Yield the feeds into which a feed comes by strips and interrupts, with the steps there."""
    for node in came:
        if node.startswith("feed ") and came[node] is not None and " at " not in node:
            yield node, trail(came, node)
        for label in graph.labels_at(node):
            for mix in graph.mixes_with(graph.device_of.get(node, ""), label):
                if mix.name.startswith("feed ") and mix.record.id not in graph.straight:
                    route = graph.mixing.shortest(mix.name, label)
                    yield mix.name, (*trail(came, node), *through(graph, node, label, route))


def facts_of(graph: Signal, shut: dict[str, Came], names: list[str], known: Entered) -> set[str]:
    """Return the stated facts without which a feed would come back into itself."""
    facts: set[str] = set()
    for name in names:
        circle = circle_of(graph, shut, name, known)
        facts |= {edge.unless for edge in circle or () if edge.unless}
    return facts


def broken(found: Hearing, group: Listening, circle: tuple[Edge, ...]) -> Claim:
    """Return the claim of a circle, listed as a chain."""
    ids, chain = feed_names(group), shown(found, [Way(circle)]).removeprefix("feed ")
    return RULE.broken(
        group.ids,
        f"nothing that {ids} sends comes back into it",
        spot=group.first.at.spot("mix"),
        message=f"what {ids} sends comes back into it: {chain}",
        because=[Because(edge.spot, f"{edge.start} - {edge.end}: {edge.words}") for edge in circle],
        fix=f"take the line by which it comes back out of the mix of {ids}, or state under 'excludes' what the desk never returns",
        breaks=[f"loop {name}" for name in group.ids],
        rests_on=[f"feed {name}" for name in group.ids],
        feeds=group.ids,
    )
