"""A source comes into one mix twice, the second time later.

What it finds: a source that is in the mix of a feed by two entries of the desk, such as a split on two boxes or another
desk's mix beside the line itself, more than one sample apart. Both are in one mix, so they are taken as equally loud. One
that comes back by a desk that is not ours stays open: how loud it is only its owner knows.
Why it matters: the sum is hollow: notches at 1/(2 x the difference) and at its odd multiples. Above some 50 ms it is an echo.
Example: line 1 is in FD1 by strip CON-1/1, and by CON-1/2, which brings the mix of the other desk: 2 ms later.
Fix: take one of the two out of the mix, or delay the earlier by the difference.
Does not find: one voice in two microphones; two loudspeakers in one room; two feeds on two ears; tracks of a recorder; a
difference of one sample or less; what comes only while a key is pressed.
Source: f = 1/(2 dt) and 20 log10(1 +- g), arithmetic: equal copies cancel, 20 dB apart they ripple by +0.83 / -0.92 dB. That
20 dB do not matter is our own choice. RFC 8578 section 2.1.3: one sample matters where phase does. Above 50 ms an echo: Haas
1951, second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

from tailboard.answers.arrivals import Spread, arrivals
from tailboard.answers.ask import Ask
from tailboard.answers.mixing import bits
from tailboard.answers.signal_ears import Listening, listenings
from tailboard.answers.soundpath import Edges, entries_of, way_to
from tailboard.answers.soundpath_figures import Span
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.physics.comb import SILENT_DB, notch_hz, ripple_db
from tailboard.rules.delay.sound_common import closing
from tailboard.rules.hearing.common import feed_names, listener, named, returned_lines
from tailboard.units.wording import listed, worded

RULE = Rule("source-arrives-twice", "delay", Severity.WARNING, __doc__)
SAMPLE_S = 1 / 48_000  # one sample at 48 kHz: RFC 8578 section 2.1.3 has phase-critical audio at one sample
ECHO_S = 50e-3  # above it a copy is heard as an echo: Haas 1951, second-hand


@dataclass(frozen=True, slots=True)
class Twice:
    """Sources that come to one mix by two ways.

    mix   the feed whose mix it is; sources: as bits; first, second: how late, the earlier of the known figures first.
    """

    mix: str
    sources: int
    first: Span
    second: Span

    @property
    def missing(self) -> tuple[str, ...]:
        """The figures that are not known and do not stand on both ways."""
        left, right = list(self.first.missing), list(self.second.missing)
        for words in self.first.missing:
            if words in right:
                left.remove(words)
                right.remove(words)
        return tuple(dict.fromkeys((*left, *right)))

    @property
    def difference_s(self) -> float:
        """How much later the second comes, of the known figures. [s]"""
        return max(self.second.worst_s - self.first.worst_s, self.second.least_s - self.first.least_s)

    @property
    def apart(self) -> bool:
        """Whether the two are more than one sample apart."""
        return bool(self.missing) or self.difference_s > SAMPLE_S


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed that a desk mixes."""
    found, model = ask(arrivals), ask.model
    returned = {name: lines for name, lines in returned_lines(ask).items() if model.devices[name].excludes}
    for group in ask(listenings):
        mixed = [name for name in group.ids if name not in found.graph.straight]
        if not mixed:
            continue
        nodes = dict.fromkeys(f"feed {model.feeds[name].bed or name}" for name in mixed)
        twice = [one for node in nodes for one in twice_in(node, found.leaving(node))]
        heard = 0
        for node in nodes:
            for sources in found.leaving(node).values():
                heard |= sources
        yield judged(ask, group, twice, [f"{name} excludes" for name, lines in returned.items() if lines & heard])


def twice_in(point: str, spread: Spread) -> Iterator[Twice]:
    """Yield the sources that come to a mix twice, without a key pressed, at different times; those of our own ways first."""
    steady = [(span, sources) for span, sources in spread.items() if not span.keyed and point not in span.through]
    seen = again = 0
    for _, sources in steady:
        again |= seen & sources
        seen |= sources
    if not again:
        return
    steady = sorted(((span, sources & again) for span, sources in steady if sources & again), key=order)
    for (first, some), (second, others) in combinations(steady, 2):
        both = Twice(point, some & others, first, second)
        if both.sources and both.apart and not (first.returned and second.returned):
            yield both


def order(item: tuple[Span, int]) -> tuple[float, float, bool]:
    """Return the order of arrivals: the earliest first."""
    span = item[0]
    return span.worst_s, span.least_s, span.returned


def judged(ask: Ask, group: Listening, twice: list[Twice], excluded: list[str]) -> Claim:
    """Return the claim of one feed: broken where both are ours and known, else open, else it holds.

    excluded  what desks that send into the mix are said never to return.
    """
    ids = feed_names(group)
    says = f"no source comes into the mix of {ids} twice at different times"
    own = [one for one in twice if not (one.first.returned or one.second.returned)]
    known = [one for one in own if not one.missing]
    if known:
        return broken(ask, group, max(known, key=lambda one: one.difference_s), says)
    if own:
        return unmeasured(ask, group, own[0], says)
    back = [one for one in twice if one not in own]
    if back and not any(f"{name} return" in ask.model.settled for name in group.ids):
        return returned(ask, group, back, says)
    words = says if not back else f"how loud sources come back into {ids} is stated"
    return RULE.holds(group.ids, words, assumptions=excluded)


