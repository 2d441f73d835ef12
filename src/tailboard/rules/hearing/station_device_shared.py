"""Two stations sit at one panel or belt-pack.

What it finds: several rows of comms.csv with the same device, where that device is a key panel or a belt-pack.
Why it matters: two persons are promised one headset; the second learns it when he looks for his.
Example: the director and the producer are both at PNL-1.
Fix: give each station a panel or belt-pack of its own.
Does not find: stations at a device that has several positions, such as a commentary unit or a base with wired packs.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.units.wording import listed

RULE = Rule("station-device-shared", "hearing", Severity.ERROR, __doc__)
SINGLE = frozenset({"panel", "belt-pack"})


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a panel or belt-pack at which a station sits."""
    model = ask.model
    sitting: dict[str, list[str]] = {}
    for name, station in model.stations.items():
        if station.device is not None:
            sitting.setdefault(station.device, []).append(name)
    for device, names in sitting.items():
        if model.kind_of(device).role not in SINGLE:
            continue
        says = f"one station sits at {device}"
        if len(names) == 1:
            yield RULE.holds(device, says)
            continue
        stations = [model.stations[name] for name in names]
        yield RULE.broken(
            device,
            says,
            spot=stations[-1].at.spot("device"),
            message=f"{listed(names)} are all at {device}, a {model.kind_of(device).role} for one"
            if len(names) > 2
            else f"{listed(names)} are both at {device}, a {model.kind_of(device).role} for one",
            because=[
                Because(station.at.spot("device"), f"{station.id}, {station.person}, is at {device}")
                for station in stations[:-1]
            ],
            fix=f"write another device for {listed(names[1:])} in comms.csv",
        )
