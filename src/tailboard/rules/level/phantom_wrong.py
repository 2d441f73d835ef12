"""48 V is on where it must not be, or off where it is needed.

What it finds: 48 V phantom power of a line against its kind of source (needs, never, indifferent), against what the
jack can send, and against a transformer or a splitter between the hole and the microphone: behind a splitter's isolated
output it must come by the direct one. A blank cell is off.
Why it matters: a condenser without it is silent; a line-level output with it may be damaged, and the thump is heard.
Example: line 6, a radio receiver with a +4 dBu output, has 48 V on at SB-1/6.
Fix: mute the strip first, then switch; a change under an open fader is a thump in every ear.
Does not find: 48 V that somebody switched on the box without writing it.
Source: P48 of IEC 61938:2018, 48 V through 6.8 kohm a leg, second-hand; what it does to each source is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.cabling import cabling
from tailboard.answers.levels import HoleLevel, levels
from tailboard.answers.occupancy import occupancy
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Line
from tailboard.model.show import device_of, jack_of
from tailboard.physics.level import phantom_short_current_a
from tailboard.rules.chain.common import example_figures, unwritten
from tailboard.units.wording import plain

RULE = Rule("phantom-wrong", "level", Severity.ERROR, __doc__)
LINE_LEVELS = frozenset({"line +4 dBu", "line -10 dBV", "loudspeaker", "headphone", "wet line"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a line whose source or jack says what 48 V means there."""
    model = ask.model
    written = any(line.phantom is not None for line in model.lines.values())
    needing = [name for name in ask(levels) if wanted(ask, name) == "needs"]
    if not written:
        yield from unwritten(RULE, "line", "48V", "phantom", model.lines, needing, "their microphones may be silent")
        return
    for name, level in ask(levels).items():
        wish = wanted(ask, name, level)
        if wish:
            yield judged(ask, model.lines[name], level, wish)


def wanted(ask: Ask, name: str, level: HoleLevel | None = None) -> str:
    """Return 'needs', 'never', 'indifferent', or '' where nothing says: by the source's kind, else by its level."""
    source = ask.model.source_kind(name)
    own = ask.model.lines[name].level
    if own in LINE_LEVELS:
        return "never"
    if source is not None:
        return source.phantom
    return "never" if level is not None and level.level in LINE_LEVELS else ""


def judged(ask: Ask, line: Line, level: HoleLevel, wish: str) -> Claim:
    """Return the claim of one line."""
    on = bool(line.phantom)
    if wish == "never" and on:
        return harmful(line, level)
    if wish == "needs" and not on:
        return fed_elsewhere(ask, line, level) or wrong(
            line, f"line {line.id}, {line.hole}: 48 V is off, and a {line.type} needs it", "on", Severity.ERROR
        )
    if on and level.taken is not None and not level.taken.phantom:
        device = ask.model.devices[device_of(line.hole or "")]
        worst = Severity.ERROR if wish == "needs" else Severity.WARNING
        return wrong(
            line,
            f"line {line.id}: 48 V is on, and {line.hole} cannot send it",
            "off",
            worst,
            Because(device.at.spot("kind"), f"{device.id} is a {device.kind}"),
            f"use a jack that can send 48 V, or feed the {line.type or 'source'} of line {line.id} otherwise",
        )
    return (on and blocked(ask, line, level, wish)) or RULE.holds(
        line.id,
        f"48 V of line {line.id} is {'on' if on else 'off'}, as its source wants it",
        assumptions=assumed(ask, line, level),
    )


def assumed(ask: Ask, line: Line, level: HoleLevel) -> tuple[str, ...]:
    """Return the example figures a good verdict rests on: that the jack can send 48 V."""
    return example_figures(ask.model.kind_of(device_of(line.hole or ""))) if line.phantom and level.taken else ()


def harmful(line: Line, level: HoleLevel) -> Claim:
    """Return the claim of a line with 48 V on a source that must not have it."""
    gear = device_of(line.gear or level.sender)
    source = f"{line.type} {gear}".strip() if line.type and not gear.startswith("line ") else line.type or gear
    if level.level in LINE_LEVELS:
        current_ma = plain(1e3 * phantom_short_current_a(), 0)
        what = level.level.removeprefix("line ") if level.level != "wet line" else "wet line"
        message = (
            f"line {line.id}, {line.hole}: 48 V on the {what} output of {source}; up to {current_ma} mA flow into it"
        )
        return wrong(line, message, "off", Severity.ERROR)
    return wrong(
        line, f"line {line.id}, {line.hole}: 48 V on a {source}, which must not have it", "off", Severity.WARNING
    )


