"""Mappings and table rows to records: every field by its column, every fault reported, nothing raised."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, TypeVar

from tailboard.findings import Finding, Severity, Spot
from tailboard.text.csvfile import damage
from tailboard.text.faults import CELL_DAMAGED
from tailboard.text.fields import (
    Column,
    Record,
    columns_by_key,
    columns_of,
    columns_with_rest,
    plain_key,
    required_columns,
)
from tailboard.text.misfits import COLUMN_UNKNOWN, FORM_WRONG, KEY_UNKNOWN, VALUE_MISSING, VALUE_UNFIT
from tailboard.text.nearmiss import nearest
from tailboard.text.nodes import Cell, Mapping, Node, Row, Scalar, Sequence, Table, Written
from tailboard.text.shapes import MINUS, NAME, NAMES, FieldError, Shape, Value

R = TypeVar("R", bound=Record)
Parser = Callable[[str], Value]
BLANK = frozenset({"", "-", "–", "—"})


@dataclass(slots=True, eq=False)
class WrittenOrigin:
    """Origin of a record read from YAML: each attribute's node. A node may come from the show or from the rig."""

    begin: Spot
    nodes: dict[str, Node]

    def spot(self, attribute: str = "") -> Spot:
        """Return where the attribute, or the record, was written."""
        node = self.nodes.get(attribute)
        return self.begin if node is None else node.spot

    def how(self, attribute: str) -> str:
        """Return 'written' or 'default'."""
        return "written" if attribute in self.nodes else "default"

    def lend(self, attribute: str, other: str) -> None:
        """Note that an attribute was written with another one."""
        self.nodes = {**self.nodes, attribute: self.nodes[other]}


@dataclass(slots=True, eq=False)
class RowOrigin:
    """Origin of a record read from a table row: which column holds which attribute."""

    row: Row
    places: dict[str, int]

    def spot(self, attribute: str = "") -> Spot:
        """Return where the attribute stands; for one without a column, where the row begins."""
        index = self.places.get(attribute)
        return self.row[0 if index is None else index].spot

    def how(self, attribute: str) -> str:
        """Return 'written' or 'default'."""
        index = self.places.get(attribute)
        return "default" if index is None or self.row.texts[index] in BLANK else "written"

    def lend(self, attribute: str, other: str) -> None:
        """Note that an attribute was written with another one."""
        self.places = {**self.places, attribute: self.places[other]}


@dataclass(slots=True)
class Report:
    """Findings as they are made; readers add, nothing is printed.

    parsed  how a shape parses and a text: the value. Most texts of a plan stand in it many times.
    """

    findings: list[Finding] = field(default_factory=list)
    parsed: dict[tuple[Parser, str], Value] = field(default_factory=dict)

    def add(self, finding: Finding) -> None:
        """Keep a finding."""
        self.findings.append(finding)

    def unfit(self, where: Written, record_id: str, name: str, problem: str) -> None:
        """Report a value that does not fit its field, or a cell that a spreadsheet damaged."""
        if not self.damaged(where.text, where.spot, record_id, name):
            message = f"{name} of {record_id}: {problem}"
            self.add(VALUE_UNFIT.finding((record_id, name), where.spot, message, f"correct {name} of {record_id}"))

    def damaged(self, text: str, spot: Spot, record_id: str, name: str) -> bool:
        """Report and return whether a spreadsheet damaged a text; one that is reported already is not reported again."""
        harm = damage(text)
        if not harm:
            return False
        if not any(known.rule == CELL_DAMAGED.name and known.spot == spot for known in self.findings):
            fix = "type the value again as text, with the column set to text"
            self.add(CELL_DAMAGED.finding((record_id, name), spot, f"{name} of {record_id}: {harm}", fix))
        return True


def read_value(node: Node, name: str, shape: Shape, record_id: str, report: Report) -> Value:
    """Return the value of a YAML node for a field, or None after reporting why not."""
    if shape.mapped:
        return read_mapped(node, name, shape, record_id, report)
    if isinstance(node, Sequence) and shape.listing:
        return read_sequence(node, name, shape, record_id, report)
    if not isinstance(node, Scalar):
        report.add(
            FORM_WRONG.finding(
                (record_id, name),
                node.spot,
                f"{name} of {record_id} is a list or mapping; {shape.words} is expected",
                f"write {shape.words} after '{name}:'",
            )
        )
        return None
    return parse_scalar(node, name, shape, record_id, report)


