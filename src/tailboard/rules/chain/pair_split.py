"""The two lines of a stereo pair are not treated alike.

What it finds: a pair that only one of the two lines names, or whose lines differ in box, 48 V, gain, pad, type or level,
or come to a receiver in streams with other packet times, or one of them alone. Holes or strips that are not neighbours are worth a note.
Why it matters: the image shifts, the sound is hollow in mono, and two delays or two gains are heard as a fault.
Example: line 1 with pair 2 is in SB-1/1, line 2 in SB-2/1.
Fix: bring both lines to one box and give them the same settings.
Does not find: left and right exchanged, inverted polarity; the line check does.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.labels import holes_by_channel
from tailboard.answers.streams import StreamPlan, streams
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import device_of, jack_of
from tailboard.rules.chain.common import natural
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


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a pair."""
    lines = ask.model.lines
    seen: set[tuple[str, ...]] = set()
    arriving: dict[str, dict[str, StreamPlan]] | None = None
    for name, line in lines.items():
        if line.pair is None or line.pair not in lines:
            continue
        subject = tuple(sorted((name, line.pair), key=natural))
        if subject in seen:
            continue
        seen.add(subject)
        if arriving is None:
            arriving = arrivals(ask)
        yield pair(lines[subject[0]], lines[subject[-1]], arriving, subject)


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


def pair(one: Line, other: Line, arriving: dict[str, dict[str, StreamPlan]], subject: tuple[str, ...]) -> Claim:
    """Return the claim of one pair."""
    says = f"lines {one.id} and {other.id} are a pair, treated alike"
    if one is other:
        return split(
            one,
            other,
            subject,
            says,
            "pair",
            f"line {one.id} is written as its own pair",
            f"write the other line of the pair of line {one.id}",
        )
    if one.pair != other.id or other.pair != one.id:
        named, silent = (one, other) if one.pair == other.id else (other, one)
        has = f"has the pair {silent.pair}" if silent.pair else "has no pair"
        return split(
            named,
            silent,
            subject,
            says,
            "pair",
            f"line {named.id} is the pair of line {silent.id}, but line {silent.id} {has}",
            f"write {named.id} as the pair of line {silent.id}, or correct that of line {named.id}",
        )
    for what, attribute, read in ALIKE:
        if read(one) != read(other):
            words = f"{what} of line {one.id} is {read(one) or 'not written'}, of line {other.id} {read(other) or 'not written'}"
            return split(
                one,
                other,
                subject,
                says,
                attribute,
                f"lines {one.id} and {other.id} are a pair, but {words}",
                f"give lines {one.id} and {other.id} the same {what}",
            )
    at_one, at_other = arriving.get(one.hole or "", {}), arriving.get(other.hole or "", {})
    device = apart_at(at_one, at_other)
    if device:
        words = " and ".join(
            worded_arrival(line.hole, at.get(device)) for line, at in ((one, at_one), (other, at_other))
        )
        message = f"lines {one.id} and {other.id} are a pair, but at {device} {words}"
        return split(
            one, other, subject, says, "hole", message, f"bring {one.hole} and {other.hole} to {device} in one stream"
        )
    return apart(one, other, subject, says) or RULE.holds(subject, says)


def split(
    one: Line,
    other: Line,
    subject: tuple[str, ...],
    says: str,
    attribute: str,
    message: str,
    fix: str,
    severity: Severity | None = None,
) -> Claim:
    """Return the broken claim of a pair; the row of `other` is the one to edit."""
    return RULE.broken(
        subject,
        says,
        spot=other.at.spot(attribute),
        message=message,
        because=[Because(one.at.spot(attribute), f"line {one.id}")] if one is not other else (),
        fix=fix,
        severity=severity,
        rests_on=[f"line {one.id}", f"line {other.id}"],
        lines=dict.fromkeys((one.id, other.id)),
    )


def apart(one: Line, other: Line, subject: tuple[str, ...], says: str) -> Claim | None:
    """Return the note on a pair whose holes or strips are not neighbours."""
    for attribute, ports in (("hole", (one.hole, other.hole)), ("strips", (first_strip(one), first_strip(other)))):
        numbers = [int(jack_of(port)) for port in ports if port and jack_of(port).isdecimal()]
        if len(numbers) == 2 and abs(numbers[0] - numbers[1]) > 1:
            return split(
                one,
                other,
                subject,
                says,
                attribute,
                f"lines {one.id} and {other.id} are a pair; {ports[0]} and {ports[1]} are not neighbours",
                f"give lines {one.id} and {other.id} neighbouring {'holes' if attribute == 'hole' else 'strips'}",
                Severity.NOTE,
            )
    return None


def first_strip(line: Line) -> str | None:
    """Return a line's first strip."""
    return line.strips[0] if line.strips else None
