"""Sound and picture of a feed are apart.

What it finds: a feed whose row says how late its picture is (`picture`, from the event to where the feed meets it), and the
earliest and the latest source in it: more than 5 ms early or 15 ms late is a warning, more than 40 ms early or 60 ms late an
error. It says which class the feed still keeps, and which delay to insert.
Why it matters: lips that do not match their words are noticed by everybody, and nobody behind us can mend it for each source.
Example: the picture of FD1 is 160 ms late at the vision mixer, its sound 120.375 ms: 39.625 ms early.
Fix: write the delay in the message under `delay` of the feed and set it at the console or the vision mixer.
Does not find: feeds without `picture`; a picture that is later than its row says; what comes by a desk that is not ours.
Source: EBU R 37-2007: 5 ms early to 15 ms late at one stage, 40 early to 60 late at the final output, second-hand. Programme
exchange 20 early, 40 late: a table that cites EBU R 37 and ITU-R BT.1359, second-hand. ITU-R BT.1359-1: noticed beyond 45 ms
early and 125 late, acceptable to 90 early and 185 late, second-hand.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.arrivals import arrivals
from tailboard.answers.ask import Ask
from tailboard.answers.signal_ears import Listening, listenings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed
from tailboard.rules.delay.sound_common import (
    EXACT_S,
    Wait,
    holding,
    is_unknown,
    open_claims,
    path_of,
    sources_words,
    wait_of,
)
from tailboard.rules.hearing.common import feed_names
from tailboard.units.wording import worded

RULE = Rule("sound-off-picture", "delay", Severity.WARNING, __doc__)


@dataclass(frozen=True, slots=True)
class PictureClass:
    """How far sound may be off its picture for one use. [s]"""

    name: str
    early_s: float
    late_s: float
    source: str

    def holds(self, early_s: float, late_s: float) -> bool:
        """Return whether sound that is so early and so late is inside."""
        return early_s <= self.early_s + EXACT_S and late_s <= self.late_s + EXACT_S

    @property
    def words(self) -> str:
        """The class with its limits."""
        return f"{self.name} ({worded(self.early_s, 's')} early to {worded(self.late_s, 's')} late, {self.source})"


CLASSES = (
    PictureClass("production", 5e-3, 15e-3, "EBU R 37, second-hand"),
    PictureClass("programme exchange", 20e-3, 40e-3, "citing EBU R 37, second-hand"),
    PictureClass("distribution", 40e-3, 60e-3, "EBU R 37, second-hand"),
    PictureClass("the viewer", 90e-3, 185e-3, "ITU-R BT.1359-1, second-hand"),
)
DISTRIBUTION = CLASSES[2]
PRODUCTION = CLASSES[0]


@dataclass(frozen=True, slots=True)
class Off:
    """How far a feed's sound is off its picture: the earliest source before it and the latest after it. [s]"""

    early_s: float
    late_s: float

    def moved(self, delay_s: float) -> Off:
        """Return it with that much more delay in the sound."""
        return Off(self.early_s - delay_s, self.late_s + delay_s)

    @property
    def insert_s(self) -> float:
        """The delay by which the earliest is as far before the picture as the latest is after it."""
        return (self.early_s - self.late_s) / 2

    @property
    def words(self) -> str:
        """The range in words: 'from 78.9 ms early to 75 ms early'."""
        first, last = side_words(-self.early_s), side_words(self.late_s)
        return first if first == last else f"from {first} to {last}"


def side_words(late_s: float) -> str:
    """Return how late something is, in words: '3 ms late', '0.9 ms early', 'in time'."""
    if abs(late_s) < EXACT_S:
        return "in time"
    return f"{worded(abs(late_s), 's')} {'late' if late_s > 0 else 'early'}"


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed whose row says how late its picture is."""
    unknown: list[Wait] = []
    for group in ask(listenings):
        feed = next((one for one in group.feeds if one.picture_s is not None), None)
        if feed is None or feed.picture_s is None:
            continue
        wait = wait_of(ask, group, -1, feed.picture_s + PRODUCTION.late_s)
        if wait is not None and is_unknown(wait) and not wait.late:
            unknown.append(wait)
        elif wait is not None:
            yield judged(ask, group, feed, feed.picture_s, wait)
    yield from open_claims(RULE, ask, unknown, "their pictures")


def judged(ask: Ask, group: Listening, feed: Feed, picture_s: float, wait: Wait) -> Claim:
    """Return the claim of one feed: all its figures are known, or those that are make it late already."""
    off = Off(
        picture_s - min(arrival.span.least_s for arrival in wait.seen), wait.worst.span.worst_s - picture_s
    )  # fmt: skip
    says = (
        f"the sound of {feed_names(group)} is at most {worded(PRODUCTION.early_s, 's')} before "
        f"and {worded(PRODUCTION.late_s, 's')} after its picture"
    )
    if not PRODUCTION.holds(off.early_s, off.late_s):
        return broken(ask, wait, feed, off, says)
    return holding(RULE, wait, f"{says}: {off.words}")


def broken(ask: Ask, wait: Wait, feed: Feed, off: Off, says: str) -> Claim:
    """Return the claim of a feed that is off its picture, with the class it still keeps and the delay to insert."""
    severe = not DISTRIBUTION.holds(off.early_s, off.late_s)
    kept = next((one for one in CLASSES if one.holds(off.early_s, off.late_s)), None)
    first = min(wait.seen, key=lambda arrival: arrival.span.least_s)
    path = path_of(ask, wait, wait.worst if off.late_s > PRODUCTION.late_s else first)
    sources = ask(arrivals).graph.mixing.names(wait.worst.sources if off.late_s > PRODUCTION.late_s else first.sources)
    ends = f"; earliest {sources_words(ask, wait, first)}, latest {sources_words(ask, wait, wait.worst)}"
    return RULE.broken(
        wait.group.ids,
        says,
        spot=feed.at.spot("picture_s"),
        message=f"the sound of {feed_names(wait.group)} comes {off.words} for its picture, which is {worded(feed.picture_s or 0.0, 's')} "
        f"late: outside {PRODUCTION.words}"
        + (f", inside {kept.words}" if kept else ", outside every class")
        + (ends if len(wait.seen) > 1 else ""),
        because=[*(entry.because for entry in path.entries), Because(feed.at.spot("picture_s"), f"picture of {feed.id}")],
        fix=insert_words(feed, off),
        severity=Severity.ERROR if severe else Severity.WARNING,
        lines=[name for name in sources if name in ask.model.lines],
        feeds=wait.group.ids,
    )  # fmt: skip


def insert_words(feed: Feed, off: Off) -> str:
    """Return the delay to insert, or what else brings sound and picture together."""
    written_s, insert_s = feed.delay_s or 0.0, off.insert_s
    if not PRODUCTION.holds(off.moved(insert_s).early_s, off.moved(insert_s).late_s):
        apart = worded(off.early_s + off.late_s, "s")
        return f"no single delay mends it: its sources are {apart} apart; bring them together before the mix"
    total_s = written_s + insert_s
    least_s = written_s + off.early_s - PRODUCTION.early_s
    most_s = written_s + PRODUCTION.late_s - off.late_s
    if total_s < 0:
        return f"delay the picture of {feed.id} by {worded(-total_s, 's')}, or shorten the way of the sound"
    return (
        f"insert {worded(total_s, 's')} into {feed.id} and write it under 'delay' of its row; "
        f"{worded(max(least_s, 0.0), 's')} to {worded(most_s, 's')} holds"
    )