def blocked(ask: Ask, line: Line, level: HoleLevel, wish: str) -> Claim | None:
    """Return the claim of a line whose 48 V a transformer stops, or a splitter unless its leg is the direct one; None where nothing does."""
    if wish != "needs" or level.way is None:
        return None
    for cable, end in zip(level.way.cables, level.way.ends, strict=True):
        kind, jack = ask.model.cable_kind(cable), ask.model.port_kind(end)
        if kind is not None and kind.isolated:
            return wrong(
                line,
                f"line {line.id}: 48 V of {line.hole} does not pass {cable}, a {kind.id}",
                "off",
                Severity.ERROR,
                Because(ask.model.cables[cable].at.spot("kind"), f"{cable} is isolated"),
                f"replace {cable} by a cable without a transformer, or feed the {line.type} otherwise",
            )
        if jack is not None and jack.isolated:
            return past_transformer(ask, line, cable, end)
        if ask.model.kind_of(device_of(end)).role == "splitter":
            splitter = ask.model.kind_of(device_of(end))
            direct = any(port.isolated for port in (splitter.ports or {}).values())
            known = example_figures(splitter) if direct else (f"{device_of(end)} 48V",)
            says = f"48 V of {line.hole} reaches line {line.id} through {end}"
            return RULE.holds(line.id, says, assumptions=[*assumed(ask, line, level), *known])
    return None


def past_transformer(ask: Ask, line: Line, cable: str, jack: str) -> Claim:
    """Return the claim of a line whose 48 V stops at an isolated jack."""
    supply = next((other for other in other_legs(ask, jack)), "")
    advice = f"switch it on where {supply} leads" if supply else f"feed the {line.type} otherwise"
    return wrong(
        line,
        f"line {line.id}: 48 V of {line.hole} does not pass {jack}, which a transformer parts from the {line.type}",
        "off",
        Severity.ERROR,
        Because(ask.model.cables[cable].at.spot("end_a"), f"{cable} begins at {jack}"),
        f"write off as 48V of line {line.id}, and {advice}",
    )


def fed_elsewhere(ask: Ask, line: Line, level: HoleLevel) -> Claim | None:
    """Return the claim of a line without 48 V whose microphone gets it, or should get it, by another leg of a splitter."""
    for jack in level.way.ends if level.way is not None else ():
        for other in other_legs(ask, jack):
            for way in ask(cabling).ahead(other):
                box, _, hole = way.ends[-1].partition("/")
                for name in ask(occupancy).holes.get(box, {}).get(hole, ()):
                    if ask.model.lines[name].phantom:
                        says = f"line {line.id} gets its 48 V from {way.ends[-1]} through {other}"
                        return RULE.holds(
                            line.id, says, assumptions=example_figures(ask.model.kind_of(device_of(jack)))
                        )
        kind = ask.model.port_kind(jack)
        if kind is not None and kind.isolated:
            supply = " or ".join(other_legs(ask, jack)) or f"another jack of {device_of(jack)}"
            message = f"line {line.id}: the {line.type} needs 48 V by {supply}, for {jack} is isolated, and nothing in the plan sends it there"
            fix = f"switch 48 V on at the hole where {supply} leads, and write it there"
            spot = ask.model.devices[device_of(jack)].at.spot("kind")
            return wrong(line, message, "off", Severity.ERROR, Because(spot, f"{jack} is isolated"), fix)
    return None


def other_legs(ask: Ask, jack: str) -> tuple[str, ...]:
    """Return the outputs of a splitter that 48 V passes and that share their input with one of its outputs."""
    device = device_of(jack)
    kind = ask.model.kind_of(device)
    if kind.role != "splitter":
        return ()
    shared = [ends for ends in (kind.paths or {}).values() if jack_of(jack) in ends]
    legs = [f"{device}/{name}" for ends in shared for name in ends if name != jack_of(jack)]
    return tuple(leg for leg in legs if (port := ask.model.port_kind(leg)) is not None and not port.isolated)


def wrong(
    line: Line, message: str, state: str, severity: Severity, because: Because | None = None, fix: str = ""
) -> Claim:
    """Return the broken claim of a line."""
    strip = " and ".join(line.strips) or f"line {line.id}"
    reasons = (
        [because]
        if because
        else [Because(line.at.spot("type"), f"line {line.id} is a {line.type}")]
        if line.type
        else []
    )
    return RULE.broken(
        line.id,
        f"48 V of line {line.id} is as its source wants it",
        spot=line.at.spot("phantom"),
        message=message,
        because=reasons,
        fix=fix
        or f"mute {strip} first; switch 48 V {state} at {line.hole}, and write {state} as 48V of line {line.id}",
        severity=severity,
        lines=[line.id],
    )
