"""A UPS lasts fewer minutes under its load than the plan says.

What it finds: a UPS whose energy, divided by what the devices behind it draw (`on UPS`, with those that their switches
feed over data cables), gives fewer minutes than a device or the UPS itself states (`UPS`), or than the show asks of
every UPS (`UPS at least`). Also a UPS whose load is above what its kind gives at once (`UPS power`).
Why it matters: when the supply fails, everybody counts on the minutes that are written, and the rack goes dark earlier.
Example: a UPS of 110 Wh carries 600 W, which is 11 min; the switch behind it says 20 min.
Fix: take devices off the UPS or use a larger one, then test it under its load and write what was measured.
Does not find: an old or half-charged battery, starting currents, a UPS behind another. It is not a safety
statement.
Source: arithmetic; energies and loads are the plan's own figures; a UPS is tested under its load: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from tailboard.answers.ask import Ask
from tailboard.answers.power_ups import Backed, backed
from tailboard.findings import Because, Claim, Rule, Severity, Spot
from tailboard.model.show import Model
from tailboard.rules.network.common import example_figures
from tailboard.rules.power.common import DEFER, NONE_LISTED
from tailboard.units.wording import listed, plain

RULE = Rule("ups-minutes-short", "power", Severity.WARNING, __doc__, acceptable=False, vouches=False)
TEST = "test it under its load, and write the minutes that were measured"
Wish = tuple[float, str, Spot]  # minutes, who says so, where


def examine(ask: Ask) -> Iterator[Claim]:
    """Yield one claim a UPS that carries something."""
    for unit in ask(backed):
        yield judged(ask.model, unit)


def judged(model: Model, unit: Backed) -> Claim:
    """Return the claim on one UPS."""
    wish = longest(model, unit)
    says = f"{NONE_LISTED}: fewer minutes at {unit.ups} than written"
    lasts = unit.lasts_min
    if wish and lasts is not None and lasts < wish[0]:
        return short(model, unit, says, lasts, wish)
    record, limit_w = model.devices[unit.ups], model.kind_of(unit.ups).ups_power_w
    if limit_w is not None and unit.sum_w > limit_w:
        return overloaded(model, unit, says, limit_w)
    if lasts is None:
        return RULE.open(
            unit.ups,
            says,
            spot=record.at.spot("kind"),
            missing=f"the energy of {unit.ups} is not written; {plain(unit.sum_w)} W hang on it",
            fix=f"write UPS energy at the kind {record.kind}, from its data sheet, or {TEST}",
        )
    if unit.unknown:
        return RULE.open(
            unit.ups,
            says,
            spot=record.at.spot("kind"),
            missing=f"the load of {listed(unit.unknown)} behind {unit.ups} is not written; "
            f"without it the UPS lasts {plain(lasts, 1)} min at most",
            fix=f"write load at {listed(unit.unknown)} in {record.at.spot().file}, from the rating plate",
        )
    worked_out = f"{says} ({plain(unit.sum_w)} W, {plain(lasts, 1)} min worked out)" if unit.sum_w else says
    return RULE.holds(unit.ups, worked_out, assumptions=assumed(model, unit))


def overloaded(model: Model, unit: Backed, says: str, limit_w: float) -> Claim:
    """Return the claim on a UPS that has to give more at once than it can."""
    record = model.devices[unit.ups]
    heaviest = max(unit.loads, key=lambda load: load.power_w or 0.0)
    return RULE.broken(
        unit.ups,
        says,
        spot=record.at.spot("kind"),
        message=f"{unit.ups} gives {plain(limit_w)} W at most; {plain(unit.sum_w)} W hang on it: it cuts off at once, or "
        "passes the supply's failure on",
        because=[
            Because(
                model.devices[heaviest.device].at.spot("load_w"),
                f"{heaviest.device} draws the most of it: {plain(heaviest.power_w or 0.0)} W",
            )
        ],
        fix=f"take {plain(unit.sum_w - limit_w)} W or more off {unit.ups}, or use a larger UPS; {TEST}; {DEFER}",
    )


def short(model: Model, unit: Backed, says: str, lasts_min: float, wish: Wish) -> Claim:
    """Return the claim on a UPS that lasts fewer minutes than somebody says."""
    minutes, who, spot = wish
    record = model.devices[unit.ups]
    more = f" without {listed(unit.unknown)}, not written" if unit.unknown else ""
    heaviest = max(unit.loads, key=lambda load: load.power_w or 0.0)
    energy_wh = unit.energy_wh or 0.0
    return RULE.broken(
        unit.ups,
        says,
        spot=spot,
        message=f"{unit.ups} carries {plain(unit.sum_w)} W{more}: its {plain(energy_wh)} Wh last {plain(lasts_min, 1)} min; "
        f"{who} says {plain(minutes, 1)} min",
        because=[
            Because(record.at.spot("kind"), f"{unit.ups} is a {record.kind}, {plain(energy_wh)} Wh"),
            Because(
                model.devices[heaviest.device].at.spot("load_w"),
                f"{heaviest.device} draws the most of it: {plain(heaviest.power_w or 0.0)} W",
            ),
        ],
        fix=f"take {plain(unit.sum_w - 60 * energy_wh / minutes)} W or more off {unit.ups}, or use a larger UPS; {TEST}; {DEFER}",
    )


def longest(model: Model, unit: Backed) -> Wish | None:
    """Return the most minutes that a device behind a UPS, the UPS or the show states."""
    least = model.heading.ups_min_least
    wishes: list[Wish] = [] if least is None else [(least, "the show", model.heading.at.spot("ups_min_least"))]
    for name in (unit.ups, *(load.device for load in unit.loads)):
        record = model.devices[name]
        if record.ups_min is not None:
            wishes.append((record.ups_min, name, record.at.spot("ups_min")))
    return max(wishes, key=lambda wish: wish[0], default=None)


def assumed(model: Model, unit: Backed) -> list[str]:
    """Return the example figures that the minutes rest on."""
    found = [*example_figures(model.kind_of(unit.ups)), *(load.assumption for load in unit.loads if load.assumption)]
    return list(dict.fromkeys(found))
