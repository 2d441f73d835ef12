"""Something is plugged into a jack that works the other way.

What it finds: a line in an output jack, a feed at an input jack, a line on a port that carries no audio, and a plugged
cable that joins two outputs or two inputs.
Why it matters: no sound passes, and two outputs joined may damage one another.
Example: line 5 is in SB-1/o5, an output.
Fix: use a jack of the right direction; the message names a free one.
Does not find: a plug that does not fit; see plug-does-not-fit. Signals joined inside a device.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.occupancy import LINE_JACKS, occupancy
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.text.fields import Record

RULE = Rule("jack-wrong-way", "chain", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line, a feed and an audio cable whose jacks are known."""
    for name, line in ask.model.lines.items():
        if line.hole:
            yield from used(ask, line, f"line {name}", "hole", line.hole, "in")
    for name, feed in ask.model.feeds.items():
        for output in feed.outputs:
            yield from used(ask, feed, f"feed {name}", "outputs", output, "out")
    for name in ask.model.cables:
        yield from joined(ask, name)


def used(ask: Ask, record: Record, title: str, attribute: str, port: str, way: str) -> Iterator[Claim]:
    """Yield the claim of a line's hole or a feed's output, if the kind of its device lists the jack."""
    kind = ask.model.port_kind(port)
    if kind is None:
        return
    word = "input" if way == "in" else "output"
    says = f"{title} uses {port}, an audio {word}"
    subject = (title,) if way == "in" else (title, port)
    if kind.medium in LINE_JACKS and kind.way in {way, "both"}:
        yield RULE.holds(subject, says)
        return
    is_a = f"a {kind.medium} port" if kind.medium not in LINE_JACKS else "an output" if way == "in" else "an input"
    free = ask(occupancy).free_jacks(device_of(port), way)
    device = ask.model.devices[device_of(port)]
    yield RULE.broken(
        subject,
        says,
        spot=record.at.spot(attribute),
        message=f"{title} is {'in' if way == 'in' else 'at'} {port}, which is {is_a} of {device.id} ({device.kind})",
        because=[Because(device.at.spot("kind"), f"{device.id} is a {device.kind}")],
        fix=f"use an {word} of {device.id}, such as {device.id}/{free[0]}" if free else f"use an {word}",
        breaks=[f"hole {port}", title],
        lines=[record.id] if way == "in" else (),
        feeds=[record.id] if way == "out" else (),
    )


def joined(ask: Ask, cable: str) -> Iterator[Claim]:
    """Yield the claim of a plugged cable between two audio jacks."""
    model = ask.model
    end_a, end_b = ask(wiring).ends[cable]
    kind_a, kind_b = model.port_kind(end_a or ""), model.port_kind(end_b or "")
    if model.cables[cable].state != "plugged" or kind_a is None or kind_b is None or end_a is None or end_b is None:
        return
    if kind_a.medium not in LINE_JACKS or kind_b.medium not in LINE_JACKS:
        return
    says = f"{cable} joins an output and an input"
    if "both" in {kind_a.way, kind_b.way} or kind_a.way != kind_b.way:
        yield RULE.holds(f"cable {cable}", says)
        return
    where = model.cables[cable].at
    yield RULE.broken(
        f"cable {cable}",
        says,
        spot=where.spot("end_b"),
        message=f"{cable} joins two {kind_a.way}puts: {end_a} and {end_b}",
        because=[Because(where.spot("end_a"), f"{cable} begins at {end_a}")],
        fix=f"plug one end of {cable} into an {'input' if kind_a.way == 'out' else 'output'}",
        breaks=[f"cable {cable}"],
        rests_on=[f"hole {end_a}", f"hole {end_b}"],
    )
