"""A device waits for an address that nobody gives.

What it finds: a device with the address `dhcp` in a VLAN that has no DHCP range.
Why it matters: the device gives itself an address of 169.254 and finds nobody, or takes one from a stranger's server.
Example: LAP-P has `INET: dhcp`, and INET has no `DHCP`.
Fix: write the range that the VLAN's server gives out, or give the device a static address.
Does not find: a server that is switched off.
Source: RFC 3927 section 1 (self-assigned addresses).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("dhcp-without-range", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a VLAN in which some device takes its address by DHCP."""
    waiting: dict[str, list[str]] = {}
    for name, device in ask.model.devices.items():
        for vlan, address in (device.address or {}).items():
            if address == "dhcp" and vlan in ask.model.vlans:
                waiting.setdefault(vlan, []).append(name)
    for vlan, names in waiting.items():
        record = ask.model.vlans[vlan]
        says = f"{vlan} gives its devices addresses"
        if record.dhcp is not None:
            yield RULE.holds(vlan, says)
            continue
        yield RULE.broken(
            vlan,
            says,
            spot=record.at.spot(),
            message=f"{listed(names)} {'waits' if len(names) == 1 else 'wait'} for an address by DHCP, but {vlan} gives none out",
            because=[
                Because(ask.model.devices[name].at.spot("address"), f"{name} takes DHCP on {vlan}") for name in names
            ],
            fix=f"write 'DHCP: FIRST-LAST' for {vlan}, or a static address for {names[0]}",
        )
