"""The two ends of a network cable are set to different speeds, or one cannot do what is planned.

What it finds: two planned speeds that differ; a planned speed that the port or the device at the other end does not reach;
an optic faster than its cage; half duplex planned at one end only.
Why it matters: the link stays down, or comes up slower than the plan counts with; one 100 Mb/s hop alone can make audio late.
Example: SW-B/1 is planned at 1 G; SB-2 at the other end does 100 M.
Fix: plan the speed that both ends do, or use a faster port.
Does not find: a link that falls back on the day, from a bad pair or a wet plug; see found-port-differs.
Source: IEEE 802.3 clause 28, auto-negotiation (clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.answers.network_links import Link
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.show import Model
from tailboard.units import worded

RULE = Rule("speed-differs", "network", Severity.WARNING, __doc__)


@dataclass(frozen=True, slots=True)
class Fault:
    """One disagreement of speeds."""

    words: str
    spot: Spot
    fix: str
    severity: Severity = Severity.WARNING


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a plugged network cable of which some speed is known."""
    for name, link in ask(network).links.items():
        known = [
            rate for end in link.ends for rate in (planned(ask.model, end), fastest(ask.model, end)) if rate is not None
        ]
        if ask.model.cables[name].state != "plugged" or not known:
            continue
        says = f"both ends of {name} do the speed planned"
        fault = next(faults(ask.model, link), None)
        if fault is None:
            yield RULE.holds(name, says)
            continue
        yield RULE.broken(
            name,
            says,
            spot=fault.spot,
            message=f"{name}: {fault.words}",
            fix=fault.fix,
            severity=fault.severity,
            because=[Because(ask.model.cables[name].at.spot(), f"{name} joins {link.port_a} and {link.port_b}")],
            breaks=[f"cable {name}"] if fault.severity is Severity.ERROR else (),
        )


def planned(model: Model, port: str) -> float | None:
    """Return the speed planned for a port. [bit/s]"""
    own = model.ports.get(port)
    return None if own is None else own.rate_bit_per_s


def fastest(model: Model, port: str) -> float | None:
    """Return the fastest speed of a port by its kind. [bit/s]"""
    jack = model.port_kind(port)
    return None if jack is None else jack.rate_bit_per_s


def faults(model: Model, link: Link) -> Iterator[Fault]:
    """Yield every disagreement of the two ends, the worst first."""
    own = [planned(model, end) for end in link.ends]
    if own[0] is not None and own[1] is not None and own[0] != own[1]:
        yield Fault(
            f"{link.port_a} is planned at {rate(own[0])}, {link.port_b} at {rate(own[1])}",
            model.ports[link.port_b].at.spot("rate_bit_per_s"),
            "plan one speed for both ends",
            Severity.ERROR,
        )
    for end in link.ends:
        yield from faults_of_end(model, end, link.far(end))
    half = [model.ports[end].full_duplex is False for end in link.ends if end in model.ports]
    if any(half) and (len(half) < 2 or not all(half)):
        slow = next(end for end in link.ends if end in model.ports and model.ports[end].full_duplex is False)
        yield Fault(
            f"{slow} is planned half duplex, {link.far(slow)} is not",
            model.ports[slow].at.spot("full_duplex"),
            f"take 'full duplex: off' out of {slow}",
        )


def faults_of_end(model: Model, end: str, far: str) -> Iterator[Fault]:
    """Yield what one end is planned to do and it, its optic, or the other end does not."""
    own = model.ports.get(end)
    wanted, limit, other = planned(model, end), fastest(model, end), fastest(model, far)
    optic = model.optic_of(end)
    if own is None:
        return
    spot = own.at.spot("rate_bit_per_s")
    if wanted is not None and limit is not None and wanted > limit:
        yield Fault(
            f"{end} is planned at {rate(wanted)} and does {rate(limit)} at most", spot, f"plan {end} at {rate(limit)}"
        )
    if wanted is not None and other is not None and wanted > other:
        yield Fault(
            f"{end} is planned at {rate(wanted)}, {far} does {rate(other)} at most",
            spot,
            f"plan {end} at {rate(other)}, or use a faster port at {far}",
        )
    if optic is None or optic.rate_bit_per_s is None:
        return
    if limit is not None and optic.rate_bit_per_s > limit:
        yield Fault(
            f"the optic {optic.id} does {rate(optic.rate_bit_per_s)}, the cage {end} {rate(limit)} at most",
            own.at.spot("optic"),
            f"put an optic of {rate(limit)} into {end}",
            Severity.ERROR,
        )
    if wanted is not None and wanted != optic.rate_bit_per_s:
        yield Fault(
            f"{end} is planned at {rate(wanted)}, its optic {optic.id} does {rate(optic.rate_bit_per_s)}",
            spot,
            f"plan {end} at {rate(optic.rate_bit_per_s)}",
            Severity.ERROR,
        )


def rate(bit_per_s: float) -> str:
    """Return a speed in words."""
    return worded(bit_per_s, "bit/s")
