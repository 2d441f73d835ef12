"""The optics at the two ends of a strand do not belong together.

What it finds: two ends that send and listen at wavelengths that do not cross, at different rates, in different fibre modes,
on one strand and on two; an optic at one end only; an optic whose mode is not that of the fibre.
Why it matters: there is no link, though there is light at both ends.
Example: both ends of F-01 have O1S-U: both send 1310 nm and listen at 1490 nm.
Fix: put the other one of the pair into one of the ends.
Does not find: too little or too much light, dirt, or a mode that differs between joined pieces.
Source: TX of each end must be RX of the other, IEEE 802.3 clause 59 for single-strand optics (clause from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.answers.network_links import Link, unpaired
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import Optic
from tailboard.model.show import Model
from tailboard.rules.network.common import example_figures

RULE = Rule("optics-not-a-pair", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a fibre with a cage at each end; a spare is judged like one that is plugged."""
    model = ask.model
    for name, link in ask(network).links.items():
        kind = model.cable_kind(name)
        if kind is None or kind.medium != "fibre" or not all(is_cage(model, end) for end in link.ends):
            continue
        yield judged(model, link, kind.mode)


def is_cage(model: Model, port: str) -> bool:
    """Return whether an optic belongs into a port."""
    jack = model.port_kind(port)
    return model.optic_of(port) is not None or (jack is not None and jack.medium == "cage")


def judged(model: Model, link: Link, mode: str | None) -> Claim:
    """Return the claim that the optics of a fibre are a pair."""
    says = f"the optics at {link.cable} are a pair"
    optic_a, optic_b = (model.optic_of(end) for end in link.ends)
    if optic_a is None and optic_b is None:
        return RULE.open(
            link.cable,
            says,
            spot=model.cables[link.cable].at.spot(),
            missing=f"no optic is written for {link.port_a} or {link.port_b}, the ends of {link.cable}",
            fix=f"write 'optic' for {link.port_a} and {link.port_b} under switches",
        )
    if optic_a is None or optic_b is None:
        return missing(model, link, says)
    fault = unpaired(optic_a, optic_b)
    if not fault and mode is not None and optic_a.mode != mode:
        fault = f"both ends are {optic_a.mode}, the fibre is {mode}"
    if not fault:
        return RULE.holds(link.cable, says, assumptions=example_figures(optic_a, optic_b))
    return not_a_pair(model, link, fault, optic_a, optic_b)


def missing(model: Model, link: Link, says: str) -> Claim:
    """Return the claim of a fibre with an optic at one end only."""
    bare = link.port_a if model.optic_of(link.port_a) is None else link.port_b
    other = model.ports[link.far(bare)]
    record = model.ports.get(bare)
    return RULE.broken(
        link.cable,
        says,
        spot=record.at.spot() if record else model.cables[link.cable].at.spot(),
        message=f"{link.cable} ends in {bare}, for which no optic is written; {link.far(bare)} has {other.optic}",
        because=[Because(other.at.spot("optic"), f"{link.far(bare)} has {other.optic}")],
        fix=f"write the optic of {bare}" + partner_words(model, model.optic_of(link.far(bare))),
        severity=severity(model, link),
    )


def not_a_pair(model: Model, link: Link, fault: str, optic_a: Optic, optic_b: Optic) -> Claim:
    """Return the claim of a fibre whose optics give no link."""
    ports = model.ports
    words = (
        fault.replace("both ends ", f"both ends of {link.cable} ", 1)
        if fault.startswith("both ends ")
        else f"{link.cable}: {fault}"
    )
    return RULE.broken(
        link.cable,
        f"the optics at {link.cable} are a pair",
        spot=ports[link.port_b].at.spot("optic"),
        message=f"{words}: no link",
        because=[
            Because(ports[link.port_a].at.spot("optic"), f"{link.port_a} has {optic_a.id}"),
            Because(ports[link.port_b].at.spot("optic"), f"{link.port_b} has {optic_b.id}"),
        ],
        fix=f"change the optic of {link.port_b}, or that of {link.port_a}" + partner_words(model, optic_a),
        severity=severity(model, link),
        breaks=[f"cable {link.cable}"] if model.cables[link.cable].state == "plugged" else (),
    )


def severity(model: Model, link: Link) -> Severity:
    """Return how bad it is: a spare works until it is needed."""
    return Severity.ERROR if model.cables[link.cable].state == "plugged" else Severity.WARNING


def partner_words(model: Model, optic: Optic | None) -> str:
    """Return which optic pairs with one, if there is one: '; O1S-D pairs with O1S-U'. Those the plan uses come first."""
    if optic is None:
        return ""
    used = {port.optic for port in model.ports.values()}
    fitting = [name for name, other in model.library.optics.items() if not unpaired(optic, other)]
    return f"; {min(fitting, key=lambda name: (name not in used, name))} pairs with {optic.id}" if fitting else ""
