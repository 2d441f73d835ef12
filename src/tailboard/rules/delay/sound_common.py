"""What the rules on late sound share: budgets with their sources, and the claim that a listener is not kept waiting."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from tailboard.answers.arrivals import Arrival, arrivals
from tailboard.answers.ask import Ask
from tailboard.answers.mixing import bits
from tailboard.answers.signal_ears import Listening
from tailboard.answers.soundpath import DelayLedger, delay_ledger, span_words
from tailboard.answers.soundpath_figures import UNPATCHED, Span
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.show import Model
from tailboard.rules.hearing.common import OWN_VOICE_S, feed_names, listener, named
from tailboard.units.wording import listed, worded

EXACT_S = 1e-9  # sums are kept to the nanosecond
LOCAL_S = 10e-3  # no converter, desk, radio or receiver of one unit takes more: our own choice
FAR = frozenset({"codec", "hybrid", "outside desk"})


@dataclass(frozen=True, slots=True)
class Budget:
    """How late sound may be for what the listener does.

    use      what he does, in words; source: who says so, and whether it was read there.
    instead  what to do where the way cannot be shortened.
    limit_s  above it a warning; severe_s: above it an error, None where nothing is said. [s]
    """

    use: str
    source: str
    instead: str
    limit_s: float
    severe_s: float | None = None

    def severity(self, late_s: float) -> Severity:
        """Return how bad a delay above the limit is."""
        return Severity.ERROR if self.severe_s is not None and late_s > self.severe_s + EXACT_S else Severity.WARNING


OWN_VOICE = Budget(
    "his own voice in the ear",
    "a course on monitoring says under 5 ms from microphone to ear (second-hand), talk is disturbed above about 30 ms",
    "write under 'latest' of the feed what its listener accepts",
    OWN_VOICE_S,
    30e-3,
)
FOLD_BACK = Budget(
    "sound beside its own microphone",
    "RFC 8578 section 2.1.3: above 10 to 15 ms it is noticed and disturbs",
    "write under 'latest' of the feed what the players accept",
    10e-3,
)
CONVERSATION = Budget(
    "a conversation",
    "ITU-T G.114: up to 150 ms one way is acceptable (second-hand), above 400 ms is not",
    "tell both to leave a pause before they answer",
    150e-3,
    400e-3,
)


@dataclass(frozen=True, slots=True)
class Wait:
    """What a rule looks at: some sources at a listener and the most that they may be late.

    feed  the id whose ear is looked at; seen: its arrivals that hold one of the sources.
    """

    group: Listening
    feed: str
    sources: int
    seen: tuple[Arrival, ...]
    limit_s: float

    @property
    def worst(self) -> Arrival:
        """The arrival that is latest, of what is known."""
        return max(self.seen, key=lambda arrival: arrival.span.worst_s)

    @property
    def late(self) -> bool:
        """Whether the limit is passed, whatever else is not known."""
        return self.worst.span.worst_s > self.limit_s + EXACT_S


def wait_of(ask: Ask, group: Listening, sources: int, limit_s: float, *, keyed: bool = False) -> Wait | None:
    """Return how late some sources come to a listener by ways of ours; None where none of them comes.

    Of the legs of a feed the one that is latest counts.
    """
    found, waits = ask(arrivals), []
    for feed in group.ids:
        seen = tuple(
            arrival
            for arrival in found.at_ear(feed)
            if arrival.sources & sources and not arrival.span.returned and (keyed or not arrival.span.keyed)
        )
        if seen:
            waits.append(Wait(group, feed, sources, seen, limit_s))
    return max(waits, key=lambda wait: wait.worst.span.worst_s, default=None)


def holding(rule: Rule, wait: Wait, says: str, assumed: frozenset[str] = frozenset()) -> Claim:
    """Return the claim of a wait within its limit, on its example figures and on what else is assumed."""
    return rule.holds(wait.group.ids, says, assumptions=kinds_of(wait.seen) | assumed)


def kinds_of(seen: Iterable[Arrival]) -> frozenset[str]:
    """Return the example figures that some arrivals rest on."""
    return frozenset[str]().union(*(arrival.span.kinds for arrival in seen))


def path_of(ask: Ask, wait: Wait, arrival: Arrival) -> DelayLedger:
    """Return the ledger of an arrival, for the first source that is looked at."""
    source = next(bits(arrival.sources & wait.sources))
    return delay_ledger(ask, ask(arrivals), wait.feed, arrival, source)


def late_claim(rule: Rule, ask: Ask, wait: Wait, says: str, budget: Budget, spot: Spot, extra: str = "") -> Claim:
    """Return the claim of a wait above its limit, with the ledger as evidence."""
    worst, group = wait.worst, wait.group
    path = path_of(ask, wait, worst)
    most = max(path.entries, key=lambda entry: entry.worst_s or 0.0)
    names = sources_words(ask, wait, worst)
    late, ids = span_words(worst.span.least_s, worst.span.worst_s), feed_names(group)
    return rule.broken(
        group.ids,
        says,
        spot=spot,
        message=f"{names}: {late} late to {listener(group)} by {ids}; at most {worded(wait.limit_s, 's')} for {budget.use}{extra}",
        because=[*(entry.because for entry in path.entries), Because(spot, budget.source)],
        fix=f"shorten the way: {most.words} alone takes {span_words(most.least_s, most.worst_s)}"
        f"; or {budget.instead}",
        severity=budget.severity(worst.span.worst_s),
        rests_on=[f"feed {name}" for name in group.ids],
        lines=[name for name in ask(arrivals).graph.mixing.names(worst.sources & wait.sources) if name in ask.model.lines],
        feeds=group.ids,
    )  # fmt: skip


def is_unknown(wait: Wait) -> bool:
    """Return whether a figure is missing on one of the ways."""
    return any(arrival.span.missing for arrival in wait.seen)


def open_claims(
    rule: Rule, ask: Ask, waits: Sequence[Wait], use: str, which: Callable[[str], bool] = bool
) -> Iterator[Claim]:
    """Yield one open claim a figure that is not written, of those that count, with all the feeds that wait for it."""
    by_figure: dict[str, list[Wait]] = {}
    for wait in waits:
        for words in dict.fromkeys(word for arrival in wait.seen for word in arrival.span.missing if which(word)):
            by_figure.setdefault(words, []).append(wait)
    for words, waiting in by_figure.items():
        wait, arrival = max(
            ((wait, arrival) for wait in waiting for arrival in wait.seen if words in arrival.span.missing),
            key=lambda item: item[1].span.worst_s,
        )
        entries = path_of(ask, wait, arrival).entries
        spot = next((entry.spot for entry in entries if entry.words == words), wait.group.first.at.spot("mix"))
        feeds = listed([name for one in waiting for name in one.group.ids])
        late = span_words(arrival.span.least_s, arrival.span.worst_s)
        yield rule.open(
            subject_of(words),
            f"what comes by {feeds} is in time for {use}",
            spot=spot,
            missing=f"{words} is not written, so the delay of {feeds} is not known; {sources_words(ask, wait, arrival)} "
            f"by {feed_names(wait.group)}: {late} and what that adds",
            fix=f"write {closing(ask.model, words)}, from the data sheet or measured",
        )


def subject_of(words: str) -> tuple[str, str]:
    """Return a figure as the subject of a claim: ('kind line-codec', 'processing'), ('ICM-1', 'link offset')."""
    what, _, whose = words.partition(" of ")
    return whose, what


def is_far(model: Model, words: str) -> bool:
    """Return whether a missing figure may be any: of a codec, a telephone, a desk that is not ours, or of who knows what."""
    what, _, whose = words.partition(" of ")
    kind = model.library.kinds.get(whose.removeprefix("kind "))
    return what != "link offset" and (kind is None or kind.returns or kind.role in FAR)


def taken(model: Model, span: Span) -> tuple[float, frozenset[str]]:
    """Return the most that the missing figures near by add, and the assumptions under which they add no more. [s]"""
    near = [words for words in span.missing if not is_far(model, words)]
    keys = (" ".join(subject_of(words)) if not words.partition(" of ")[2].startswith("kind ") else subject_of(words)[0]
            for words in near)  # fmt: skip
    return LOCAL_S * len(near), frozenset(keys)


def sources_words(ask: Ask, wait: Wait, arrival: Arrival) -> str:
    """Return the sources of an arrival that are looked at, as a reader calls them."""
    return named(ask.model, ask(arrivals).graph.mixing.names(arrival.sources & wait.sources))


def closing(model: Model, words: str) -> str:
    """Return what to write, and in which file, so that a figure is known."""
    what, _, whose = words.partition(" of ")
    if whose.startswith("kind "):
        column = "'converter' of the jacks" if what == "converter" else "'processing'"
        return f"{column} of {whose} in your own kinds/"
    if what == "link offset" and whose in model.devices:
        return f"'link offset' of {whose} in {model.devices[whose].at.spot().file}"
    if words == UNPATCHED:
        return "the strip of each line in lines.csv"
    return f"{whose} under devices in rig.yaml, with its kind"
