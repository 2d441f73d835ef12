"""A voltage was measured between two earths.

What it finds: a voltage between two earths in `found/` (`earth voltage` of the house) above 1 V: a warning, and an
error where copper of the plan joins the two, or above 50 V. One claim a pair of earths that was measured.
Why it matters: copper between them carries that current in its screen: it hums, data fail, and in the bad case somebody is
hurt.
Example: `ET and EH: 3 V` was measured, and `C-1` with its screen runs from the trailer to the hall.
Fix: do not join them by copper; ask the house electrician; use fibre or a transformer at signal level.
Does not find: what the voltage is when other people's machines run. It is not a safety statement.
Source: 1 V and 50 V: common practice and from memory, local codes decide; the hum: arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.copper import Copper, copper
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import FoundHouse
from tailboard.physics.earth import ASK_V, REJECTION_DB, STOP_V, Way, hum_dbu
from tailboard.rules.power.common import DEFER, NONE_LISTED, between
from tailboard.units.wording import listed, plain

RULE = Rule("found-earth-voltage", "power", Severity.ERROR, __doc__, acceptable=False, vouches=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a pair of earths between which a voltage was measured."""
    measured = [
        (house, key, earth_v)
        for house in ask.model.found.houses.values()
        for key, earth_v in (house.earth_v or {}).items()
    ]
    if not measured:
        return
    known = {supply.earth for supply in ask.model.supplies.values()}
    joins: dict[frozenset[str], list[Copper]] = {}
    for link in ask(copper):
        if link.crosses and link.way is not Way.NONE:
            joins.setdefault(frozenset(earth for earth in link.earths if earth), []).append(link)
    for house, key, earth_v in measured:
        pair = between(key)
        if len(pair) == 2 and pair <= known:
            yield judged(house, key, earth_v, joins.get(pair, []))
        else:
            yield unknown(house, key, sorted(known))


def judged(house: FoundHouse, key: str, earth_v: float, joins: list[Copper]) -> Claim:
    """Return the claim on one pair of earths; `joins` is the copper between them."""
    subject, spot = (house.id, key), house.at.spot("earth_v")
    says = f"{NONE_LISTED}: a voltage above {ASK_V:g} V measured between {key} ({plain(earth_v)} V)"
    signed = ", ".join(part for part in (house.by, house.on or "") if part) or "by whom and when is not written"
    read = Because(spot, f"{plain(earth_v)} V between {key}: {signed}")
    if earth_v <= ASK_V:
        return RULE.holds(subject, says, evidence=[read])
    stop = earth_v > STOP_V
    names = listed([link.cable for link in joins])
    joined = f", and {names} would join them" if joins else ""
    plugged = [link for link in joins if link.state == "plugged"]
    hum = f"{plain(earth_v)} V leaves {plain(hum_dbu(earth_v, REJECTION_DB), 1)} dBu of hum on a balanced line that rejects {REJECTION_DB:g} dB"
    order = f"stop, do not touch: it is above {STOP_V:g} V; " if stop else ""
    return RULE.broken(
        subject,
        says,
        spot=spot,
        message=f"{plain(earth_v)} V were measured between {key}{joined}",
        because=[
            read,
            *(Because(link.record.at.spot("end_a"), f"{link.cable}: {link.way.value}") for link in joins),
            Because(spot, hum),
        ],
        fix=f"{order}do not join {key} by copper{f': leave {names} unplugged' if joins else ''}; {DEFER}; use fibre, or a "
        "transformer at signal level; only a qualified person measures",
        severity=Severity.ERROR if stop or plugged else Severity.WARNING,
    )


def unknown(house: FoundHouse, key: str, earths: list[str]) -> Claim:
    """Return the open claim on a pair that the plan does not have."""
    named = f"the plan has {listed(earths)}" if earths else "the plan writes no earths"
    return RULE.open(
        (house.id, key),
        f"{NONE_LISTED}: a voltage measured between {key}",
        spot=house.at.spot("earth_v"),
        missing=f"'{key}' does not name two earths of the plan; {named}",
        fix="write the two earths with 'and' between them, as the supplies name them: ET and EH: 0.3 V",
    )
