"""Two cables are plugged into one network port.

What it finds: a network port that is the end of two or more cables in the state plugged.
Why it matters: a port takes one plug; one of the two devices has no network, and its own port stands empty.
Example: C-05 and C-06 both end in SW-B/6.
Fix: correct the end of one of the cables.
Does not find: a spare that is laid or capped beside the plugged cable.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network_ports import ports
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import jack_of
from tailboard.units.wording import listed

RULE = Rule("port-used-twice", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a network port with a plugged cable."""
    found = ask(ports)
    for port, at in found.at.items():
        plugged = [name for name in at if ask.model.cables[name].state == "plugged"]
        if not plugged or not jack_of(port):
            continue
        says = f"one cable is plugged into {port}"
        if len(plugged) == 1:
            yield RULE.holds(port, says)
            continue
        spots = [
            ask.model.cables[name].at.spot("end_a" if found.links[name][0] == port else "end_b") for name in plugged
        ]
        yield RULE.broken(
            port,
            says,
            spot=spots[-1],
            message=f"{listed(plugged)} are plugged into {port}",
            because=[Because(spot, f"{name} ends there") for name, spot in zip(plugged[:-1], spots[:-1], strict=True)],
            fix=f"correct the end of {' or '.join(plugged)}, or write 'state: laid' for the one that is not plugged",
            breaks=[f"port {port}"],
        )
