"""A device sends or takes streams but has no clock settings.

What it finds: a sender or receiver of a stream without `clock`, or without a sample rate there and at its kind. Of those
that convert the rate only such as stand between two networks or two clock domains.
Why it matters: nobody can tell whom it follows, what happens when the leader is unplugged, or whether the rates agree.
Example: `SB-2` sends ST-3 and has no `clock`.
Fix: write its clock, for example `clock: {domain: 0, role: follower only, rate: 48 kHz}`.
Does not find: a panel or belt-pack whose kind `converts rate`; a plan that speaks of no clock and no stream.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.clock_streams import needs_clock, rate_hz
from tailboard.answers.streams import streams
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import Model

RULE = Rule("clock-settings-missing", "clock", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device that exchanges streams: its clock is written."""
    if not ask.model.streams and all(device.clock is None for device in ask.model.devices.values()):
        return  # nobody speaks of streams or clocks: nothing is claimed
    first: dict[str, str] = {}
    for plan in ask(streams).plans.values():
        for receiver in plan.receivers:
            first.setdefault(plan.sender, f"sends {plan.name}")
            first.setdefault(receiver, f"takes {plan.name}")
    for device, what in first.items():
        if not is_asked(ask.model, device):
            continue
        record = ask.model.devices[device]
        says = f"the clock of {device} is written"
        lacking = "clock settings" if record.clock is None else "sample rate"
        if record.clock is not None and rate_hz(ask.model, device) is not None:
            yield RULE.holds(device, says)
            continue
        spot = record.at.spot() if record.clock is None else record.clock.at.spot()
        yield RULE.open(
            device,
            says,
            spot=spot,
            missing=f"{device} {what}, but has no {lacking}",
            fix=f"write clock: {{domain: 0, role: follower only, rate: 48 kHz}} with its own values at {device} in {spot.file}"
            if record.clock is None
            else f"write rate at the clock of {device} in {spot.file}",
        )


def is_asked(model: Model, device: str) -> bool:
    """Return whether a device needs a clock: it does not convert the rate, or it stands between two networks."""
    record = model.devices.get(device)
    if record is None:
        return False
    return needs_clock(model, device) or bool(record.domain_by_port) or len(record.ports or {}) > 1