def parse_scalar(node: Written, name: str, shape: Shape, record_id: str, report: Report) -> Value:
    """Return the parsed text of one scalar, or None."""
    text = node.text
    if text in BLANK:
        return None
    key = (shape.parse, text)
    value = report.parsed.get(key)
    if value is None:
        try:
            value = report.parsed[key] = shape.parse(text)
        except FieldError as problem:
            report.unfit(node, record_id, name, str(problem))
    return value


def read_sequence(node: Sequence, name: str, shape: Shape, record_id: str, report: Report) -> tuple[Value, ...]:
    """Return the items of a YAML sequence, each parsed as a list of its own and joined."""
    listed: list[Value] = []
    for item in node.items:
        if isinstance(item, Scalar):
            listed.extend(parse_scalar(item, name, shape, record_id, report) or ())
        else:
            report.add(
                FORM_WRONG.finding(
                    (record_id, name),
                    item.spot,
                    f"{name} of {record_id} holds a list in a list",
                    "write plain names, separated by commas",
                )
            )
    return tuple(listed)


def read_mapped(node: Node, name: str, shape: Shape, record_id: str, report: Report) -> dict[str, Value]:
    """Return a mapping of name to value; where the shape allows it, a plain list of names with empty values."""
    if shape.bare and not isinstance(node, Mapping):
        return dict.fromkeys(read_value(node, name, NAMES, record_id, report) or (), ())
    if not isinstance(node, Mapping):
        report.add(
            FORM_WRONG.finding(
                (record_id, name),
                node.spot,
                f"{name} of {record_id} is no mapping; {shape.words} is expected",
                f"write {name}: {{name: value}}",
            )
        )
        return {}
    assert shape.item is not None
    found: dict[str, Value] = {}
    for key, item in node.items():
        value = read_value(item, f"{name} {key.text}", shape.item, record_id, report)
        if value is not None:
            found[key.text] = value
    return found


def read_entry(kind: type[R], record_id: str, key: Scalar, node: Node, report: Report) -> R | None:
    """Return the record written as the mapping `node` under `key`; None when it lacks what it cannot do without."""
    if isinstance(node, Scalar) and node.text in BLANK:
        node = Mapping({}, key.spot)
    if not isinstance(node, Mapping):
        known = ", ".join(column.name for column in columns_of(kind)[:4])
        report.add(
            FORM_WRONG.finding(
                record_id,
                node.spot,
                f"{record_id} needs keys such as {known}",
                f"write {record_id}: {{{known.split(', ')[0]}: ...}}",
            )
        )
        return None
    values, nodes = read_keys(kind, record_id, node, report)
    return finish(kind, record_id, values, WrittenOrigin(key.spot, nodes), report)


def read_keys(
    kind: type[Record], record_id: str, node: Mapping, report: Report
) -> tuple[dict[str, Value], dict[str, Node]]:
    """Return the values and the nodes of a mapping, by attribute."""
    by_name = columns_by_key(kind)
    values: dict[str, Value] = {}
    nodes: dict[str, Node] = {}
    for key, item in node.items():
        column = by_name.get(key.text) or by_name.get(plain_key(key.text))
        if column is None:
            report.add(unknown_key(record_id, key, by_name))
            continue
        nodes[column.attribute] = item
        if column.part is not None:
            values[column.attribute] = read_entry(column.part, f"{record_id} {column.name}", key, item, report)
            continue
        assert column.shape is not None
        value = read_value(item, column.name, column.shape, record_id, report)
        if value is not None:
            values[column.attribute] = value
    return values, nodes


def unknown_key(record_id: str, key: Scalar, known: dict[str, Any]) -> Finding:
    """Return the finding for a key that the format does not have."""
    near = nearest(plain_key(key.text), known)
    fix = f"write '{near}'" if near else f"known here: {', '.join(known)}; a remark goes into 'note'"
    meant = f"; did you mean '{near}'?" if near else ""
    return KEY_UNKNOWN.finding((record_id, key.text), key.spot, f"{record_id} has no key '{key.text}'{meant}", fix)


