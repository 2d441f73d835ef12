"""Copper runs between two earths.

What it finds: a cable of copper between devices on supplies with different earths. Its screen, or an analogue return
joins them: error; through a multicore, a tie panel or the direct outputs of a splitter too. An unscreened data pair, or a screen lifted at one end: warning. Fibre and cables that a transformer
parts are left alone.
Why it matters: current flows along the screen; it hums, data fail, and in the bad case somebody is hurt. One volt
between the earths leaves about -57.8 dBu of hum on a balanced line with 60 dB of rejection.
Example: a screened data cable from `SW-T` on the trailer's generator to `SB-2` on the hall's sockets.
Fix: use fibre, or a transformer at signal level; never lift a safety earth; the house electrician decides.
Does not find: earths joined by racks, rails or wet ground; transformers inside devices; a wrong supply in the plan. It
is not a safety statement.
Source: grades and the 50 V of the caution: common practice, and from memory; the hum: arithmetic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copper import Copper, copper
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.physics.earth import ASK_V, GRADES, REJECTION_DB, Way, hum_dbu
from tailboard.rules.power.common import DEFER, MEASURE, NONE_LISTED, between
from tailboard.units.wording import listed, plain

RULE = Rule("copper-joins-earths", "power", Severity.ERROR, __doc__, acceptable=False, vouches=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a cable of copper between two devices whose earths are written."""
    joining = [link for link in ask(copper) if link.crosses and link.way is not Way.NONE]
    measured = voltages(ask.model)
    count = Counter(device for link in joining for device in link.devices)
    most: dict[str, list[Copper]] = {}
    for link in joining:
        most.setdefault(max(link.devices, key=lambda device: (count[device], device)), []).append(link)
    for device, links in most.items():
        first = min(links, key=lambda link: (-grade_of(link), link.cable))
        for link in links:
            yield joined(ask.model, link, device, first, len(links) - 1, measured)
    for link in ask(copper):
        if link.is_known and (not link.crosses or link.way is Way.NONE):
            said = link.way.value if link.crosses else f"both ends are on {link.earths[0]}"
            yield RULE.holds(link.cable, f"{says(link)} ({said})")


def says(link: Copper) -> str:
    """Return the claim on a cable in words."""
    return f"{NONE_LISTED}: copper between two earths by {link.cable}"


def grade_of(link: Copper) -> Severity:
    """Return how bad a cable between two earths is; one that is not plugged yet is a warning."""
    return GRADES[link.way] if link.state == "plugged" else Severity.WARNING


def voltages(model: Model) -> dict[frozenset[str], Because]:
    """Return what was measured between two earths, in words, by the pair."""
    return {
        between(key): Because(house.at.spot("earth_v"), f"{plain(earth_v)} V were measured between {key}")
        for house in model.found.houses.values()
        for key, earth_v in (house.earth_v or {}).items()
    }


def joined(
    model: Model, link: Copper, device: str, first: Copper, others: int, measured: dict[frozenset[str], Because]
) -> Claim:
    """Return the claim on a cable between two earths.

    device  the end that stands against most others; first  the cable there under which its `others` are filed.
    """
    ends = [
        f"{earth} ({supply}, {end})"
        for earth, supply, end in zip(link.earths, link.supplies, link.devices, strict=True)
    ]
    state = "" if link.state == "plugged" else f", {link.state} and ready to be plugged,"
    hum = f"{ASK_V:g} V between them leaves {plain(hum_dbu(ASK_V, REJECTION_DB), 1)} dBu of hum on a balanced line"
    heard = [Because(link.record.at.spot("kind"), f"{hum} that rejects {REJECTION_DB:g} dB")]
    pair = frozenset(earth for earth in link.earths if earth)
    known = [measured[pair]] if pair in measured else []
    by_way = f" by way of {listed(link.through)}" if link.through else ""
    grade, is_first = grade_of(link), link is first
    also = f"; so do {others} more at {device}" if is_first and others > 1 else ""
    return RULE.broken(
        link.cable,
        says(link),
        spot=link.record.at.spot("end_a"),
        message=f"{link.cable}{state} runs from earth {ends[0]} to earth {ends[1]}{by_way}: {link.way.value}{also}",
        because=[*earth_reasons(model, link), *known, *(heard if grade is Severity.ERROR else [])],
        fix=f"use fibre between {link.devices[0]} and {link.devices[1]}, or a transformer at signal level; never lift a "
        f"safety earth; {DEFER}; {MEASURE}",
        severity=grade,
        breaks=[f"earth {device}"] if is_first else [],
        rests_on=[] if is_first else [f"earth {device}"],
        lines=[name for name, line in model.lines.items() if line.hole in link.ports],
        feeds=[name for name, feed in model.feeds.items() if set(feed.outputs) & set(link.ports)],
    )


def earth_reasons(model: Model, link: Copper) -> list[Because]:
    """Return where each end's supply, and its earth, is written."""
    found = []
    for device, supply in zip(link.devices, link.supplies, strict=True):
        record = model.devices[device]
        is_second = supply is not None and supply == record.second_supply and supply != model.supply_of(device)
        spot = record.at.spot("second_supply" if is_second else "supply" if record.supply else "place")
        place = "" if record.supply or is_second else f", {record.place}"
        found.append(Because(spot, f"{device}{place} is on supply {supply}"))
        if supply is not None:
            earth = model.supplies[supply]
            found.append(Because(earth.at.spot("earth"), f"supply {supply} has earth {earth.earth}"))
    return found
