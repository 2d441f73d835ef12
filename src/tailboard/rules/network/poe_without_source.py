"""Power over Ethernet is planned on a port that cannot give it.

What it finds: `PoE: on` for a port whose kind is no PoE source.
Why it matters: the plan counts on power that never comes.
Example: SW-B/S1, a cage, is written with `PoE: on`.
Fix: take PoE off the port, or use a port or a switch that has it.
Does not find: a port that could give power and is planned off; see poe-missing.
Source: IEEE 802.3 clause 33 (clause from memory); the figures of the kind.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of

RULE = Rule("poe-without-source", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a port with PoE on, where its kind is known."""
    for name, port in ask.model.ports.items():
        jack = ask.model.port_kind(name)
        if not port.poe or jack is None:
            continue
        says = f"{name} can give power"
        if jack.poe_source:
            yield RULE.holds(name, says)
            continue
        device = ask.model.devices[device_of(name)]
        yield RULE.broken(
            name,
            says,
            spot=port.at.spot("poe"),
            message=f"PoE is planned on {name}, but that port of a {device.kind} gives no power",
            because=[Because(device.at.spot("kind"), f"{device.id} is a {device.kind}")],
            fix=f"take 'PoE: on' out of {name}, or use a port that gives power",
        )
