"""Devices of one VLAN have no way to one another.

What it finds: the devices of a VLAN that no frame can pass between, both ways, by the cables and ports as they are planned.
Why it matters: a panel without its base, a stage box without its console; each alone looks healthy.
Example: PNL-4 at SW-B and ICM-1 at SW-T are in COMMS; F-01 does not carry COMMS.
Fix: let the cables and ports on the way carry the VLAN.
Does not find: packets that are too late or too many. Devices that nobody gives an address.
Source: IEEE 802.1Q, followed frame by frame (clauses from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network import Network, network
from tailboard.answers.network_groups import Parts, parts
from tailboard.answers.network_records import Stop
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import device_of
from tailboard.rules.network.common import parted_words, titled
from tailboard.units.wording import counted

RULE = Rule("devices-cannot-meet", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN with two or more devices."""
    net = ask(network)
    for vlan in ask.model.vlans:
        devices = {device_of(end) for end in net.members.get(vlan, ())}
        if len(devices) < 2:
            continue
        says = f"the {counted(len(devices), 'device')} of {titled(ask.model, vlan)} meet"
        found = parts(net, vlan)
        yield RULE.holds(vlan, says) if len(found.groups) == 1 else broken(net, vlan, says, found)


def broken(net: Network, vlan: str, says: str, found: Parts) -> Claim:
    """Return the claim of a VLAN whose devices are parted."""
    first: Stop = found.stops[0]
    keys = frozenset(key for stop in found.stops for key in stop.keys)
    return RULE.broken(
        vlan,
        says,
        spot=first.spot,
        message=f"{titled(net.model, vlan)}: {parted_words(found)}: {first.words}",
        because=[Because(stop.spot, stop.words) for stop in found.stops[1:]],
        fix=fix(vlan, keys),
        breaks=[key for key in keys if "~" in key],
        rests_on=keys,
    )


def fix(vlan: str, keys: frozenset[str]) -> str:
    """Return the repair: by the cable that does not carry the VLAN, that carries nothing, or that is not there."""
    for key in sorted(keys):
        if "~" in key:
            return f"let {key.partition('~')[0]} and the ports at its ends carry {vlan}"
    for key in sorted(keys):
        if key.startswith("cable "):
            return f"plug {key.removeprefix('cable ')}, or mend its ends"
    return f"lead a cable that carries {vlan} between them"
