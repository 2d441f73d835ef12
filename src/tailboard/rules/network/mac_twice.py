"""Two devices have the same hardware address.

What it finds: one MAC written for two devices.
Why it matters: it is a slip of the list, and port security or a fixed DHCP entry made from it shuts out the wrong device;
if it is true, switches send each one's frames to the other.
Example: PNL-1 and PNL-2 both have 02:00:00:00:00:11.
Fix: read the address off one of the two again.
Does not find: an address that nobody wrote down.
Source: IEEE 802, universally administered addresses are unique (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("mac-twice", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a hardware address that is written."""
    owners: dict[str, list[str]] = {}
    for name, device in ask.model.devices.items():
        if device.mac is not None:
            owners.setdefault(device.mac, []).append(name)
    for mac, names in owners.items():
        says = f"{names[0]} has a hardware address of its own"
        if len(names) == 1:
            yield RULE.holds(names[0], says)
            continue
        spots = [ask.model.devices[name].at.spot("mac") for name in names]
        yield RULE.broken(
            tuple(sorted(names)),
            says,
            spot=spots[-1],
            message=f"{listed(names)} have the one hardware address {mac}",
            because=[Because(spot, f"{name} has {mac}") for name, spot in zip(names[:-1], spots[:-1], strict=True)],
            fix=f"read the hardware address of {names[-1]} again",
        )
