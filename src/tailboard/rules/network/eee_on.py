"""Energy-efficient Ethernet is planned on.

What it finds: `EEE: on` for a switch port.
Why it matters: a port that sleeps wakes late, so audio and clock frames are late by turns: rare clicks, worse when the
network is quiet.
Example: SW-B/1 is written with `EEE: on`.
Fix: take EEE off every port; look again after a factory reset.
Does not find: a switch that has it on by default; read its ports into found/ (see found-port-differs).
Source: IEEE 802.3az wakes in 17 us at 1 Gb/s, 30 us at 100 Mb/s (from memory); off is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import SwitchPort
from tailboard.model.show import device_of, jack_of
from tailboard.text.ranges import compress

RULE = Rule("eee-on", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a switch with planned ports."""
    by_switch: dict[str, list[SwitchPort]] = {}
    for name, port in ask.model.ports.items():
        if device_of(name) in ask.model.devices:
            by_switch.setdefault(device_of(name), []).append(port)
    for switch, ports in by_switch.items():
        on = [port for port in ports if port.eee]
        says = f"EEE is planned off on {switch}"
        if not on:
            yield RULE.holds(switch, says)
            continue
        names = compress([jack_of(port.id) for port in on])
        yield RULE.broken(
            switch,
            says,
            spot=on[0].at.spot("eee"),
            message=f"EEE is planned on at {switch}/{names}",
            because=[Because(port.at.spot("eee"), f"{port.id} has EEE on") for port in on[1:]],
            fix=f"take 'EEE: on' out of {switch}/{names}",
        )
