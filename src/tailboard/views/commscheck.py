"""The comms check: each station on each party line it must hear and on none it must not, each feed with its interrupts."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple, TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.party_lines import party_lines
from tailboard.model.records import Feed, Station
from tailboard.model.show import Model
from tailboard.record.operations import COMMS
from tailboard.text.ranges import compress
from tailboard.views.cautions import TONE
from tailboard.views.linecheck import walk
from tailboard.views.noted import NotedView, Plan, row_sum

SCHEMA = "tailboard/comms-check/1"
HEARD, NOT_HEARD = "heard", "not heard"


class CommsRowView(TypedDict):
    """One thing to try. `expected` is 'heard' or 'not heard'; `judged`: 'as it must be', 'not as it must be', 'differ' or empty.

    who, what  the station or feed with its person, and what to do, in words.
    """

    key: str
    sum: str
    who: str
    what: str
    expected: str
    judged: str
    noted: NotedView


class CommsPlaceView(TypedDict):
    """One place in walking order."""

    place: str
    words: str
    rows: list[CommsRowView]


class CommsCheckView(TypedDict):
    """The whole comms check; done, wrong, open: how many rows are as they must be, are not, are not tried."""

    schema: str
    version: str
    plan_sum: str
    cautions: list[str]
    places: list[CommsPlaceView]
    rows: int
    done: int
    wrong: int
    open: int


class Trial(NamedTuple):
    """One thing to try, before anybody noted anything: its place, the row's key, who, what, and what is expected."""

    place: str
    key: str
    who: str
    what: str
    expected: str


def comms_check_view(ask: Ask, plan: Plan) -> CommsCheckView:
    """Return the comms check."""
    model = ask.model
    at: dict[str, list[CommsRowView]] = {}
    for trial in (*station_trials(ask), *feed_trials(model)):
        at.setdefault(trial.place, []).append(row_view(trial, plan))
    places: list[CommsPlaceView] = [
        {"place": name, "words": model.places[name].name if name in model.places else "", "rows": at[name]}
        for name in sorted(at, key=lambda name: walk(model, name))
    ]
    judged = [row["judged"] for place in places for row in place["rows"]]
    return {
        "schema": SCHEMA,
        "version": plan.version,
        "plan_sum": plan.plan_sum,
        "cautions": [TONE],
        "places": places,
        "rows": len(judged),
        "done": judged.count("as it must be"),
        "wrong": judged.count("not as it must be") + judged.count("differ"),
        "open": judged.count(""),
    }


def station_trials(ask: Ask) -> Iterator[Trial]:
    """Yield what to try at each station: its party lines, what it keys, and the party lines it must be absent from."""
    channels = ask(party_lines).channels
    lines = [name for name, channel in channels.items() if channel.talk]
    for name, station in ask.model.stations.items():
        who = f"{name}, {station.person}" if station.person else name
        place = station.place or ""
        own = [line for line in lines if line in (*station.listen, *station.talk)]
        for line in own:
            yield Trial(place, f"{line} at {name}", who, party_line_words(station, line), HEARD)
        away = [line for line in lines if line not in own and line not in station.keys]
        if away:
            words = f"call on {compress(away)} one after another; {name} hears none of them"
            yield Trial(place, f"absent at {name}", who, words, NOT_HEARD)
        if station.keys:
            words = f"{name} holds each key in turn ({compress(station.keys)}); each is heard where it leads"
            yield Trial(place, f"keys of {name}", who, words, HEARD)


def party_line_words(station: Station, line: str) -> str:
    """Return what to try between a station and a party line."""
    if line not in station.listen:
        return f"{station.id} speaks on {line}: the others on it hear him"
    if line not in station.talk:
        return f"call on {line}: {station.id} hears it; he only listens"
    return f"call on {line}: {station.id} hears it and answers, and is heard"


def feed_trials(model: Model) -> Iterator[Trial]:
    """Yield what to try at each feed that an ear hears: the mix, the own voice, each interrupt."""
    for name, feed in model.feeds.items():
        if feed.by != "ear" and not feed.interrupts:
            continue
        who = f"{name}, {feed.listener}" if feed.listener else name
        place = feed.place or ""
        yield Trial(place, f"mix at {name}", who, f"{compress(feed.mix)} is heard on {name}", HEARD)
        own = own_lines(feed)
        if own:
            words = f"speak on line {compress(own)}: the own voice is not heard on {name}"
            yield Trial(place, f"own voice at {name}", who, words, NOT_HEARD)
        for caller in feed.interrupts:
            back = "" if feed.dip == "mix" else " and comes back"
            words = f"{caller} interrupts {name}: heard, the mix {feed.dip_words}{back}"
            yield Trial(place, f"{caller} at {name}", who, words, HEARD)


def own_lines(feed: Feed) -> tuple[str, ...]:
    """Return the lines that must not come back to the listener."""
    return feed.own or feed.minus


def row_view(trial: Trial, plan: Plan) -> CommsRowView:
    """Return one row with what was noted."""
    total = row_sum({"what": trial.what, "expected": trial.expected})
    noted = plan.noted(COMMS, trial.key, total)
    return {
        "key": trial.key,
        "sum": total,
        "who": trial.who,
        "what": trial.what,
        "expected": trial.expected,
        "judged": judged(noted["state"], trial.expected),
        "noted": noted,
    }


def judged(state: str, expected: str) -> str:
    """Return whether a result is as it must be."""
    if state == "conflict":
        return "differ"
    if state not in {HEARD, NOT_HEARD}:
        return ""
    return "as it must be" if state == expected else "not as it must be"
