"""More devices behind a port than its port security lets in.

What it finds: a switch port with `one MAC` behind which, through switches and converters, two or more devices send.
Why it matters: the port shuts at the second hardware address and stays shut until somebody who may opens it again.
Example: SW-B/1 has `one MAC: yes`, and a small switch with two recorders is plugged in there.
Fix: plug one device alone into the port, or have the limit taken off.
Does not find: a second address of one device, such as a computer's virtual machine.
Source: IEEE 802.1Q, learning by source address (clauses from memory); the limit itself is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.isolation import isolation
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("one-mac-exceeded", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a port that lets one hardware address in."""
    for name, port in ask.model.ports.items():
        if not port.one_mac:
            continue
        says = f"no more than one device sends into {name}"
        behind = ask(isolation).behind(name)
        if len(behind) < 2:
            yield RULE.holds(name, says)
            continue
        cables = ask(isolation).net.ports.at[name]
        yield RULE.broken(
            name,
            says,
            spot=port.at.spot("one_mac"),
            message=f"{name} lets one hardware address in, but {listed(behind, 6)} are behind it: the second shuts the port",
            because=[Because(ask.model.cables[cables[0]].at.spot(), f"{cables[0]} is plugged into {name}")],
            fix=f"plug one device alone into {name}, or have 'one MAC' taken off",
        )
