"""Copper runs between two earths.

What it finds: a cable of copper between devices on supplies with different earths. Its screen, or an analogue return
joins them: error. An unscreened data pair, or a screen lifted at one end: warning. Fibre and cables that a transformer
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

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copper import Copper, copper
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.physics.earth import ASK_V, GRADES, Way, hum_dbu
from tailboard.rules.power.common import DEFER, MEASURE, NONE_LISTED
from tailboard.units.wording import plain

RULE = Rule("copper-joins-earths", "power", Severity.ERROR, __doc__, acceptable=False)
REJECTION_DB = 60.0  # a balanced input in the example of the hum: common practice, no source


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a cable of copper between two devices whose earths are written."""
    for link in ask(copper):
        if not link.is_known:
            continue
        if link.crosses and link.way is not Way.NONE:
            yield joined(ask.model, link)
            continue
        said = link.way.value if link.crosses else f"both ends of {link.cable} are on {link.earths[0]}"
        yield RULE.holds(link.cable, f"{NONE_LISTED}: {link.cable} joins two earths ({said})")


def joined(model: Model, link: Copper) -> Claim:
    """Return the claim on a cable between two earths."""
    ends = [
        f"{earth} ({supply}, {device})"
        for earth, supply, device in zip(link.earths, link.supplies, link.devices, strict=True)
    ]
    grade = GRADES[link.way]
    if link.record.state != "plugged":
        grade = Severity.WARNING
    state = "" if link.record.state == "plugged" else f", {link.record.state} and ready to be plugged,"
    hum = f"{ASK_V:g} V between them leaves {plain(hum_dbu(ASK_V, REJECTION_DB), 1)} dBu of hum on a balanced line"
    heard = [Because(link.record.at.spot("kind"), f"{hum} that rejects {REJECTION_DB:g} dB")]
    return RULE.broken(
        link.cable,
        f"{NONE_LISTED}: {link.cable} joins two earths",
        spot=link.record.at.spot("end_a"),
        message=f"{link.cable}{state} runs from earth {ends[0]} to earth {ends[1]}: {link.way.value}",
        because=[*earth_reasons(model, link), *(heard if grade is Severity.ERROR else [])],
        fix=f"use fibre between {link.devices[0]} and {link.devices[1]}, or a transformer at signal level; never lift a "
        f"safety earth; {DEFER}; {MEASURE}",
        severity=grade,
        lines=[name for name, line in model.lines.items() if line.hole in link.ports],
        feeds=[name for name, feed in model.feeds.items() if set(feed.outputs) & set(link.ports)],
    )


def earth_reasons(model: Model, link: Copper) -> list[Because]:
    """Return where each end's supply, and its earth, is written."""
    found = []
    for device, supply in zip(link.devices, link.supplies, strict=True):
        record = model.devices[device]
        spot = record.at.spot("supply" if record.supply else "place")
        place = "" if record.supply else f", {record.place}"
        found.append(Because(spot, f"{device}{place} is on supply {supply}"))
        if supply is not None:
            earth = model.supplies[supply]
            found.append(Because(earth.at.spot("earth"), f"supply {supply} has earth {earth.earth}"))
    return found
