"""A device that carries a line, a feed or an intercom station stands at no place.

What it finds: a device in use (holes, strips, outputs, gear of lines and feeds, panels and packs of stations) for which
no place is written.
Why it matters: its sheet, its supply and its earth are not known, and nobody knows which case goes where.
Example: SB-2 has lines in its holes and is not under `stands`.
Fix: write its place under `stands` in show.yaml.
Does not find: a device that nothing uses. A place that is written but wrong.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Claim, Rule, Severity
from tailboard.model.show import Model, device_of

RULE = Rule("device-nowhere", "chain", Severity.NOTE, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device in use."""
    for device in in_use(ask.model):
        record = ask.model.devices.get(device)
        if record is None:
            continue
        says = f"{device} stands at a place"
        if record.place:
            yield RULE.holds(device, says)
        else:
            yield RULE.open(
                device,
                says,
                spot=record.at.spot(),
                missing=f"{device} is in use and stands at no place, so its supply and earth are not known",
                fix=f"write the place of {device} under stands in show.yaml",
            )


def in_use(model: Model) -> dict[str, None]:
    """Return the devices that lines, feeds and stations use, in the order met."""
    found: dict[str, None] = {}
    for line in model.lines.values():
        for port in (line.hole, line.gear, *line.strips, *line.goes_to, *line.inserts):
            if port:
                found[device_of(port)] = None
    for feed in model.feeds.values():
        for port in (feed.device, *feed.outputs, *feed.gear):
            if port:
                found[device_of(port)] = None
    for bus in model.buses.values():
        found.update(dict.fromkeys(bus.inserts))
    for station in model.stations.values():
        if station.device:
            found[station.device] = None
    return found
