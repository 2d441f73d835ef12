"""Something is plugged into a hole that has no line or feed.

What it finds: on a box or console, a plugged audio cable in an input with no line, or at an output with no feed. A cable
that comes from a line, or is on the way of a line, a feed or an intercom circuit, has its name from there.
Why it matters: it is a signal that nobody has on a list, and the hole will be given away a second time.
Example: M-20 runs from RXR-3 to SB-1/20, and no line is there.
Fix: give the hole a line or feed, or write the cable as laid.
Does not find: a plug that no cable is written for.
Source: every used hole has a name, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.cabling import cabling
from tailboard.answers.occupancy import LINE_JACKS, Occupancy, occupancy
from tailboard.answers.wiring import wiring
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.chain.common import natural
from tailboard.text.ranges import compress

RULE = Rule("hole-unnamed", "chain", Severity.WARNING, __doc__)
ROLES = frozenset({"box", "console"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a box or console with audio jacks; it also says which of them are unused."""
    used = ask(occupancy)
    by_device: dict[str, list[str]] = {}
    for port in used.cables:
        by_device.setdefault(port.partition("/")[0], []).append(port)
    known = named_cables(ask)
    for device in ask.model.devices:
        if ask.model.kind_of(device).role in ROLES:
            ports = [port for port in by_device.get(device, ()) if nameless(ask, used, port, known)]
            yield unnamed(ask, used, device, ports) if ports else named(used, device)


def named_cables(ask: Ask) -> set[str]:
    """Return the plugged cables on the way of a line, feed or circuit, and those that begin at a line's source."""
    model, ways = ask.model, ask(cabling)
    known = {cable for name in model.lines for cable in ways.plugged.get(f"line {name}", ())}
    for line in model.lines.values():
        known.update(cable for way in ways.behind(line.hole or "") for cable in way.cables)
    for feed in model.feeds.values():
        known.update(cable for output in feed.outputs for way in ways.ahead(output) for cable in way.cables)
    for circuit in model.circuits.values():
        known.update(cable for end in (circuit.out, circuit.into) if end for cable in ways.plugged.get(end, ()))
    return known


def nameless(ask: Ask, used: Occupancy, port: str, known: set[str]) -> bool:
    """Return whether an audio jack with a plugged cable has neither line nor feed nor circuit."""
    kind = ask.model.port_kind(port)
    if kind is None or kind.medium not in LINE_JACKS:
        return False
    device, _, jack = port.partition("/")
    tables = (used.holes, used.goals, used.outputs, used.strips)
    return not any(jack in table.get(device, {}) for table in tables) and not known.issuperset(used.cables[port])


def named(used: Occupancy, device: str) -> Claim:
    """Return the claim of a device whose plugged jacks all have names."""
    unused = [*used.free_jacks(device, "in"), *used.free_jacks(device, "out")]
    words = f"; unused: {compress(unused)}" if unused else ""
    return RULE.holds(device, f"every plugged hole of {device} has a name{words}")


def unnamed(ask: Ask, used: Occupancy, device: str, ports: list[str]) -> Claim:
    """Return the claim of a device with plugged jacks that have no name."""
    ports.sort(key=natural)
    cables = [cable for port in ports for cable in used.cables[port]]
    rows = ask.model.cables
    words = ", ".join(f"{' and '.join(used.cables[port])} in {port}" for port in ports)
    ends = [("end_a" if ask(wiring).ends[cable][0] in ports else "end_b") for cable in cables]
    return RULE.broken(
        device,
        f"every plugged hole of {device} has a name",
        spot=rows[cables[0]].at.spot(ends[0]),
        message=f"no line or feed is planned for what is plugged into {device}: {words}",
        because=[Because(rows[cable].at.spot(end), cable) for cable, end in zip(cables[1:4], ends[1:], strict=False)],
        fix=f"plan a line or feed for {' and '.join(ports)}, or write the cable as laid",
        rests_on=causes(ask, ports[0], cables[0]) if len(cables) == 1 else (),
    )


def way_of(ask: Ask, port: str) -> str:
    """Return the direction of a jack."""
    kind = ask.model.port_kind(port)
    return kind.way if kind else "in"


def causes(ask: Ask, port: str, cable: str) -> set[str]:
    """Return what one nameless plug may be a consequence of: its cable, or the line or feed whose cable it is."""
    way = ask(cabling).followed(port, cable, back=way_of(ask, port) != "out")
    ends = {*way.ends, *(device_of(end) for end in way.ends)}
    keys = {f"cable {cable}", *(end for end in way.ends if end.startswith("line "))}
    keys |= {f"line {name}" for name, line in ask.model.lines.items() if line.gear in ends}
    return keys | {f"feed {name}" for name, feed in ask.model.feeds.items() if ends & {*feed.gear}}
