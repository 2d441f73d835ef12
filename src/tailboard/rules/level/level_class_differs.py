"""The level of a signal is not the level its input is made for.

What it finds: microphone, +4 dBu, -10 dBV, headphone, loudspeaker, powered-intercom or digital level against the class
of the jack it is plugged into; and a line whose level in the list is not that of the jack it comes from. A line level
into a microphone input that says where it clips is judged by peak-clips.
Why it matters: 11.8 dB too much distorts, 11.8 dB too little hisses; a loudspeaker level or a powered line destroys.
Example: PBC-1/1 gives -10 dBV, and its cable ends in an input for +4 dBu.
Fix: use an input of that class, or a DI, transformer or pad between the two, and write it.
Does not find: a switch for mic and line that stands wrong; two desks with different alignment levels.
Source: +4 dBu is 1.228 V ("Alignment level", second-hand), -10 dBV is 0.316 V (arithmetic): 11.8 dB apart.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.levels import NOMINAL_DBU, HoleLevel, levels
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.kinds.records import PortKind
from tailboard.model.records import Line
from tailboard.rules.chain.common import titled
from tailboard.units.wording import plain

RULE = Rule("level-class-differs", "level", Severity.ERROR, __doc__)
Misfit = tuple[Severity, str]


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line whose level and jack are known, and one a cable or feed between two other known jacks."""
    found = ask(levels)
    holes = set()
    for name, level in found.items():
        line = ask.model.lines[name]
        holes.add(line.hole)
        if level.level is not None and level.taken is not None:
            yield of_line(ask, line, level, level.level, level.taken)
    for name, cable in ask.model.cables.items():
        end_a, end_b = ask(wiring).ends[name]
        if cable.state == "plugged" and end_a and end_b and not {end_a, end_b} & holes:
            yield from of_cable(ask, name, end_a, end_b)
    for name, feed in ask.model.feeds.items():
        if len(feed.outputs) == len(feed.gear) == 1 and not ask(wiring).at.get(feed.outputs[0]):
            yield from of_feed(ask, name, feed.outputs[0], feed.gear[0])


def misfit(given: str, jack: PortKind) -> Misfit | None:
    """Return how bad a level is for a jack, and in words; None where it fits or the jack's class is not known."""
    taken = jack.level or ("digital" if jack.medium == "digital" else None)
    if taken is None or given == taken:
        return None
    amplified = jack.gain_db is not None and jack.gain_db[1] > 0
    if given == "wet line" or taken == "wet line":
        return Severity.ERROR, "a powered intercom line carries a direct voltage"
    if "digital" in {given, taken} or "loudspeaker" in {given, taken}:
        return Severity.ERROR, "they never meet without a converter or an amplifier" if "digital" in {
            given,
            taken,
        } else "an amplifier's output and a line are volts apart"
    if given == "mic":
        return None if amplified else (Severity.ERROR, "the input has no preamplifier for it")
    if taken == "mic":
        return None
    if given in NOMINAL_DBU and taken in NOMINAL_DBU:
        gap_db = NOMINAL_DBU[given] - NOMINAL_DBU[taken]
        if gap_db < 0 and amplified:
            return None
        return Severity.WARNING, f"it is {plain(abs(gap_db), 1)} dB too {'high' if gap_db > 0 else 'low'}"
    return Severity.NOTE, "a headphone level is not a line level"


def of_line(ask: Ask, line: Line, level: HoleLevel, given: str, jack: PortKind) -> Claim:
    """Return the claim of one line."""
    says = f"the level of line {line.id}, {given}, fits {line.hole}"
    problem = misfit(given, jack)
    attribute = "level" if line.level else "type" if line.type else "hole"
    if problem is not None:
        severity, words = problem
        return RULE.broken(
            f"line {line.id}",
            says,
            spot=line.at.spot(attribute),
            message=f"{titled(line)} gives {given} to {line.hole}, an input for {jack.level or jack.medium}: {words}",
            because=[Because(line.at.spot("hole"), f"line {line.id} is in {line.hole}")],
            fix=f"use an input for {given}, or put what brings it to {jack.level or jack.medium} before {line.hole}",
            severity=severity,
            rests_on=[f"hole {line.hole}"],
            lines=[line.id],
        )
    if level.given and level.sent and level.given != level.sent and level.way is not None:
        cable = level.way.cables[0]
        return RULE.broken(
            f"line {line.id}",
            says,
            spot=line.at.spot(attribute),
            message=f"{titled(line)} is planned as {level.given}; {cable} brings {level.sent} from {level.sender} to {line.hole}",
            because=[Because(ask.model.cables[cable].at.spot("end_a"), f"{cable} begins at {level.sender}")],
            fix=f"correct the type or level of line {line.id}, or the cable",
            severity=Severity.WARNING,
            rests_on=[f"hole {line.hole}", f"cable {cable}"],
            lines=[line.id],
        )
    return RULE.holds(f"line {line.id}", says)


def of_cable(ask: Ask, name: str, end_a: str, end_b: str) -> Iterator[Claim]:
    """Yield the claim of a cable between an output and an input whose classes are known."""
    jack_a, jack_b = ask.model.port_kind(end_a), ask.model.port_kind(end_b)
    if jack_a is None or jack_b is None:
        return
    if jack_a.way == "in" and jack_b.way == "out":
        end_a, jack_a, end_b, jack_b = end_b, jack_b, end_a, jack_a
    if not jack_a.level or not jack_b.level or jack_a.way == "in" or jack_b.way == "out":
        return
    at = ask.model.cables[name].at
    begins = Because(at.spot("end_a"), f"{name} begins at {end_a}")
    yield brought(f"cable {name}", name, (end_a, end_b), (jack_a, jack_b), at.spot("end_b"), begins)


def of_feed(ask: Ask, name: str, output: str, gear: str) -> Iterator[Claim]:
    """Yield the claim of a feed of which no cable is written, from its output to the jack of its gear."""
    jack_a, jack_b = ask.model.port_kind(output), ask.model.port_kind(gear)
    if jack_a is None or jack_b is None or not jack_a.level or not jack_b.level:
        return
    at = ask.model.feeds[name].at
    begins = Because(at.spot("outputs"), f"feed {name} leaves by {output}")
    yield brought(f"feed {name}", f"feed {name}", (output, gear), (jack_a, jack_b), at.spot("gear"), begins)


def brought(
    subject: str, what: str, ends: tuple[str, str], jacks: tuple[PortKind, PortKind], spot: Spot, begins: Because
) -> Claim:
    """Return the claim that a cable or feed brings the class of one jack to an input for it."""
    level = jacks[0].level or ""
    says = f"{what} brings {level} to an input for it"
    problem = misfit(level, jacks[1])
    if problem is None:
        return RULE.holds(subject, says)
    kind, _, name = subject.partition(" ")
    return RULE.broken(
        subject,
        says,
        spot=spot,
        message=f"{what} brings {level} from {ends[0]} to {ends[1]}, an input for {jacks[1].level}: {problem[1]}",
        because=[begins],
        fix=f"use an input for {level}, or put what brings it to {jacks[1].level} before {ends[1]}",
        severity=problem[0],
        rests_on=[subject] if kind == "cable" else [],
        feeds=[name] if kind == "feed" else [],
    )