def part_minus(column: Column, values: dict[str, Value], origin: Any) -> None:
    """Give what stands behind the word minus to the attribute that takes it."""
    written = values.get(column.attribute, ())
    if not any(name.startswith(MINUS) for name in written):
        return
    out = [name.removeprefix(MINUS) for name in written if name.startswith(MINUS)]
    kept = tuple(name for name in written if not name.startswith(MINUS))
    if kept:
        values[column.attribute] = kept
    else:
        del values[column.attribute]
    if column.rest not in values:
        origin.lend(column.rest, column.attribute)
    values[column.rest] = tuple(dict.fromkeys([*values.get(column.rest, ()), *out]))


def finish(kind: type[R], record_id: str, values: dict[str, Value], origin: Any, report: Report) -> R | None:
    """Return the record, unless a required value is missing."""
    for column in columns_with_rest(kind):
        part_minus(column, values, origin)
    lacking = [column.name for column in required_columns(kind) if column.attribute not in values]
    for name in lacking:
        report.add(
            VALUE_MISSING.finding(
                (record_id, name), origin.spot(), f"{record_id} has no {name}", f"write {name} for {record_id}"
            )
        )
    return None if lacking else kind(id=record_id, at=origin, **values)


def table_plan(
    kind: type[Record], table: Table, id_name: str, report: Report
) -> tuple[dict[str, int], list[tuple[int, Column]]]:
    """Return where each attribute's column is, and the columns to parse; unknown headings are reported."""
    by_name = columns_by_key(kind)
    places: dict[str, int] = {}
    plan: list[tuple[int, Column]] = []
    for index, cell in enumerate(table.header):
        name = plain_key(cell.text)
        if name == id_name:
            places.setdefault("id", index)
        elif name in by_name:
            if places.setdefault(by_name[name].attribute, index) == index:
                plan.append((index, by_name[name]))
        elif name and not name.startswith("note"):
            near = nearest(name, [id_name, *by_name])
            fix = f"rename the column to '{near}'" if near else "rename it 'note ...' to keep it as a remark"
            report.add(
                COLUMN_UNKNOWN.finding(
                    (table.name, cell.text),
                    cell.spot,
                    f"{table.name} has a column '{cell.text}' that takes no part",
                    fix,
                    severity=Severity.WARNING if near else Severity.NOTE,
                )
            )
    return places, plan


def read_rows(kind: type[R], table: Table, id_name: str, report: Report) -> Iterator[tuple[Cell, R]]:
    """Yield (id cell, record) for each row; rows without an id are reported and left out."""
    places, plan = table_plan(kind, table, id_name, report)
    if "id" not in places:
        spot = table.header[0].spot if table.header else Spot(table.file)
        fix = f"name the column that holds the {id_name} '{id_name}'"
        report.add(VALUE_MISSING.finding((table.name, id_name), spot, f"{table.name} has no column '{id_name}'", fix))
        return
    for row in table.rows:
        id_cell = row[places["id"]]
        if id_cell.text in BLANK:
            message, fix = f"a row of {table.name} has no {id_name}", f"give the row a {id_name}, or delete it"
            report.add(VALUE_MISSING.finding((table.name, id_name), id_cell.spot, message, fix))
            continue
        if parse_scalar(id_cell, id_name, NAME, table.name, report) is None:
            continue
        values = read_cells(row, plan, id_cell.text, report)
        record = finish(kind, id_cell.text, values, RowOrigin(row, places), report)
        if record is not None:
            yield id_cell, record


def read_cells(row: Row, plan: list[tuple[int, Column]], record_id: str, report: Report) -> dict[str, Value]:
    """Return the values of a row by attribute."""
    values: dict[str, Value] = {}
    texts, parsed = row.texts, report.parsed
    for index, column in plan:
        text = texts[index]
        if text in BLANK:
            continue
        assert column.shape is not None
        value = parsed.get((column.shape.parse, text))
        if value is None:
            value = parse_scalar(row[index], column.name, column.shape, record_id, report)
        if value is not None:
            values[column.attribute] = value
    return values
