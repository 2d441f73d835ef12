"""The sections of show.yaml and the rig: which there are, and how each becomes records."""

from __future__ import annotations

from dataclasses import replace

from tailboard.findings import Spot
from tailboard.kinds.library import SECTIONS as KIND_SECTIONS
from tailboard.kinds.records import CableKind, Kind, Optic, SourceKind
from tailboard.model.records import (
    Cable,
    Circuit,
    Confirmed,
    Device,
    Heading,
    LineSet,
    Place,
    Requirement,
    Stream,
    Supply,
    SwitchPort,
    Vlan,
)  # fmt: skip
from tailboard.model.show import empty_heading
from tailboard.text.entries import list_keys, named_entries
from tailboard.text.fields import Record, columns_of, plain_key
from tailboard.text.misfits import FORM_WRONG, NAME_TWICE, VALUE_MISSING
from tailboard.text.nodes import Mapping, Node, Scalar, Sequence
from tailboard.text.recordreader import R, Report, WrittenOrigin, read_entry, read_keys

HEAD_KEYS = tuple(column.name for column in columns_of(Heading))
BY_NAME: dict[str, type[Record]] = {
    "supplies": Supply, "places": Place, "vlans": Vlan, "devices": Device, "cables": Cable, "streams": Stream,
    "circuits": Circuit, "requirements": Requirement, "confirmed": Confirmed,
    "sets": LineSet, "templates": SwitchPort,
    "optics": Optic, "kinds": Kind, "cable kinds": CableKind, "source kinds": SourceKind,
}  # fmt: skip
OVERLAID = {
    **{section: (1, list_keys(kind)) for section, kind in BY_NAME.items()},
    "stands": (1, frozenset[str]()),
    "switches": (2, list_keys(SwitchPort)),
}
SECTION_NAMES = (*HEAD_KEYS, *OVERLAID, "accepted", *KIND_SECTIONS)


def read_heading(root: Mapping, report: Report) -> Heading:
    """Return the head of the show."""
    entries = {word: entry for word, entry in root.entries.items() if plain_key(word) in set(map(plain_key, HEAD_KEYS))}
    if not entries:
        return empty_heading()
    values, nodes = read_keys(Heading, "show", Mapping(entries, root.spot), report)
    return Heading(id="show", at=WrittenOrigin(root.spot, nodes), **values)


def read_section(kind: type[R], root: Mapping, section: str, report: Report) -> dict[str, R]:
    """Return the records of a section by name."""
    if section == "devices":
        root = with_stands(root, report)
    found: dict[str, R] = {}
    for name, (key, node) in named_entries(root, section, report):
        record = read_entry(kind, name, key, node, report)
        if record is not None:
            found[name] = record
    return found


def with_stands(root: Mapping, report: Report) -> Mapping:
    """Return the file with `stands: {DEVICE: place}` written into the devices."""
    devices = root.get("devices")
    if not isinstance(devices, Mapping):
        return root
    entries = dict(devices.entries)
    for name, (key, node) in named_entries(root, "stands", report):
        if name not in entries:
            report.add(
                VALUE_MISSING.finding(
                    (name, "stands"),
                    key.spot,
                    f"{name} stands at a place but is no device of the rig",
                    f"add {name} under devices, or correct the name",
                )
            )
            continue
        own_key, own = entries[name]
        if isinstance(own, Mapping):
            place_key = Scalar("place", key.file, key.line, key.column, key.width)
            joined = {**own.entries, "place": (place_key, node)}
            entries[name] = (own_key, Mapping(joined, own.spot))
    return Mapping({**root.entries, "devices": (root.entries["devices"][0], Mapping(entries, devices.spot))}, root.spot)


def read_ports(root: Mapping, report: Report) -> dict[str, SwitchPort]:
    """Return the planned switch ports by SWITCH/PORT, templates filled in."""
    templates = read_section(SwitchPort, root, "templates", report)
    found: dict[str, SwitchPort] = {}
    for switch, (_, node) in named_entries(root, "switches", report):
        if not isinstance(node, Mapping):
            report.add(
                FORM_WRONG.finding(
                    switch,
                    node.spot,
                    f"{switch} needs a port before each entry",
                    f"write {switch}: {{1: {{access: VLAN}}}}",
                )
            )
            continue
        for port_key, item in node.items():
            port = read_port(f"{switch}/{port_key.text}", port_key, item, templates, report)
            if port is not None:
                found[port.id] = port
    return found


def read_port(
    name: str, key: Scalar, node: Node, templates: dict[str, SwitchPort], report: Report
) -> SwitchPort | None:
    """Return one port; a plain name instead of a mapping is the template it uses."""
    if isinstance(node, Scalar) and node.text:
        node = Mapping({"use": (Scalar("use", key.file, key.line, key.column, key.width), node)}, node.spot)
    port = read_entry(SwitchPort, name, key, node, report)
    template = templates.get(port.use) if port is not None and port.use else None
    if port is None or template is None:
        return port
    filled = {
        column.attribute: getattr(template, column.attribute)
        for column in columns_of(SwitchPort)
        if getattr(port, column.attribute) is None
    }
    return replace(port, **filled)


def read_listed(kind: type[R], root: Mapping, section: str, id_name: str, report: Report) -> dict[str, R]:
    """Return the records of a section that is a list; `id_name` holds each one's id."""
    node = root.get(section)
    if node is None or (isinstance(node, Scalar) and not node.text):
        return {}
    if not isinstance(node, Sequence):
        report.add(
            FORM_WRONG.finding(
                section,
                node.spot,
                f"'{section}' is a list, one entry a line",
                f"write a line '- {{{id_name}: ...}}' for each",
            )
        )
        return {}
    found: dict[str, R] = {}
    for item in node.items:
        named = named_item(item, section, id_name, report)
        if named is None:
            continue
        name, key, rest = named
        if name in found:
            report.add(
                NAME_TWICE.finding(
                    (section, name), key.spot, f"{name} stands twice under {section}", "delete one of the two"
                )
            )
            continue
        record = read_entry(kind, name, key, rest, report)
        if record is not None:
            found[name] = record
    return found


def named_item(item: Node, section: str, id_name: str, report: Report) -> tuple[str, Scalar, Mapping] | None:
    """Return (id, its node, the entry without it) of one list item, or None after reporting."""
    own = item.get(id_name) if isinstance(item, Mapping) else None
    if not isinstance(item, Mapping) or not isinstance(own, Scalar) or not own.text:
        spot = (
            item.spot if isinstance(item, Mapping | Sequence) else Spot(item.file, item.line, item.column, item.width)
        )
        report.add(
            VALUE_MISSING.finding(
                (section, id_name), spot, f"an entry under {section} has no {id_name}", f"write '{id_name}: ...' in it"
            )
        )
        return None
    rest = {word: entry for word, entry in item.entries.items() if word != id_name}
    return own.text, own, Mapping(rest, item.spot)
