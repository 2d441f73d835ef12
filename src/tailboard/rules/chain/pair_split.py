"""The two lines of a stereo pair are not treated alike.

What it finds: a pair that only one of the two lines names, or whose lines differ in box, 48 V, gain, pad, type or level,
come to a receiver in streams with other packet times, or one of them alone; a bus or feed that holds one of the two, by
its members or its minus. Holes or strips that are not neighbours are worth a note.
Why it matters: the image shifts, the sound is hollow in mono, and two delays or two gains are heard as a fault.
Example: line 1 with pair 2 is in SB-1/1, line 2 in SB-2/1.
Fix: bring both lines to one box and give them the same settings.
Does not find: left and right exchanged, inverted polarity; the line check does. A mix of one line and nothing else, such
as a track of its own.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.labels import holes_by_channel
from tailboard.answers.mixing import Mix, Mixing, mixing
from tailboard.answers.streams import StreamPlan, streams
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line, LineSet
from tailboard.model.show import device_of, jack_of
from tailboard.rules.chain.common import natural
from tailboard.text.fields import Record
from tailboard.units.wording import worded

RULE = Rule("pair-split", "chain", Severity.WARNING, __doc__)
ALIKE: tuple[tuple[str, str, Callable[[Line], str]], ...] = (
    ("box", "hole", lambda line: device_of(line.hole or "")),
    ("48 V", "phantom", lambda line: "on" if line.phantom else "off"),
    ("gain", "gain_db", lambda line: "" if line.gain_db is None else worded(line.gain_db, "dB")),
    ("pad", "pad_db", lambda line: "none" if line.pad_db is None else worded(line.pad_db, "dB")),
    ("type", "type", lambda line: line.type or ""),
    ("level", "level", lambda line: line.level or ""),
)


@dataclass(frozen=True, slots=True)
class Split:
    """What parts a pair: the row and column to edit, in words, and the repair."""

    row: Record
    attribute: str
    message: str
    fix: str
    severity: Severity | None = None


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a pair."""
    lines = ask.model.lines
    seen: set[tuple[str, ...]] = set()
    arriving: dict[str, dict[str, StreamPlan]] | None = None
    naming: dict[str, dict[str, Mix]] = {}
    for name, line in lines.items():
        if line.pair is None or line.pair not in lines:
            continue
        subject = tuple(sorted((name, line.pair), key=natural))
        if subject in seen:
            continue
        seen.add(subject)
        if arriving is None:
            arriving, naming = arrivals(ask), mixes_naming(ask(mixing))
        one, other = lines[subject[0]], lines[subject[-1]]
        split = (
            one_sided(one, other)
            or unlike(one, other)
            or late(one, other, arriving)
            or half_mixed(one, other, ask(mixing), naming)
            or apart(one, other)
        )
        yield judged(one, other, split)


def mixes_naming(mixes: Mixing) -> dict[str, dict[str, Mix]]:
    """Return for each line the buses and feeds that name it, by itself or by a set, among their members or in their minus."""
    found: dict[str, dict[str, Mix]] = {}
    for mix in mixes.mixes.values():
        if isinstance(mix.record, LineSet):
            continue
        for name in dict.fromkeys((*mix.members, *mix.record.minus)):
            inner = mixes.mixes.get(f"set {name}")
            for line in inner.members if inner is not None else (name,):
                found.setdefault(line, {})[mix.name] = mix
    return found


def arrivals(ask: Ask) -> dict[str, dict[str, StreamPlan]]:
    """Return for each hole in a stream the receivers, each with the first stream that brings the hole there."""
    model = ask.model
    found: dict[str, dict[str, StreamPlan]] = {}
    for plan in ask(streams).plans.values():
        holes = holes_by_channel(model.kind_of(plan.sender))
        for number, content in enumerate(plan.contents):
            channel = content.removeprefix(f"{plan.sender} send ")
            at = found.setdefault(f"{plan.sender}/{holes.get(channel, channel)}", {})
            for device, enters in plan.receivers.items():
                if enters[number]:
                    at.setdefault(device, plan)
    return found


def apart_at(one: dict[str, StreamPlan], other: dict[str, StreamPlan]) -> str:
    """Return the first receiver that two holes reach with different packet times, or only one of them reaches."""
    for device in (*one, *other):
        if device not in one or device not in other or one[device].packet_time_s != other[device].packet_time_s:
            return device
    return ""


