"""A spare cable does not carry what the cable it stands in for carries.

What it finds: a laid or capped network cable whose ports, as they are set, pass other VLANs or another native VLAN than
the ports of the plugged cable between the same two devices.
Why it matters: it is plugged in the middle of a show, the link comes up, and one of the networks stays away.
Example: `F-01` carries COMMS, its spare `F-02` does not.
Fix: write the same `carries` and `native` for both cables, and set the ports so.
Does not find: optics that are no pair, see optics-not-a-pair; too little light, see light-too-weak.
Source: a spare is set like its main, common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.faults_spares import Spare, spare_cables
from tailboard.answers.network import network
from tailboard.answers.network_ports import UNWRITTEN, Setting
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.units.wording import listed

RULE = Rule("spare-cable-differs", "faults", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a spare network cable between switches whose ports are set."""
    for spare in ask(spare_cables).values():
        pairs = [pair for main in spare.beside for pair in settings(ask, spare.cable, main)]
        if pairs:
            yield judged(spare, pairs)


def settings(ask: Ask, spare: str, main: str) -> list[tuple[str, Setting, Setting]]:
    """Return (main, the setting of its port, that of the spare's port) for each switch at which both end."""
    net = ask(network)
    if spare not in net.links or main not in net.links:
        return []
    found = []
    for port in net.links[spare].ends:
        for other in net.links[main].ends:
            mine, theirs = net.ports.settings.get(port), net.ports.settings.get(other)
            if device_of(port) == device_of(other) and mine and theirs and mine.written and theirs.written:
                found.append((main, theirs, mine))
    return found


def judged(spare: Spare, pairs: list[tuple[str, Setting, Setting]]) -> Claim:
    """Return the claim that a spare carries what its main carries."""
    subject = (spare.cable, *spare.beside)
    says = f"{spare.cable} carries what {listed(spare.beside)} carries"
    for main, theirs, mine in pairs:
        fault = difference(theirs, mine)
        if fault:
            return RULE.broken(
                subject,
                says,
                spot=mine.tagged_said.spot if mine.tagged != theirs.tagged else mine.untagged_said.spot,
                message=f"{spare.cable}, the spare of {main}, {fault} at {mine.port}",
                because=[Because(theirs.tagged_said.spot, f"{main} ends in {theirs.port}")],
                fix=f"write 'carries' and 'native' of {spare.cable} as those of {main}, and set {mine.port} so",
            )
    return RULE.holds(subject, says)


def difference(main: Setting, spare: Setting) -> str:
    """Return in words what the port of a spare passes otherwise than that of its main; empty where they are alike."""
    lacks = sorted(main.vlans - spare.vlans - {UNWRITTEN})
    more = sorted(spare.vlans - main.vlans - {UNWRITTEN})
    if lacks:
        return f"does not pass {listed(lacks)}"
    if more:
        return f"passes {listed(more)} too"
    if main.untagged != spare.untagged:
        return f"has {spare.untagged or 'nothing'} untagged instead of {main.untagged or 'nothing'}"
    return ""
