"""A device has copper to another one, but its supply is not written.

What it finds: a device with a cable of copper to another device, and no supply of its own or of its place; where the plan
lists no supply at all, one open claim if copper runs between places.
Why it matters: nobody can tell whether the cable joins two earths.
Example: `HD-1` stands in the foyer, and the foyer has no `supply`.
Fix: ask the house electrician, and write the supply of the place and its earth.
Does not find: a supply that is written wrongly. It is not a safety statement.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copper import Copper, copper
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.physics.earth import Way
from tailboard.rules.power.common import DEFER, NONE_LISTED

RULE = Rule("supply-unknown", "power", Severity.NOTE, __doc__, acceptable=False, vouches=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with copper to another: its supply is written."""
    links = [link for link in ask(copper) if link.way is not Way.NONE]
    if not ask.model.supplies:
        yield from nothing_written(ask, links)
        return
    first: dict[str, tuple[Copper, str | None]] = {}
    for link in links:
        for device, earth in zip(link.devices, link.earths, strict=True):
            first.setdefault(device, (link, earth))
    for device, (link, earth) in first.items():
        says = f"{NONE_LISTED}: copper at {device} with an unknown supply"
        if earth is not None:
            yield RULE.holds(device, says)
            continue
        record = ask.model.devices[device]
        where = f"the place {record.place}" if record.place else device
        other = link.devices[0] if link.devices[1] == device else link.devices[1]
        yield RULE.open(
            device,
            says,
            spot=record.at.spot("place"),
            missing=f"no supply is written for {device}{f' or {where}' if record.place else ''}, and {link.cable} runs to {other}: whether it joins "
            "two earths is not known",
            because=[Because(link.record.at.spot("end_a"), f"{link.cable}: {link.ports[0]} to {link.ports[1]}")],
            fix=f"write the supply of {where} and its earth in {record.at.spot().file}; {DEFER}",
        )


def nothing_written(ask: Ask, links: list[Copper]) -> Iterator[Claim]:
    """Yield one open claim where no supply is written and copper runs from place to place."""
    devices = ask.model.devices
    for link in links:
        places = [devices[device].place for device in link.devices]
        if None in places or places[0] == places[1]:
            continue
        spot = link.record.at.spot("end_a")
        yield RULE.open(
            "supplies",
            f"{NONE_LISTED}: copper between places with unknown supplies",
            spot=spot,
            missing=f"no supplies are written, and {link.cable} runs from {places[0]} to {places[1]}: whether copper "
            "joins two earths is not known",
            fix=f"write supplies with their earths, and the supply of each place, in show.yaml; {DEFER}",
        )
        return
