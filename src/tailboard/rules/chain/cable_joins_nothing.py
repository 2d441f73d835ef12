"""A plugged cable has an end that is nowhere.

What it finds: a cable with one end only, with both ends in one jack, or with an end at a device of which it is not said
which jack. A cable of the rig with no end at all is in stock; one that is laid or capped may wait for its other end.
Why it matters: whoever lays it has to guess, and what it should carry is not proven.
Example: `M-20: {kind: mic, from: line 20}` without a `to`.
Fix: write the other end, or `state: laid` if it only lies there.
Does not find: a cable to a jack that does not exist; the reader reports that.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.wiring import wiring
from tailboard.findings import Claim, Rule, Severity
from tailboard.text.ranges import compress

RULE = Rule("cable-joins-nothing", "chain", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a plugged cable that has an end."""
    found = ask(wiring)
    vague = {
        (cable, attribute): ports
        for cable, attribute, ports in found.loose
        if ports or not ask.model.kind_of(getattr(ask.model.cables[cable], attribute)).open_ports
    }
    for name, (end_a, end_b) in found.ends.items():
        cable = ask.model.cables[name]
        if cable.state != "plugged" or (end_a is None and end_b is None):
            continue
        if end_a is None or end_b is None:
            yield broken(
                ask,
                name,
                "end_b" if end_b is None else "end_a",
                f"{name} has one end only, at {end_a or end_b}",
                f"write the other end of {name}, or 'state: laid'",
            )
        elif end_a == end_b:
            yield broken(ask, name, "end_b", f"both ends of {name} are at {end_a}", f"correct one end of {name}")
        elif (name, "end_a") in vague or (name, "end_b") in vague:
            yield without_jack(ask, name, vague)
        else:
            yield RULE.holds(name, says(name))


def says(name: str) -> str:
    """Return what holds of a cable with two ends."""
    return f"{name} has two ends"


def broken(ask: Ask, name: str, attribute: str, message: str, fix: str) -> Claim:
    """Return the claim of a cable that joins nothing."""
    spot = ask.model.cables[name].at.spot(attribute)
    return RULE.broken(name, says(name), spot=spot, message=message, fix=fix, breaks=[f"cable {name}"])


def without_jack(ask: Ask, name: str, vague: dict[tuple[str, str], tuple[str, ...]]) -> Claim:
    """Return the claim of a cable that ends at a device, not at a jack."""
    attribute = "end_a" if (name, "end_a") in vague else "end_b"
    ports = vague[name, attribute]
    device = getattr(ask.model.cables[name], attribute)
    if not ports:
        return broken(
            ask,
            name,
            attribute,
            f"{name} ends at {device}, which has no jack that fits a {ask.model.cables[name].kind} cable",
            f"correct the end or the kind of {name}",
        )
    return broken(
        ask,
        name,
        attribute,
        f"{name} ends at {device} without a jack; {len(ports)} would fit: {compress(ports)}",
        f"write the jack, such as {device}/{ports[0]}",
    )
