"""A device with two supplies joins their earths.

What it finds: a device whose second supply (`supply 2`) stands on another earth than its first.
Why it matters: the earth wires of its two leads meet in its chassis: what flows between the earths flows through it.
Example: a switch in the rack with one lead on the generator and the other on the house.
Fix: take both leads from supplies on one earth; the house electrician decides.
Does not find: supplies whose earth is written wrongly. It is not a safety statement.
Source: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.power.common import DEFER, MEASURE, NONE_LISTED

RULE = Rule("supplies-join-earths", "power", Severity.ERROR, __doc__, acceptable=False, vouches=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device with two supplies, both known."""
    supplies = ask.model.supplies
    for name, device in ask.model.devices.items():
        first, second = ask.model.supply_of(name), device.second_supply
        if first not in supplies or second not in supplies:
            continue
        earths = supplies[first].earth, supplies[second].earth
        says = f"{NONE_LISTED}: two earths that meet in {name}"
        if earths[0] == earths[1]:
            yield RULE.holds(name, says)
            continue
        yield RULE.broken(
            name,
            says,
            spot=device.at.spot("second_supply"),
            message=f"{name} is on {first} (earth {earths[0]}) and on {second} (earth {earths[1]}): its leads join the two earths",
            because=[Because(supplies[second].at.spot("earth"), f"{second} is on earth {earths[1]}")],
            fix=f"take both leads of {name} from supplies on one earth; {MEASURE}; {DEFER}",
        )