def worded_arrival(hole: str | None, plan: StreamPlan | None) -> str:
    """Return how a hole reaches a receiver."""
    if plan is None:
        return f"no stream brings {hole} there"
    packet = worded(plan.packet_time_s, "s") if plan.packet_time_s else "not written"
    return f"{plan.name} brings {hole} there (packet time {packet})"


def judged(one: Line, other: Line, split: Split | None) -> Claim:
    """Return the claim of one pair."""
    subject = (one.id, other.id)
    says = f"lines {one.id} and {other.id} are a pair, treated alike"
    if split is None:
        return RULE.holds(subject, says)
    return RULE.broken(
        subject,
        says,
        spot=split.row.at.spot(split.attribute),
        message=split.message,
        because=[
            Because(line.at.spot(split.attribute if isinstance(split.row, Line) else "pair"), f"line {line.id}")
            for line in (one, other)
            if line is not split.row
        ],
        fix=split.fix,
        severity=split.severity,
        rests_on=[f"line {one.id}", f"line {other.id}"],
        lines=dict.fromkeys(subject),
    )


def one_sided(one: Line, other: Line) -> Split | None:
    """Return what is wrong with who names whom."""
    if one is other:
        words = f"line {one.id} is written as its own pair"
        return Split(one, "pair", words, f"write the other line of the pair of line {one.id}")
    if one.pair == other.id and other.pair == one.id:
        return None
    named, silent = (one, other) if one.pair == other.id else (other, one)
    has = f"has the pair {silent.pair}" if silent.pair else "has no pair"
    words = f"line {silent.id} is the pair of line {named.id}, but line {silent.id} {has}"
    return Split(
        silent, "pair", words, f"write {named.id} as the pair of line {silent.id}, or correct that of line {named.id}"
    )


def unlike(one: Line, other: Line) -> Split | None:
    """Return the first setting in which the two differ."""
    for what, attribute, read in ALIKE:
        if read(one) != read(other):
            words = " and ".join(f"{read(line) or 'not written'} at line {line.id}" for line in (one, other))
            message = f"lines {one.id} and {other.id} are a pair, but the {what} is {words}"
            return Split(other, attribute, message, f"give lines {one.id} and {other.id} the same {what}")
    return None


def late(one: Line, other: Line, arriving: dict[str, dict[str, StreamPlan]]) -> Split | None:
    """Return the receiver that the two reach in streams of different packet time, or that only one reaches."""
    ways = [(line.hole, arriving.get(line.hole or "", {})) for line in (one, other)]
    device = apart_at(ways[0][1], ways[1][1])
    if not device:
        return None
    words = " and ".join(worded_arrival(hole, at.get(device)) for hole, at in ways)
    message = f"lines {one.id} and {other.id} are a pair, but at {device} {words}"
    return Split(other, "hole", message, f"bring {one.hole} and {other.hole} to {device} in one stream")


def half_mixed(one: Line, other: Line, mixes: Mixing, naming: dict[str, dict[str, Mix]]) -> Split | None:
    """Return the first bus or feed that names one of the two and holds one of them without the other, but not by itself."""
    for mix in {**naming.get(one.id, {}), **naming.get(other.id, {})}.values():
        held = [line for line in (one, other) if mix.mask >> mixes.index[f"line {line.id}"] & 1]
        if len(held) == 1 and mix.mask & (mix.mask - 1):
            left = other if held[0] is one else one
            out = mix.minus >> mixes.index[f"line {left.id}"] & 1
            message = f"lines {one.id} and {other.id} are a pair, but {mix.name} holds line {held[0].id} without line {left.id}"
            fix = f"put line {left.id} into {mix.name} too, or take line {held[0].id} out of it"
            return Split(mix.record, "minus" if out else mix.attribute, message, fix)
    return None


def apart(one: Line, other: Line) -> Split | None:
    """Return the note on a pair whose holes or strips are on one device, but no neighbours."""
    strips = [line.strips[0] if line.strips else "" for line in (one, other)]
    for attribute, word, ports in (("hole", "holes", [one.hole or "", other.hole or ""]), ("strips", "strips", strips)):
        numbers = [int(jack_of(port)) for port in ports if jack_of(port).isdecimal()]
        if len(numbers) == 2 and abs(numbers[0] - numbers[1]) > 1 and device_of(ports[0]) == device_of(ports[1]):
            words = f"lines {one.id} and {other.id} are a pair; {ports[0]} and {ports[1]} are no neighbours"
            return Split(
                other, attribute, words, f"give lines {one.id} and {other.id} neighbouring {word}", Severity.NOTE
            )
    return None
