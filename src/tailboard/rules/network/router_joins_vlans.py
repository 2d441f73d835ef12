"""A router passes packets between VLANs that are to be kept apart.

What it finds: two VLANs that a device `forwards` between and of which neither says that it `meets` the other.
Why it matters: what was parted on the switches is joined again behind them.
Example: RTR-1 has `forwards: [MGMT, INET]`; neither VLAN says `meets`.
Fix: take one of the two out of `forwards`, or write `meets` at the VLAN if the plan wants it.
Does not find: a router that forwards though nobody wrote it.
Source: the plan's own word; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.units.wording import listed

RULE = Rule("router-joins-vlans", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device that forwards."""
    model = ask.model
    for name, device in model.devices.items():
        if len(device.forwards) < 2:
            continue
        says = f"{name} joins only VLANs that are meant to meet"
        pairs = [pair for pair in combinations(device.forwards, 2) if not may_meet(model, *pair)]
        if not pairs:
            yield RULE.holds(name, says)
            continue
        first = model.vlans.get(pairs[0][0])
        yield RULE.broken(
            name,
            says,
            spot=device.at.spot("forwards"),
            message=f"{name} passes packets between {listed([f'{one} and {other}' for one, other in pairs])}, which are not to meet",
            because=[Because(first.at.spot("meets"), f"{first.id} does not say that it meets {pairs[0][1]}")]
            if first
            else (),
            fix=f"take {pairs[0][0]} or {pairs[0][1]} out of 'forwards' of {name}, or write 'meets' at one of them",
        )


def may_meet(model: Model, one: str, other: str) -> bool:
    """Return whether one of two VLANs says that it meets the other; a VLAN that is not planned is reported elsewhere."""
    records = [model.vlans.get(name) for name in (one, other)]
    if records[0] is None or records[1] is None:
        return True
    return other in records[0].meets or one in records[1].meets
