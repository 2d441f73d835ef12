"""A breaker carries more than it can.

What it finds: a breaker of a supply whose devices, with those that their switches feed over data cables, draw more than
the plan says it can carry (error), or more than the share to load for hours (`breaker limit` of the supply, 80 % if
nothing is written: warning).
Why it matters: it trips when everything is on, often in the show, and takes all its devices with it.
Example: three amplifiers of 400 W on a breaker of 1 kW.
Fix: move devices to another breaker or supply; the house electrician decides.
A device with two leads counts whole on both (`supply 2`, `breaker 2`): each carries it once the other is gone.
Does not find: starting currents, other people's loads, losses of power supplies. It is not a safety statement.
Source: arithmetic; 80 % for a load of hours: common practice, no source; loads are the plan's own figures; limits of powered classes as in the network family.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.power import Breaker, Load, power
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.rules.power.common import DEFER, NONE_LISTED
from tailboard.units.wording import listed, plain

RULE = Rule("breaker-overloaded", "power", Severity.ERROR, __doc__, acceptable=False, vouches=False)
SHOWN = 4  # the heaviest loads that a finding lists


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a breaker, and one a supply of which devices have no breaker."""
    found = ask(power)
    for breaker in found.breakers:
        yield judged(ask.model, breaker)
    for supply, devices in (found.unassigned or {}).items():
        record = ask.model.supplies[supply]
        first = ask.model.devices[devices[0]].at.spot("breaker")
        yield RULE.open(
            (supply, "breakers"),
            f"{NONE_LISTED}: devices on {supply} without a breaker",
            spot=record.at.spot("breaker_w"),
            missing=f"the breaker of {listed(devices)} on {supply} is not written, or {supply} does not have it",
            because=[Because(first, f"{devices[0]} is on {supply}")],
            fix=f"write breaker at each of them in {first.file}: one of {listed(list(record.breaker_w or {}))}; {DEFER}",
        )


def judged(model: Model, breaker: Breaker) -> Claim:
    """Return the claim on one breaker."""
    subject = (breaker.supply, breaker.name)
    says = (
        f"{NONE_LISTED}: a load above {plain(breaker.limit_w)} W on breaker {breaker.name} of {breaker.supply} "
        f"({plain(breaker.sum_w)} W are written)"
    )
    heaviest = sorted(breaker.loads, key=lambda load: (-(load.power_w or 0.0), load.device))
    because = [reason(model, load) for load in heaviest[:SHOWN] if load.power_w is not None]
    spot = model.supplies[breaker.supply].at.spot("breaker_w")
    if breaker.sum_w > breaker.limit_w:
        return RULE.broken(
            subject,
            says,
            spot=spot,
            message=f"breaker {breaker.name} of {breaker.supply} carries {plain(breaker.sum_w)} W; "
            f"it can carry {plain(breaker.limit_w)} W",
            because=because,
            fix=f"move {plain(breaker.sum_w - breaker.limit_w)} W or more to another breaker, first of all "
            f"{heaviest[0].fed_by or heaviest[0].device}; {DEFER}",
        )
    if breaker.sum_w > breaker.share_w:
        return shared(model, breaker, subject, says, because)
    if breaker.unknown:
        file = model.devices[breaker.unknown[0]].at.spot().file
        return RULE.open(
            subject,
            says,
            spot=spot,
            missing=f"the load of {listed(breaker.unknown)} on breaker {breaker.name} of {breaker.supply} is not written; "
            f"the others draw {plain(breaker.sum_w)} of {plain(breaker.limit_w)} W",
            fix=f"write load at {listed(breaker.unknown)} in {file}, from the rating plate",
        )
    assumptions = [load.assumption for load in breaker.loads if load.assumption]
    return RULE.holds(subject, says, assumptions=assumptions, evidence=because)


def shared(model: Model, breaker: Breaker, subject: tuple[str, str], says: str, because: list[Because]) -> Claim:
    """Return the claim on a breaker that can carry its load, but not for hours."""
    record = model.supplies[breaker.supply]
    more = f" without {listed(breaker.unknown)}, not written" if breaker.unknown else ""
    return RULE.broken(
        subject,
        says,
        spot=record.at.spot("breaker_w"),
        message=f"breaker {breaker.name} of {breaker.supply} carries {plain(breaker.sum_w)} W{more}, more than "
        f"{record.breaker_share_max} % of its {plain(breaker.limit_w)} W ({plain(breaker.share_w)} W)",
        because=because,
        fix=f"move {plain(breaker.sum_w - breaker.share_w)} W or more to another breaker; {DEFER}",
        severity=Severity.WARNING,
    )


def reason(model: Model, load: Load) -> Because:
    """Return what a device draws, in words."""
    record = model.devices[load.device]
    how = f"through {load.fed_by}" if load.fed_by else "from its supply"
    return Because(record.at.spot("load_w"), f"{load.device} draws {plain(load.power_w or 0.0)} W {how}")
