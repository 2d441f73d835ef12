"""The two lines of a stereo pair are not treated alike.

What it finds: a pair that only one of the two lines names, or whose lines differ in box, 48 V, gain, pad, type or level,
or are in streams with other packet times or receivers. Holes or strips that are not neighbours are worth a note.
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
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line, Stream
from tailboard.model.show import Model, device_of, jack_of
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
    streams: dict[str, Stream] | None = None
    for name, line in lines.items():
        if line.pair is None or line.pair not in lines:
            continue
        subject = tuple(sorted((name, line.pair), key=natural))
        if subject in seen:
            continue
        seen.add(subject)
        if streams is None:
            streams = stream_of_hole(ask.model)
        yield pair(lines[subject[0]], lines[subject[-1]], streams, subject)


def stream_of_hole(model: Model) -> dict[str, Stream]:
    """Return the first stream written in the plan that carries each hole."""
    found: dict[str, Stream] = {}
    for stream in model.streams.values():
        holes = holes_by_channel(model.kind_of(stream.sender)) if stream.channels else {}
        for channel in stream.channels:
            found.setdefault(f"{stream.sender}/{holes.get(channel, channel)}", stream)
    return found


def timing(stream: Stream | None) -> tuple[float | None, frozenset[str]] | None:
    """Return what decides when and where a stream arrives: its packet time and its receivers."""
    return None if stream is None else (stream.packet_time_s, frozenset(stream.receivers or ()))


def worded_timing(stream: Stream | None) -> str:
    """Return a stream with what decides when and where it arrives."""
    if stream is None:
        return "no stream"
    packet = f"{worded(stream.packet_time_s, 's')} packets" if stream.packet_time_s else "packets of a time not written"
    return f"{stream.id} ({packet} to {', '.join(stream.receivers or ()) or 'nobody'})"


def pair(one: Line, other: Line, streams: dict[str, Stream], subject: tuple[str, ...]) -> Claim:
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
    stream_one, stream_other = streams.get(one.hole or ""), streams.get(other.hole or "")
    if timing(stream_one) != timing(stream_other):
        words = f"{one.hole} is in {worded_timing(stream_one)}, {other.hole} in {worded_timing(stream_other)}"
        message = f"lines {one.id} and {other.id} are a pair, but {words}"
        return split(one, other, subject, says, "hole", message, f"put {one.hole} and {other.hole} into one stream")
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
