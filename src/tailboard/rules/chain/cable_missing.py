"""A jack in use has no cable, though others like it have theirs.

What it finds: a hole with a line for which no cable is written, where most lines of its sort (with gear, or a microphone on
its cable) have theirs, at a device where other holes have one; in the same way an output with a feed and its gear.
Where most of the device have none it is worth a note.
Why it matters: the crew lays what the list of cables says; nobody brings this one, and nobody misses it before line check.
Example: M-01..06 and M-08..16 end at SB-1/1..6 and SB-1/8..16, and line 7 is in SB-1/7.
Fix: write the cable, or take the line or feed out of the list.
Does not find: a show or a device of which only some cables are written on purpose. A spare feed without gear.
Source: common practice, no source.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import LINE_JACKS, occupancy
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Feed, Line
from tailboard.model.show import device_of, jack_of
from tailboard.rules.chain.common import is_spare
from tailboard.units.wording import counted, listed

RULE = Rule("cable-missing", "chain", Severity.WARNING, __doc__)
SHOWN = 6  # jacks named in the message: own choice
Used = tuple[str, Line | Feed]  # a jack and the row that uses it


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with cables at its holes in use, and one for its outputs."""
    at = ask(wiring).at
    if not at:
        return
    cabled: Counter[str] = Counter()  # by sort of row
    bare: Counter[str] = Counter()
    here: Counter[tuple[str, str]] = Counter()
    found: dict[tuple[str, str], list[Used]] = {}
    for port, row in in_use(ask):
        key = (device_of(port), "hole" if isinstance(row, Line) else "output")
        without = found.setdefault(key, [])
        if port in at or row.cable in ask.model.cables:
            cabled[sort_of(row)] += 1
            here[key] += 1
        else:
            bare[sort_of(row)] += 1
            without.append((port, row))
    for key, without in found.items():
        if here[key]:
            missed = [(port, row) for port, row in without if cabled[sort_of(row)] > bare[sort_of(row)]]
            yield judged(*key, here[key], missed)


def in_use(ask: Ask) -> Iterator[Used]:
    """Yield the audio jacks that want a cable, by the rows: holes of lines, and outputs of feeds that go to some gear."""
    entered = ask(occupancy).receives
    used: list[Used] = [(line.hole, line) for line in ask.model.lines.values() if line.hole]
    leaving: list[Used] = [(output, feed) for feed in ask.model.feeds.values() if feed.gear for output in feed.outputs]
    for port, row in (*used, *leaving):
        device, jack = device_of(port), jack_of(port)
        kind = ask.model.port_kind(port)
        if not jack or device not in ask.model.devices or (kind is not None and kind.medium not in LINE_JACKS):
            continue
        if kind is None or kind.medium != "digital" or jack not in entered.get(device, {}):  # a stream needs no cable
            yield port, row


def sort_of(row: Line | Feed) -> str:
    """Return which rows are compared with which: a list may write the cables of gear and leave those of microphones out."""
    return "feed" if isinstance(row, Feed) else "gear" if row.gear else "microphone"


def judged(device: str, word: str, cabled: int, missed: list[Used]) -> Claim:
    """Return the claim on the holes or the outputs of one device."""
    says = f"a cable is written for every {word} in use of {device}"
    if not missed:
        return RULE.holds((device, f"{word}s"), says)
    rows = [row for _, row in missed]
    few = len(missed) >= cabled or all(isinstance(row, Line) and is_spare(row) for row in rows)
    shown = listed([f"{port} ({titled(row)})" for port, row in missed], SHOWN)
    others = f"{counted(cabled, f'other {word}')} of {device} in use {'has' if cabled == 1 else 'have'} one"
    return RULE.broken(
        (device, f"{word}s"),
        says,
        spot=rows[0].at.spot(attribute(rows[0])),
        message=f"no cable is written for {shown}, though {others}",
        because=[Because(row.at.spot(attribute(row)), f"{titled(row)} uses {port}") for port, row in missed[1:]],
        fix=f"write the cable at {missed[0][0]} under cables in show.yaml, or correct the list",
        severity=Severity.NOTE if few else None,
        rests_on=[titled(row) for row in rows],
        lines=[row.id for row in rows if isinstance(row, Line)],
        feeds=dict.fromkeys(row.id for row in rows if isinstance(row, Feed)),
    )


def attribute(row: Line | Feed) -> str:
    """Return the column in which a row names its jack."""
    return "hole" if isinstance(row, Line) else "outputs"


def titled(row: Line | Feed) -> str:
    """Return a row as people call it."""
    return f"line {row.id}" if isinstance(row, Line) else f"feed {row.id}"
