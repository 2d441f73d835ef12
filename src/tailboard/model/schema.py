"""A JSON Schema (2020-12) of show.yaml and the rig for editors, made from the same columns that the reader uses.

It asks for nothing, for a show may write half of an entry and the rig the other half. An editor compares keys letter by
letter, where the reader overlooks case.
"""

from __future__ import annotations

import inspect
from typing import Any

from tailboard.kinds.records import Kind, PortKind
from tailboard.model.records import Accepted, Heading, SwitchPort
from tailboard.model.sections import BY_NAME
from tailboard.text.fields import Column, Record, columns_of

Schema = dict[str, Any]
DIALECT = "https://json-schema.org/draft/2020-12/schema"
RANGE = r"\.\.|,|[0-9]-[0-9A-Za-z]*[0-9]$"  # a key that stands for several names: SB-1..4, "a, b", 3-5
LISTED: Schema = {"anyOf": [{"type": "array"}, {"type": "string", "pattern": RANGE}]}  # a value for each name


def schema() -> Schema:
    """Return the schema of show.yaml and of a rig."""
    properties: dict[str, Any] = {column.name: column_schema(column) for column in columns_of(Heading)}
    properties |= {section: section_schema(record) for section, record in BY_NAME.items()}
    properties["stands"] = optional({"type": "object", "additionalProperties": {"type": ["string", "array"]}})
    properties["switches"] = optional(
        {"type": "object", "additionalProperties": named(port_schema(), port_schema(spread=True))}
    )
    properties["accepted"] = optional({"type": "array", "items": accepted_schema()})
    return {
        "$schema": DIALECT,
        "title": "show or rig",
        "type": "object",
        "properties": properties,
        "additionalProperties": False,
    }


def section_schema(record: type[Record]) -> Schema:
    """Return the schema of a section of named entries."""
    return named(record_schema(record), record_schema(record, spread=True))


def named(one: Schema, spread: Schema) -> Schema:
    """Return the schema of entries by name; those under a range may give each name its own value."""
    return optional({"type": "object", "patternProperties": {RANGE: spread, f"^(?!.*(?:{RANGE}))": one}})


def optional(inner: Schema) -> Schema:
    """Return the schema that also allows an empty value."""
    return {"anyOf": [inner, {"type": "null"}]}


def record_schema(record: type[Record], *, spread: bool = False) -> Schema:
    """Return the schema of one entry; `spread`: it stands under a range."""
    properties = {column.name: column_schema(column, spread=spread) for column in columns_of(record)}
    if record is Kind:
        properties["ports"] = section_schema(PortKind)
    found = {"type": "object", "properties": properties, "additionalProperties": False}
    return optional({**found, "description": inspect.cleandoc(record.__doc__ or "")})


def column_schema(column: Column, *, spread: bool = False) -> Schema:
    """Return the schema of one value."""
    if column.part is not None:
        return {**record_schema(column.part, spread=spread), "description": column.meaning}
    assert column.shape is not None
    said = f"{column.meaning}: {column.shape.words}" + (" (needed)" if column.required else "")
    own: Schema = (
        {"anyOf": [column.shape.schema, LISTED]} if spread and not column.shape.mapped else dict(column.shape.schema)
    )
    return {**own, "description": said}


def port_schema(*, spread: bool = False) -> Schema:
    """Return the schema of a switch port: its keys, or the name of a template alone."""
    return {"anyOf": [record_schema(SwitchPort, spread=spread), {"type": "string"}]}


def accepted_schema() -> Schema:
    """Return the schema of one accepted break; its claim names it."""
    inner = {column.name: column_schema(column) for column in columns_of(Accepted)}
    inner["claim"] = {"type": "string", "description": "the claim's id as `check` prints it"}
    return {"type": "object", "properties": inner, "required": ["claim"], "additionalProperties": False}
