"""What a question is about: the thing in the plan that an assumption's name, or the name of an answer, points to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tailboard.findings import NOWHERE, Claim, Spot
from tailboard.model.records import Clock, Device
from tailboard.model.show import Model
from tailboard.text.fields import Record, columns_of

FIGURES = ("kind", "source kind", "cable kind", "optic")  # what an assumption's name begins with, where it is a figure
# Facts of a device that are no field of its own: of a splitter, that the jack in use lets 48 V through.
OTHER_FACTS = frozenset({"48V"})
# What somebody tries on a feed: the word after the feed's name in `settles`.
TRIALS = ("coupling", "margin", "return")


@dataclass(frozen=True, slots=True)
class About:
    """What a question is about.

    sort    'kind', 'source kind', 'cable kind' or 'optic' for example figures; 'device' for a fact; 'feed' for a trial.
    thing   name of the kind, the device or the feed; field: of a device, or what is tried on a feed; else empty.
    record  where it is written, with the spot of that value.
    users   what has such a kind: devices, ports, cables; lines as 'line 5'.
    used    where the first of them says so; for a fact or a trial, the same as the spot.
    """

    sort: str
    thing: str
    field: str
    record: Record
    spot: Spot
    users: tuple[str, ...]
    used: Spot


def about(name: str, model: Model) -> About | None:
    """Return what a question's name is about; None where the plan has nothing of that name."""
    return about_figures(name, model) or about_device(name, model) or about_feed(name, model)


def about_figures(name: str, model: Model) -> About | None:
    """Return the kind, optic, cable kind or source kind that a name is about: `kind console-96`."""
    library = model.library
    tables: tuple[tuple[str, Mapping[str, Record], Mapping[str, Record], str], ...] = (
        ("kind", library.kinds, model.devices, "kind"),
        ("source kind", library.sources, model.lines, "type"),
        ("cable kind", library.cables, model.cables, "kind"),
        ("optic", library.optics, model.ports, "optic"),
    )
    for sort, records, things, attribute in tables:
        thing = name.removeprefix(f"{sort} ").partition(":")[0]
        if name.startswith(f"{sort} ") and thing in records:
            users = [user for user, record in things.items() if getattr(record, attribute) == thing]
            used = things[users[0]].at.spot(attribute) if users else NOWHERE
            named = tuple(f"line {user}" if sort == "source kind" else user for user in users)
            return About(sort, thing, "", records[thing], records[thing].at.spot(), named, used)
    return None


def about_device(name: str, model: Model) -> About | None:
    """Return the device and its field that a name is about: `HD-1 excludes`."""
    thing, _, field = name.partition(" ")
    device = model.devices.get(thing)
    if device is None or not field:
        return None
    own = {column.name: column.attribute for column in columns_of(Device) if column.part is None}
    timing = {column.name: column.attribute for column in columns_of(Clock)}
    if field not in {*own, *timing, *OTHER_FACTS}:
        return None
    spot = device.at.spot(own.get(field, ""))
    if field in timing and device.clock is not None:
        spot = device.clock.at.spot(timing[field])
    return About("device", thing, field, device, spot, (), spot)


def about_feed(name: str, model: Model) -> About | None:
    """Return the feed and what is tried on it that a name is about: `FD2 margin`."""
    thing, _, trial = name.rpartition(" ")
    feed = model.feeds.get(thing)
    if feed is None or trial not in TRIALS:
        return None
    return About("feed", thing, trial, feed, feed.at.spot(), (), feed.at.spot())


def question_of(claim: Claim) -> str:
    """Return the name under which an open claim is asked: the trial whose `settles` its repair names, else its own id."""
    fix = claim.finding.fix if claim.finding is not None else ""
    names = (f"{claim.subject[0]} {trial}" for trial in TRIALS)
    return next((name for name in names if f"'settles: {name}'" in fix), claim.id)
