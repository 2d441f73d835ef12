"""A device fed by PoE has a higher class than its port feeds.

What it finds: a powered device whose class, or stated power where no class is written, is above what the port of the
switch can give (`PoE source class` of its kind). Where the device states a power that the port can give at the end of
the longest cable, it may start with less than its class asks: warning; else error.
Why it matters: the port gives no more than its own class; the device does not start, or without its heater or motor.
Example: a camera of class 6 at a port of IEEE 802.3at, which feeds up to class 4.
Fix: a port of the higher class, or a supply of its own.
Does not find: ports of which the kind writes no class; budgets, see poe-over-budget. It is not a safety statement.
Source: powers by class, IEEE 802.3af, at, bt, second-hand (see tailboard/physics/poe.py); a port that gives a device
less than its class asks: IEEE 802.3bt, from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.network_poe import Fed, feedings
from tailboard.findings import Because, Claim, Rule, Severity
from tailboard.model.show import Model
from tailboard.physics.poe import device_power_w, source_power_w
from tailboard.rules.network.common import example_figures
from tailboard.rules.power.common import NONE_LISTED
from tailboard.units.wording import plain

RULE = Rule("poe-port-too-weak", "power", Severity.ERROR, __doc__, vouches=False)


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a device at a port of which the class is written."""
    for feeding in ask(feedings).values():
        for fed in feeding.fed:
            port = ask.model.port_kind(fed.port)
            asked_w = fed.stated_w if fed.class_w is None else fed.class_w
            if port is not None and port.poe_source_class is not None and asked_w is not None:
                yield judged(ask.model, fed, port.poe_source_class, asked_w)


def judged(model: Model, fed: Fed, port_class: int, asked_w: float) -> Claim:
    """Return the claim on one device."""
    kind, given_w = model.kind_of(fed.device), source_power_w(port_class)
    says = f"{NONE_LISTED}: {fed.device} asks more than {fed.port} can give ({plain(asked_w)} of {plain(given_w)} W)"
    if asked_w <= given_w:
        return RULE.holds(fed.device, says, assumptions=example_figures(kind))
    starts = fed.stated_w is not None and fed.class_w is not None and fed.stated_w <= device_power_w(port_class)
    stated = f"; the {plain(fed.stated_w)} W that it states would be enough" if starts and fed.stated_w else ""
    return RULE.broken(
        fed.device,
        says,
        spot=model.devices[fed.device].at.spot("kind"),
        message=f"{fed.device} ({kind.id}) asks {plain(asked_w)} W; {fed.port} feeds up to class {port_class} "
        f"({plain(given_w)} W){stated}",
        because=[
            Because(model.cables[fed.cable].at.spot("end_b"), f"{fed.cable} leads from {fed.port} to {fed.device}"),
            Because(model.ports[fed.port].at.spot("poe"), f"{fed.port} has PoE planned"),
        ],
        fix=f"{'try it on the bench, or plug' if starts else 'plug'} {fed.cable} into a port of a higher class, or feed "
        f"{fed.device} from a supply of its own; plug and unplug as its maker allows",
        severity=Severity.WARNING if starts else Severity.ERROR,
        breaks=[] if starts else [f"device {fed.device}"],
    )
