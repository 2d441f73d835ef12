"""The answer of `origins`: the merged model, each value with the place it came from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, TypedDict

from tailboard.answers.ask import Ask
from tailboard.answers.network_ports import Setting, ports
from tailboard.answers.streams import streams
from tailboard.answers.wiring import wiring
from tailboard.findings import Because
from tailboard.model.show import Model
from tailboard.text.fields import Record, columns_of
from tailboard.text.nearmiss import nearest
from tailboard.views.places import PlaceView, Sources, place_view
from tailboard.views.values import value_words

SCHEMA = "tailboard/origins/1"


class ValueView(TypedDict):
    """One value.

    how  `written`, `default`, `derived: ...`, or `figure: ...` with the origin of a kind's figure.
    """

    name: str
    value: str
    how: str
    place: PlaceView


class ThingView(TypedDict):
    """One thing with its values."""

    id: str
    place: PlaceView
    values: list[ValueView]


class SectionView(TypedDict):
    """The things of one kind."""

    section: str
    things: list[ThingView]


class OriginsView(TypedDict):
    """The whole document. `wanted` is the thing asked for, empty for all."""

    schema: str
    wanted: str
    sections: list[SectionView]


def origins_view(ask: Ask, sources: Sources, wanted: str = "") -> OriginsView:
    """Return every thing with its values, or only those that `wanted` names: an id, 'line 5', or a section."""
    sections: list[SectionView] = []
    for section, records in tables(ask.model).items():
        things = [
            thing_view(ask, section, record, sources, full=bool(wanted))
            for name, record in records.items()
            if not wanted or wanted.lower() in {name.lower(), section, f"{singular(section)} {name}".lower()}
        ]
        if section == "streams":
            things += [
                one for one in derived_streams(ask, sources) if wanted.lower() in {"", one["id"].lower(), "streams"}
            ]
        if things:
            sections.append({"section": section, "things": things})
    return {"schema": SCHEMA, "wanted": wanted, "sections": sections}


def near_thing(model: Model, wanted: str) -> str:
    """Return the name of a thing or section that `wanted` probably means, or an empty text."""
    names = dict.fromkeys(name for records in tables(model).values() for name in records)
    return nearest(wanted, [*names, *tables(model)])


def singular(section: str) -> str:
    """Return what one thing of a section is called: lines -> line, buses -> bus, switch ports -> switch port."""
    if section.endswith("buses"):
        return section.removesuffix("es")
    return "supply" if section == "supplies" else section.removesuffix("s")


def tables(model: Model) -> dict[str, Mapping[str, Record]]:
    """Return the records of a model by section, kinds that are in use last."""
    used = {device.kind for device in model.devices.values()}
    kinds = {name: kind for name, kind in model.library.kinds.items() if name in used}
    optics = {port.optic for port in model.ports.values() if port.optic}
    cable_kinds = {cable.kind for cable in model.cables.values()}
    source_kinds = {line.type for line in model.lines.values() if line.type}
    return {
        "show": {"show": model.heading},
        "supplies": model.supplies,
        "places": model.places,
        "vlans": model.vlans,
        "devices": model.devices,
        "switch ports": model.ports,
        "cables": model.cables,
        "streams": model.streams,
        "circuits": model.circuits,
        "lines": model.lines,
        "buses": model.buses,
        "feeds": model.feeds,
        "stations": model.stations,
        "hearing": model.hearing,
        "requirements": model.requirements,
        "accepted": model.accepted,
        "confirmed": model.confirmed,
        "found ports": model.found.ports,
        "found labels": model.found.labels,
        "found house": model.found.houses,
        "kinds": kinds,
        "optics": {name: optic for name, optic in model.library.optics.items() if name in optics},
        "cable kinds": {name: kind for name, kind in model.library.cables.items() if name in cable_kinds},
        "source kinds": {name: kind for name, kind in model.library.sources.items() if name in source_kinds},
    }


def thing_view(ask: Ask, section: str, record: Record, sources: Sources, *, full: bool) -> ThingView:
    """Return one thing; `full` adds the defaults, what is derived, and the figures of its kind."""
    values = list(written_values(record, sources, full=full))
    if full:
        values += derived_values(ask, section, record, sources)
    return {"id": record.id, "place": place_view(record.at.spot(), sources), "values": values}


def written_values(record: Record, sources: Sources, *, full: bool, before: str = "") -> Iterator[ValueView]:
    """Yield the values of a record; those of its parts follow with the part's name before theirs."""
    figures = getattr(record, "figures", "")
    for column in columns_of(type(record)):
        value = getattr(record, column.attribute)
        how = record.at.how(column.attribute)
        if column.part is not None:
            if value is not None:
                yield from written_values(value, sources, full=full, before=f"{before}{column.name} ")
            continue
        words = value_words(value, column)
        if not words or (how == "default" and not full):
            continue
        if figures and how == "written" and column.attribute != "figures":
            how = f"figure: {figures}"
        place = place_view(record.at.spot(column.attribute if how != "default" else ""), sources)
        yield {"name": before + column.name, "value": words, "how": how, "place": place}


def derived_streams(ask: Ask, sources: Sources) -> list[ThingView]:
    """Return the streams that nobody wrote and that the patch needs."""
    found: list[ThingView] = []
    for name, plan in ask(streams).plans.items():
        if plan.derived:
            place = place_view(plan.record.at.spot(plan.attribute), sources)
            how = "derived: the patch needs it and no stream is written for it"
            values: list[ValueView] = [
                {"name": "from", "value": plan.sender, "how": how, "place": place},
                {"name": "to", "value": ", ".join(plan.receivers), "how": how, "place": place},
                {"name": "carries", "value": ", ".join(plan.contents), "how": how, "place": place},
            ]
            found.append({"id": name, "place": place, "values": values})
    return found


def derived_values(ask: Ask, section: str, record: Record, sources: Sources) -> Iterator[ValueView]:
    """Yield what follows from the rest of the plan: ends without a port, VLANs taken from a cable, a kind's figures."""
    name = record.id
    if section == "cables":
        for attribute, word, end in zip(("end_a", "end_b"), ("from", "to"), ask(wiring).ends[name], strict=True):
            if end is not None and end != getattr(record, attribute):
                how = "derived: the only port of the device that fits"
                yield {"name": word, "value": end, "how": how, "place": place_view(record.at.spot(attribute), sources)}
    if section == "devices":
        kind = ask.model.kind_of(name)
        if kind.id in ask.model.library.kinds:
            for value in written_values(kind, sources, full=False):
                yield {**value, "name": f"kind's {value['name']}"}
        for port, setting in ask(ports).settings.items():
            if port.partition("/")[0] == name:
                yield from setting_values(setting, f"port {port.partition('/')[2]} ", sources)
    if section == "switch ports" and name in ask(ports).settings:
        yield from setting_values(ask(ports).settings[name], "", sources)


def setting_values(setting: Setting, before: str, sources: Sources) -> Iterator[ValueView]:
    """Yield the VLANs of a switch port as they come to be, with where that is said."""
    if setting.untagged:
        yield said_value(f"{before}untagged", setting.untagged, setting.untagged_said, sources)
    if setting.tagged:
        yield said_value(f"{before}tagged", ", ".join(sorted(setting.tagged)), setting.tagged_said, sources)


def said_value(name: str, value: Any, said: Because, sources: Sources) -> ValueView:
    """Return a derived value with the reason for it."""
    return {"name": name, "value": value, "how": f"derived: {said.words}", "place": place_view(said.spot, sources)}
