"""A stream's group is no multicast address, belongs to the clock or to a protocol, or is one that switches always flood.

What it finds: a group outside 224.0.0.0-239.255.255.255, in 224.0.0.0/24, or a group of the IEEE 1588 clock (errors); a
group whose low 23 bits are those of 224.0.0.0/24, such as 239.0.0.7 and 239.128.0.7 (warning).
Why it matters: switches send these groups to every port of the VLAN, snooping or not; with a group of the clock, every
clock has to read the audio.
Example: ST-1 goes to 239.128.0.7.
Fix: take a group of 239.0.0.0/8 whose second part is neither 0 nor 128, or whose third part is not 0.
Does not find: a range that the house keeps for itself; state it under `other groups` of the VLAN.
Source: RFC 5771 section 4; RFC 4541 section 2.1.2; RFC 1112 section 6.4; the clock's groups from IEEE 1588 (224.0.1.129
read in an open implementation's settings; .130 to .132 from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from ipaddress import IPv4Address

from tailboard.answers.ask import Ask
from tailboard.answers.stream_groups import group_uses
from tailboard.findings import Claim, Rule, Severity
from tailboard.physics.ip import LOCAL_CONTROL, PTP_PRIMARY, always_flooded

RULE = Rule("group-not-usable", "network", Severity.ERROR, __doc__)
CLOCK_GROUPS = frozenset(PTP_PRIMARY + step for step in range(4))


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a group of a stream."""
    for use in ask(group_uses):
        says = f"the group of {use.stream.id}, {use.address}, goes to those alone who ask"
        fault, severity = fault_of(use.address)
        if not fault:
            yield RULE.holds(use.subject, says)
            continue
        yield RULE.broken(
            use.subject,
            says,
            spot=use.stream.at.spot(use.attribute),
            message=f"{use.stream.id} goes to {use.address}, {fault}",
            fix=f"give {use.stream.id} a group such as 239.{max(int(use.address) >> 16 & 0x7F, 1)}.1.1",
            severity=severity,
            breaks=[f"stream {use.stream.id}"],
        )


def fault_of(address: IPv4Address) -> tuple[str, Severity]:
    """Return what is wrong with a group, empty if nothing, and how bad it is."""
    if not address.is_multicast:
        return "which is no multicast group", Severity.ERROR
    if address in CLOCK_GROUPS:
        return "which is a group of the clock", Severity.ERROR
    if address in LOCAL_CONTROL:
        return "which is kept for protocols; switches send it to every port", Severity.ERROR
    if always_flooded(address):
        return (
            "which has the Ethernet address of a protocol group; many switches send it to every port",
            Severity.WARNING,
        )
    return "", Severity.NOTE
