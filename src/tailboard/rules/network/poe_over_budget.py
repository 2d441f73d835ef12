"""A switch has to feed more over its ports than it can.

What it finds: the sum of what the powered devices at a switch draw, against the share of its PoE budget that the show plans
with (`PoE limit`, 80 % if nothing is written). Stated figures count first, else those of the class.
Why it matters: the last device does not start, and after a power cut it is another one each time.
Example: six cameras of 12 W at a switch with 80 W.
Fix: feed one of the devices elsewhere, or use a switch with more.
Does not find: the limit of a single port. What a cable takes: the class counts it, a stated figure may not.
Source: class powers at the source, IEEE 802.3 (second-hand); 80 % is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network_poe import Feeding, feedings
from tailboard.answers.power_poe import first_without
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.kinds.records import Kind
from tailboard.model.show import Model
from tailboard.rules.network.common import example_figures
from tailboard.units import worded
from tailboard.units.wording import listed

RULE = Rule("poe-over-budget", "network", Severity.WARNING, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a switch that is planned to feed something."""
    for switch, found in ask(feedings).items():
        says = f"{switch} can feed what is plugged into it"
        unknown = [load.device for load in found.fed if load.power_w is None]
        if found.budget_w is None or found.limit_w is None or found.stated_w is None or found.class_w is None:
            yield unwritten(ask.model, found, says, unknown)
        elif found.stated_w > found.limit_w or found.class_w > found.budget_w:
            yield broken(ask.model, found, says, found.stated_w, found.class_w, found.limit_w, found.budget_w)
        else:
            says = f"{switch} feeds {watts(found.stated_w)} as stated, {watts(found.class_w)} by class, of {watts(found.limit_w)}"
            yield RULE.holds(switch, says, assumptions=example_figures(*kinds(ask.model, found)))


def kinds(model: Model, found: Feeding) -> list[Kind]:
    """Return the kinds on whose figures the sums rest."""
    return [model.kind_of(name) for name in (found.switch, *(load.device for load in found.fed))]


def watts(power_w: float) -> str:
    """Return a power in words."""
    return worded(power_w, "W")


def unwritten(model: Model, found: Feeding, says: str, unknown: list[str]) -> Claim:
    """Return the open claim of a switch for which a figure is missing."""
    whose = model.devices[unknown[0]] if unknown else model.devices[found.switch]
    what = f"what {listed(unknown)} draw over PoE" if unknown else f"the PoE budget of {found.switch}"
    return RULE.open(
        found.switch,
        says,
        spot=whose.at.spot("kind"),
        missing=f"{what} is not written",
        fix=f"write {'PoE power' if unknown else 'PoE budget'} for the kind {whose.kind}",
    )


def broken(
    model: Model, found: Feeding, says: str, stated_w: float, class_w: float, limit_w: float, budget_w: float
) -> Claim:
    """Return the claim of a switch that has to feed too much."""
    share = model.heading.poe_share_max
    both = f"{watts(stated_w)} as stated, {watts(class_w)} by class"
    over = stated_w > limit_w
    limit = (
        f"{watts(limit_w)}, {share} % of its {watts(budget_w)}"
        if over
        else f"the whole {watts(budget_w)} that it sets aside by class"
    )
    return RULE.broken(
        found.switch,
        says,
        spot=model.devices[found.switch].at.spot("kind"),
        message=f"{found.switch} has to feed {both}; the limit is {limit}",
        because=[
            Because(
                model.cables[load.cable].at.spot(),
                f"{load.port} feeds {load.device}: {fed_words(load.stated_w, load.class_w)}",
            )
            for load in found.fed
        ]
        + order_words(model, found),
        fix=f"feed one of {listed([load.device for load in found.fed])} elsewhere, or use a switch with a larger budget",
        severity=Severity.ERROR if stated_w > budget_w else Severity.WARNING,
    )


def order_words(model: Model, found: Feeding) -> list[Because]:
    """Return who loses its power first, where the priorities are written."""
    first = first_without(model, found)
    if not first:
        return []
    priority = model.ports[first[0].port]
    who = first[0].device if len(first) == 1 else f"one of {listed([load.device for load in first])}"
    words = f"{who} loses its power first: PoE priority {priority.poe_priority} is the last of {found.switch}"
    return [Because(priority.at.spot("poe_priority"), words)]


def fed_words(stated_w: float | None, class_w: float | None) -> str:
    """Return what a device draws: '12 W stated, 15.4 W by class'."""
    parts = [f"{watts(stated_w)} stated"] if stated_w is not None else []
    return ", ".join([*parts, *([f"{watts(class_w)} by class"] if class_w is not None else [])])