def ways_of(ask: Ask, one: Twice) -> tuple[int, Edges, Edges]:
    """Return the first source and its two ways."""
    found, source = ask(arrivals), next(bits(one.sources))
    return source, way_to(found, one.mix, source, one.first), way_to(found, one.mix, source, one.second)


def evidence(ask: Ask, *ways: Edges) -> list[Because]:
    """Return the figures of some ways, each way after a line that says how it enters the mix."""
    found = []
    for way in ways:
        if way:
            found.append(Because(way[0].spot, f"enters by {entry_words(way)}"))
        found += [entry.because for entry in entries_of(ask, way)]
    return found


def entry_words(way: Edges) -> str:
    """Return by which strip or input a way comes into the mix, in words."""
    mixed = next((edge.start for edge in reversed(way) if edge.step == "mix" and " strip " in edge.start), "")
    return mixed.replace(" strip ", "/") if mixed else way[0].end


def comb_words(difference_s: float) -> str:
    """Return what two copies so far apart do to each other."""
    notch = worded(round(notch_hz(difference_s), 1), "Hz")
    peak, dip = ripple_db(SILENT_DB)
    echo = ", heard as an echo" if difference_s > ECHO_S else ""
    return (
        f"equally loud they cancel at {notch} and its odd multiples{echo}; "
        f"with {SILENT_DB:g} dB between them it would be {peak:+.2f} / {dip:.2f} dB and not matter"
    )


def broken(ask: Ask, group: Listening, one: Twice, says: str) -> Claim:
    """Return the claim of sources that come twice by ways of ours."""
    _, early, late = ways_of(ask, one)
    names, ids = sources_of(ask, one.sources), feed_names(group)
    apart = worded(one.difference_s, "s")
    return RULE.broken(
        group.ids,
        says,
        spot=group.first.at.spot("mix"),
        message=f"{named(ask.model, names)} in {ids} to {listener(group)} twice, by {entry_words(early)} and by "
        f"{entry_words(late)}, {apart} apart: {comb_words(one.difference_s)}",
        because=evidence(ask, early, late),
        rests_on=[
            *(f"loop {name}" for name in group.ids),
            *(f"loop {name.removeprefix('feed ')}" for name in one.second.through),
        ],
        fix=f"take {entry_words(early)} or {entry_words(late)} out of the mix of {ids}, or delay {entry_words(early)} by {apart}",
        lines=lines_of(ask.model, names),
        feeds=group.ids,
    )


def unmeasured(ask: Ask, group: Listening, one: Twice, says: str) -> Claim:
    """Return the open claim of sources that come twice by ways of ours, how far apart is not known."""
    _, early, late = ways_of(ask, one)
    spots = [entry.spot for way in (early, late) for entry in entries_of(ask, way) if entry.words in one.missing]
    names = named(ask.model, sources_of(ask, one.sources))
    return RULE.open(
        group.ids,
        says,
        spot=spots[0] if spots else group.first.at.spot("mix"),
        missing=f"{names} in {feed_names(group)} twice, by {entry_words(early)} and by {entry_words(late)}; "
        f"how far apart is not known without {listed(one.missing)}",
        because=evidence(ask, early, late),
        fix=f"write {listed([closing(ask.model, words) for words in one.missing])}; or take one of the two out of the mix",
    )


def returned(ask: Ask, group: Listening, back: list[Twice], says: str) -> Claim:
    """Return the open claim of sources that also come back by a desk that is not ours."""
    one = max(back, key=lambda item: item.difference_s)
    _, early, late = ways_of(ask, one)
    sources = 0
    for item in back:
        sources |= item.sources
    names, ids = named(ask.model, sources_of(ask, sources)), feed_names(group)
    how = "" if one.missing else f": {comb_words(one.difference_s)}"
    least = "at least " if one.missing else ""
    return RULE.open(
        group.ids,
        says,
        spot=group.first.at.spot("mix"),
        missing=f"{names} in {ids}, and once more back by {outside_words(ask, early, late)}, {least}"
        f"{worded(one.difference_s, 's')} later; how loud is not known{how}",
        because=evidence(ask, early, late),
        fix=f"listen to what comes back, and write the level under confirmed in show.yaml, with 'settles: {group.ids[0]} return'; "
        f"{SILENT_DB:g} dB under the direct sound does not matter",
    )


def outside_words(ask: Ask, *ways: Edges) -> str:
    """Return the desks that are not ours on some ways, in words."""
    devices = ask(arrivals).graph.device_of
    return listed(
        list(
            dict.fromkeys(
                devices.get(edge.start, edge.start) for way in ways for edge in way if edge.step in {"return", "desk"}
            )
        )
    )


def sources_of(ask: Ask, sources: int) -> tuple[str, ...]:
    """Return the user's names of some sources."""
    return ask(arrivals).graph.mixing.names(sources)


def lines_of(model: Model, names: tuple[str, ...]) -> list[str]:
    """Return the lines among some names."""
    return [name for name in names if name in model.lines]
