"""A powered device draws more than its PoE class lets a port give.

What it finds: a device fed by PoE whose kind says a power above what a source sets aside for the class of its port.
Why it matters: the switch cuts the port off, at power-up or when the device works hardest.
Example: a panel of class 2 draws 12 W, and a port gives 7 W to class 2.
Fix: correct the power or the class of the kind from its data sheet, or feed the device otherwise.
Does not find: a switch whose budget is too small for all; see poe-over-budget.
Source: powers by class, IEEE 802.3af, at, bt, second-hand (see tailboard/physics/poe.py).
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network_poe import Fed, feedings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.rules.network.common import example_figures
from tailboard.units.wording import plain

RULE = Rule("poe-class-exceeded", "network", Severity.ERROR, __doc__)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device that is fed by PoE and of which both power and class are known."""
    for feeding in ask(feedings).values():
        for fed in feeding.fed:
            if fed.stated_w is not None and fed.class_w is not None:
                yield judged(ask, fed, fed.stated_w, fed.class_w)


def judged(ask: Ask, fed: Fed, stated_w: float, class_w: float) -> Claim:
    """Return the claim on one device."""
    model = ask.model
    kind, device = model.kind_of(fed.device), model.devices[fed.device]
    says = f"{fed.device} draws no more than a port gives its class ({plain(stated_w)} of {plain(class_w)} W)"
    if stated_w <= class_w:
        return RULE.holds(fed.device, says, assumptions=example_figures(kind))
    return RULE.broken(
        fed.device,
        says,
        spot=device.at.spot("kind"),
        message=f"{fed.device} ({kind.id}) draws {plain(stated_w)} W; {fed.port} gives {plain(class_w)} W to its class",
        because=[
            Because(model.cables[fed.cable].at.spot("end_b"), f"{fed.cable} leads from {fed.port} to {fed.device}")
        ],
        fix=f"correct the power or the class of {kind.id} from its data sheet, or feed {fed.device} from a supply of its own",
        breaks=[f"device {fed.device}"],
    )
