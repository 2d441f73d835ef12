"""Two people who talk with each other hear each other too late.

What it finds: a listener with an own voice, and another voice that comes to him by his feed while his own comes to the
other: lines under `own voice` of other feeds, and intercom stations. One way above 150 ms is a warning, above 400 an error.
What is not known of a codec, a telephone or a desk that is not ours leaves it open; a converter, desk, radio or receiver of
the unit whose figure is missing is taken to need no more than 10 ms, and the claim says so.
Why it matters: both begin at once, both stop, and the interview dies.
Example: the presenter hears the studio 183 ms late by a codec, and the studio hears the presenter.
Fix: shorten the way by its largest figure, such as a codec set to a large buffer.
Does not find: talk from panel to panel on a party line; the way behind a hand-off, unless a kind states it.
Source: 10 ms is our own choice. ITU-T G.114: 0 to 150 ms one way is acceptable, second-hand; above 400 ms is unacceptable, by its summary.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from tailboard.answers.arrivals import arrivals
from tailboard.answers.ask import Ask
from tailboard.answers.hearing import hearing
from tailboard.answers.mixing import bits, mixing
from tailboard.answers.signal_ears import listenings
from tailboard.answers.soundpath_figures import Span
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.delay.sound_common import (
    CONVERSATION,
    Wait,
    holding,
    is_far,
    late_claim,
    open_claims,
    taken,
    wait_of,
)
from tailboard.rules.hearing.common import feed_names, listener
from tailboard.units.wording import worded

RULE = Rule("conversation-late", "delay", Severity.WARNING, __doc__)


@dataclass(frozen=True, slots=True)
class People:
    """Who can talk: the feeds of each own voice by label bit, the own voice of each feed, and all voices as a set."""

    feeds: dict[int, list[str]]
    own: dict[str, int]
    voices: int


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a feed whose listener talks with somebody he hears by it."""
    people, model, limit_s = people_of(ask), ask.model, CONVERSATION.limit_s
    far: list[Wait] = []
    near: list[Wait] = []
    for group in ask(listenings):
        own = people.own.get(group.ids[0], 0)
        wait = wait_of(ask, group, people.voices & ~own, limit_s, keyed=True) if own else None
        if wait is None:
            continue
        says = f"{listener(group)} hears whom he talks with by {feed_names(group)} within {worded(limit_s, 's')}"
        late = among(ask, people, wait, own, lambda span: span.worst_s > limit_s)
        if late is not None:
            spot = group.first.at.spot("mix")
            yield late_claim(RULE, ask, late, says, CONVERSATION, spot, back_words(ask, people, late, own))
            continue
        doubtful = among(ask, people, wait, own, lambda span: is_doubtful(model, span))
        if doubtful is not None:
            (far if any(has_far(model, arrival.span) for arrival in doubtful.seen) else near).append(doubtful)
        elif among(ask, people, wait, own, bool, most=1) is not None:
            assumed = frozenset[str]().union(*(taken(model, arrival.span)[1] for arrival in wait.seen))
            yield holding(RULE, wait, says, assumed)
    yield from open_claims(RULE, ask, far, CONVERSATION.use, lambda words: is_far(model, words))
    yield from open_claims(RULE, ask, near, CONVERSATION.use)


def is_doubtful(model: Model, span: Span) -> bool:
    """Return whether a figure that may be any is missing, or more near by than the limit leaves room for."""
    if not span.missing:
        return False
    return has_far(model, span) or span.worst_s + taken(model, span)[0] > CONVERSATION.limit_s


def has_far(model: Model, span: Span) -> bool:
    """Return whether a figure that may be any is missing."""
    return any(is_far(model, words) for words in span.missing)


def among(ask: Ask, people: People, wait: Wait, own: int, which: Callable[[Span], bool], most: int = 0) -> Wait | None:
    """Return a wait for those alone whose speakers hear the listener too, of the arrivals asked for; None without any.

    most  where not 0: look for so many voices and no more.
    """
    seen = tuple(arrival for arrival in wait.seen if which(arrival.span))
    if not seen:
        return None
    heard = 0
    for arrival in seen:
        heard |= arrival.sources & wait.sources
    both = answering(ask, people, heard, own, most)
    left = tuple(arrival for arrival in seen if arrival.sources & both)
    return replace(wait, sources=both, seen=left) if left else None


def people_of(ask: Ask) -> People:
    """Return who can talk."""
    index, model = ask(mixing).index, ask.model
    feeds: dict[int, list[str]] = {}
    own: dict[str, int] = {}
    for name, feed in model.feeds.items():
        for line in feed.own:
            bit = index.get(f"line {line}")
            if bit is not None:
                feeds.setdefault(bit, []).append(name)
                own[name] = own.get(name, 0) | 1 << bit
    voices = sum(1 << bit for bit in feeds)
    voices |= sum(1 << index[f"station {name}"] for name in model.stations)
    return People(feeds, own, voices)


def answering(ask: Ask, people: People, heard: int, own: int, most: int) -> int:
    """Return those of some voices whose speakers hear a listener's own, the first few if `most` is not 0."""
    found = 0
    planned, labels = ask(hearing).planned.at, ask(mixing).labels
    for bit in bits(heard):
        ears = people.feeds.get(bit) or (labels[bit].removeprefix("station "),)
        if any(planned.get(f"ear {name}", 0) & own for name in ears):
            found |= 1 << bit
            if found.bit_count() == most:
                break
    return found


def back_words(ask: Ask, people: People, wait: Wait, own: int) -> str:
    """Return how late the listener's own voice comes to the one who is latest, in words; empty where it is not known."""
    found = ask(arrivals)
    bit = next(bits(wait.worst.sources & wait.sources))
    seen = [arrival for name in people.feeds.get(bit, ()) for arrival in found.at_ear(name)
            if arrival.sources & own and not arrival.span.missing]  # fmt: skip
    if not seen:
        return ""
    both_s = wait.worst.span.worst_s + max(arrival.span.worst_s for arrival in seen)
    return f"; there and back {worded(both_s, 's')}"
