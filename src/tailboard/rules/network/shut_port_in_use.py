"""A cable is plugged into a port that is shut.

What it finds: a plugged network cable with a switch port at an end that is planned, or was read, shut.
Why it matters: no light, no link: everything behind the cable is cut off.
Example: C-07 is plugged into SW-B/8, a parked port.
Fix: open the port with its VLAN, or plug the cable into another.
Does not find: a shut port behind a cable that is laid or capped; that is how a spare is kept.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import network
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.network.common import reader_words

RULE = Rule("shut-port-in-use", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a plugged network cable."""
    net = ask(network)
    for name, link in net.links.items():
        cable = ask.model.cables[name]
        if cable.state != "plugged":
            continue
        says = f"no port at {name} is shut"
        shut = next((port for port in link.ends if port in net.ports.shut), None)
        read = next(
            (port for port in link.ends if (own := ask.model.found.ports.get(port)) and own.state == "shut"), None
        )
        if shut is not None:
            yield RULE.broken(
                name,
                says,
                spot=net.ports.shut[shut].spot,
                message=f"{name} is plugged into {shut}, which is shut: {link.far(shut)} is cut off",
                because=[Because(cable.at.spot("end_a" if link.port_a == shut else "end_b"), f"{name} ends at {shut}")],
                fix=f"open {shut} with its VLAN, or plug {name} into another port",
                breaks=[f"cable {name}"],
            )
        elif read is not None:
            found = ask.model.found.ports[read]
            yield RULE.broken(
                name,
                says,
                spot=found.at.spot("state"),
                message=f"{read} was read shut; {name} to {link.far(read)} is plugged into it",
                because=[
                    Because(cable.at.spot(), f"{name} is planned plugged"),
                    Because(found.at.spot(), reader_words(found)),
                ],
                fix=f"open {read} and read it again, or plug {name} elsewhere",
                breaks=[f"cable {name}"],
            )
        else:
            yield RULE.holds(name, says)
