"""Every name that stands for another thing must exist; the nearest one is offered where it does not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from tailboard.kinds.records import Kind, PortKind
from tailboard.model.show import Model
from tailboard.text.fields import Column, Record, columns_of
from tailboard.text.misfits import NAME_UNKNOWN
from tailboard.text.nearmiss import nearest
from tailboard.text.recordreader import Report
from tailboard.text.shapes import Value

OSCILLATOR = "OSC"
ANY_JACK = "any"


def check_references(model: Model, report: Report) -> None:
    """Report every name that nothing bears. A table that is wholly absent is not missed: a lone list of lines is a show."""
    tables = known_names(model)
    sound: set[str] = set()  # jacks found to exist: most are named more than once
    groups: Iterable[Mapping[str, Record]] = (
        model.places, model.vlans, model.devices, model.ports, model.cables, model.streams, model.circuits,
        model.lines, model.buses, model.sets, model.feeds, model.stations,
    )  # fmt: skip
    for group in groups:
        first = next(iter(group.values()), None)
        columns = reference_columns(type(first)) if first is not None else ()
        for record in group.values():
            for column, table in columns:
                value = getattr(record, column.attribute)
                known = sound if table == "port" else tables[table]
                for name in written_names(value) if value else ():
                    if name in known:
                        continue
                    if table != "port":
                        if known:
                            report_unknown(record, column, name, table, known, report)
                    elif check_port(model, record, column, name, report):
                        sound.add(name)
    check_mapping_keys(model, tables, report)


def known_names(model: Model) -> dict[str, Mapping[str, object]]:
    """Return the names that exist, by the word a shape uses for its table."""
    library = model.library
    return {
        "supply": model.supplies, "place": model.places, "vlan": model.vlans, "device": model.devices,
        "cable": model.cables, "line": model.lines, "bus": model.buses, "feed": model.feeds,
        "kind": library.kinds, "optic": library.optics, "cable kind": library.cables, "source kind": library.sources,
        "member": {**model.sets, **model.lines, **model.buses, **model.feeds, **model.stations, **party_lines(model), OSCILLATOR: None},
    }  # fmt: skip


def party_lines(model: Model) -> dict[str, None]:
    """Return the party lines and circuits that stations name; a party line exists by being listened to."""
    names = dict.fromkeys(name for station in model.stations.values() for name in station.listen)
    return {**names, **dict.fromkeys(model.circuits)}


def reference_columns(kind: type[Record]) -> tuple[tuple[Column, str], ...]:
    """Return the fields of a record that name other things, each with the word of its table."""
    shaped = ((column, column.shape.names) for column in columns_of(kind) if column.shape is not None)
    return tuple((column, table) for column, table in shaped if table not in {"", "template"})


def written_names(value: Value) -> Iterable[str]:
    """Return the names a field holds, one level deep."""
    if isinstance(value, str):
        return (value,)
    if isinstance(value, dict):
        return (name for names in value.values() for name in ((names,) if isinstance(names, str) else names))
    names: tuple[str, ...] = value
    return names


def report_unknown(record: Record, column: Column, name: str, table: str, known: Iterable[str], report: Report) -> None:
    """Report a name that nothing bears: misspelt, missing, or damaged by a spreadsheet."""
    if report.damaged(name, record.at.spot(column.attribute), record.id, column.name):
        return
    near = nearest(name, known)
    word = "line or bus" if table == "member" else table
    meant = f"; did you mean {near}?" if near else ""
    fix = f"write {near}" if near else f"add {name}, or correct the name"
    report.add(
        NAME_UNKNOWN.finding(
            (record.id, column.name, name),
            record.at.spot(column.attribute),
            f"{column.name} of {record.id}: there is no {word} '{name}'{meant}",
            fix,
        )
    )


def check_port(model: Model, record: Record, column: Column, name: str, report: Report) -> bool:
    """Return whether DEVICE/JACK exists, for any field; report it where the device, or the jack on its kind, does not.

    `line 7` names a line's source.
    """
    if name.startswith("line "):
        if model.lines and name.removeprefix("line ") not in model.lines:
            report_unknown(record, column, name.removeprefix("line "), "line", model.lines, report)
        return False
    device, _, jack = name.partition("/")
    if device in model.streams or device in model.vlans:
        return True
    if not model.devices:
        report.damaged(name, record.at.spot(column.attribute), record.id, column.name)
        return False
    if device not in model.devices:
        report_unknown(record, column, device, "device", [*model.devices, *model.streams], report)
        return False
    kind = model.kind_of(device)
    if not jack or has_jack(kind, jack):
        return True
    if not (column.attribute == "goes_to" and is_channel(kind, jack)):
        near = nearest(jack, jacks_of(kind))
        meant = f"; did you mean {device}/{near}?" if near else ""
        names = ranges_of(kind)
        report.add(
            NAME_UNKNOWN.finding(
                (record.id, column.name, name),
                record.at.spot(column.attribute),
                f"{column.name} of {record.id}: {device} ({kind.id}) has no jack '{jack}'{meant}",
                f"use one of {names}" if names else f"list the jacks of the kind {kind.id}",
            )
        )
    return False


def has_jack(kind: Kind, jack: str) -> bool:
    """Return whether a kind has a jack or port of that name; a console also has its strips by number."""
    if kind.open_ports or jack in (kind.ports or {}):
        return True
    if kind.strips is not None and jack.isdigit():
        return 1 <= int(jack) <= kind.strips
    return False


def is_channel(kind: Kind, jack: str) -> bool:
    """Return whether a kind has a receiver channel of that number."""
    return jack.isdigit() and 1 <= int(jack) <= (kind.receive_channels or 0)


def jacks_of(kind: Kind) -> dict[str, PortKind]:
    """Return the jacks of a kind."""
    return kind.ports or {}


def ranges_of(kind: Kind) -> str:
    """Return the jacks of a kind in short: '1..24, o1..12, audio'."""
    from tailboard.text.ranges import compress  # noqa: PLC0415

    names = compress(list(jacks_of(kind)))
    return f"{names}, strips 1..{kind.strips}" if kind.strips else names


def check_mapping_keys(model: Model, tables: dict[str, Mapping[str, object]], report: Report) -> None:
    """Report names that stand as keys: VLANs of addresses, switches of queriers, receivers of streams."""
    checks: tuple[tuple[Mapping[str, Record], str, str], ...] = (
        (model.devices, "address", "vlan"), (model.vlans, "querier", "device"), (model.streams, "receivers", "device"),
        (model.devices, "sends_bit_per_s", "device"), (model.devices, "exchanges_bit_per_s", "device"),
        (model.devices, "meets_only_on", "device"), (model.found.houses, "querier", "vlan"),
    )  # fmt: skip
    for group, attribute, table in checks:
        for record in group.values():
            column = next(item for item in columns_of(type(record)) if item.attribute == attribute)
            for name in getattr(record, attribute) or {}:
                if tables[table] and name not in tables[table]:
                    report_unknown(record, column, name, table, tables[table], report)
    for name, port in model.ports.items():
        switch = name.partition("/")[0]
        if switch not in model.devices:
            column = columns_of(type(port))[0]
            report_unknown(port, column, switch, "device", model.devices, report)
