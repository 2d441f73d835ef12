"""A phase of a supply carries more than it can.

What it finds: a phase whose breakers (`phases` of the supply says which breaker is on which) carry together more than the
plan says the phase can (`phase limits`): error; or more than the share to load for hours (`breaker limit` of the supply,
80 % if nothing is written): warning.
Why it matters: each breaker carries its own, and the one before them trips and takes all of them.
Example: two breakers of 1 kW on one phase of 1 kW, with 600 W on each.
Fix: move devices to breakers of another phase; the house electrician decides.
Does not find: a load on more than one phase, the current in the neutral, other people's loads. It is not a safety statement.
Source: arithmetic; 80 % for a load of hours: common practice, no source; loads are the plan's own figures.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.power_phases import Phase, phases
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.records import Supply
from tailboard.rules.power.common import DEFER, NONE_LISTED
from tailboard.units.wording import listed, plain

RULE = Rule("phase-overloaded", "power", Severity.ERROR, __doc__, acceptable=False, vouches=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a phase, and one a supply whose phases name breakers that it does not have."""
    for phase in ask(phases):
        yield judged(ask.model.supplies[phase.supply], phase)
    for name, supply in ask.model.supplies.items():
        strange = [breaker for breaker in supply.phase_by_breaker or () if breaker not in (supply.breaker_w or {})]
        if strange:
            yield RULE.open(
                (name, "phases"),
                f"{NONE_LISTED}: breakers of {name} that only its phases name",
                spot=supply.at.spot("phase_by_breaker"),
                missing=f"{listed(strange)} is on a phase of {name}, and is not among its breakers",
                fix=f"write {listed(strange)} under breakers of {name} with what each can carry; {DEFER}",
            )


def judged(supply: Supply, phase: Phase) -> Claim:
    """Return the claim on one phase."""
    subject = (phase.supply, phase.name)
    says = (
        f"{NONE_LISTED}: too large a load on phase {phase.name} of {phase.supply} ({plain(phase.sum_w)} W are written)"
    )
    because = [
        Because(supply.at.spot("phase_by_breaker"), f"breaker {breaker.name} carries {plain(breaker.sum_w)} W")
        for breaker in phase.breakers
    ]
    share_w = None if phase.limit_w is None else phase.limit_w * supply.breaker_share_max / 100
    if phase.limit_w is not None and share_w is not None and phase.sum_w > share_w:
        over = phase.sum_w > phase.limit_w
        limit = f"{supply.breaker_share_max} % of its {plain(phase.limit_w)} W ({plain(share_w)} W)"
        return RULE.broken(
            subject,
            says,
            spot=supply.at.spot("phase_w"),
            message=f"phase {phase.name} of {phase.supply} carries {plain(phase.sum_w)} W"
            + (f" without {listed(phase.unknown)}, not written" if phase.unknown else "")
            + (f"; it can carry {plain(phase.limit_w)} W" if over else f", more than {limit}"),
            because=because,
            fix=f"move {plain(phase.sum_w - (phase.limit_w if over else share_w))} W or more to another phase; {DEFER}",
            severity=Severity.ERROR if over else Severity.WARNING,
        )
    if phase.unknown:
        return RULE.open(
            subject,
            says,
            spot=supply.at.spot("phase_by_breaker"),
            missing=f"the load of {listed(phase.unknown)} on phase {phase.name} of {phase.supply} is not written; "
            f"the others draw {plain(phase.sum_w)} W",
            because=because,
            fix=f"write load at {listed(phase.unknown)}, from the rating plate",
        )
    assumptions = [load.assumption for breaker in phase.breakers for load in breaker.loads if load.assumption]
    return RULE.holds(subject, says, assumptions=assumptions, evidence=because)
