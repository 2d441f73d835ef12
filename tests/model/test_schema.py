"""The JSON Schema and the reference of the format: made from the columns, and true of the shipped examples."""

from __future__ import annotations

import random
import re
from typing import Any

import jsonschema
import pytest
import yaml

from support.draft import EXAMPLES, Draft
from support.synthetic import synthetic
from tailboard.kinds.records import CableKind, Kind, Optic, PortKind, SourceKind
from tailboard.model.document import chapters, format_document
from tailboard.model.records import Clock
from tailboard.model.schema import schema
from tailboard.text.fields import Column, Record, columns_of

VALIDATOR = jsonschema.Draft202012Validator(schema())
RECORDS: tuple[type[Record], ...] = (
    *dict.fromkeys((*(chapter.record for chapter in chapters()), Clock, Kind, PortKind, Optic, CableKind, SourceKind)),
)


class Plain(yaml.BaseLoader):
    """Reads YAML as an editor with the core schema of YAML 1.2 does: yes and on are words."""


for pattern, tag, first in (
    (r"(?:|~|null|Null|NULL)$", "null", ["~", "n", "N", ""]),
    (r"(?:true|True|TRUE|false|False|FALSE)$", "bool", list("tTfF")),
    (r"[-+]?[0-9]+$", "int", list("-+0123456789")),
    (r"[-+]?(?:\.[0-9]+|[0-9]+\.[0-9]*)(?:[eE][-+]?[0-9]+)?$", "float", list("-+0123456789.")),
):
    Plain.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(pattern), first)
    Plain.add_constructor(f"tag:yaml.org,2002:{tag}", getattr(yaml.SafeLoader, f"construct_yaml_{tag}"))


def loaded(text: str) -> Any:
    """Return a YAML text as JSON values; JSON knows only texts as keys."""

    def keyed(node: Any) -> Any:
        if isinstance(node, dict):
            return {str(key): keyed(item) for key, item in node.items()}
        return [keyed(item) for item in node] if isinstance(node, list) else node

    return keyed(yaml.load(text, Plain))  # noqa: S506  a base loader makes nothing but plain values


def faults(text: str) -> list[str]:
    """Return what the schema has against a YAML text."""
    return [f"{list(error.absolute_path)}: {error.message[:200]}" for error in VALIDATOR.iter_errors(loaded(text))]


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("example", sorted(folder.name for folder in EXAMPLES.iterdir() if folder.is_dir()))
def test_the_shipped_examples_fit_the_schema(example: str) -> None:
    for name, text in Draft.example(example).files.items():
        if name in {"show.yaml", "rig.yaml"}:
            assert faults(text) == [], name


@pytest.mark.parametrize("lines", [10, 40, 100])
def test_generated_shows_fit_the_schema(lines: int) -> None:
    draft = synthetic(random.Random(lines), lines)
    assert faults(draft.files["show.yaml"]) == []
    assert faults(draft.files["rig.yaml"]) == []


@pytest.mark.parametrize(
    "text",
    [
        "devcies: {}",
        "devices: {SB-1: {knid: camera}}",
        "devices: [SB-1]",
        "devices: {SB-1: camera}",
        "cables: {C-01: {state: lying}}",
        "vlans: {A: {id: 5000}}",
        "switches: {SW-T: {1: [a]}}",
        "accepted: {claim: x}",
        "kinds: {k: {ports: {1..4: {way: up}}}}",
        "devices: {SB-1: {clock: {domian: 0}}}",
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(text: str) -> None:
    assert faults(text) != []
    assert Draft({"show.yaml": text + "\n"}).read().findings != []


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_default_fits_its_own_shape(record: type[Record]) -> None:
    for column in columns_of(record):
        if column.shape is None or column.default in (None, (), ""):
            continue
        assert column.shape.parse(as_written(column)) == column.default, column.name
        jsonschema.validate(as_written(column), column.shape.schema)


def as_written(column: Column) -> str:
    """Return a default as a user would write it."""
    assert column.shape is not None
    if isinstance(column.default, bool):
        return "yes" if column.default else "no"
    return f"{column.default} {column.shape.base}".strip()


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_every_column_has_a_meaning_and_a_name_of_its_own(record: type[Record]) -> None:
    listed = columns_of(record)
    assert all(column.meaning for column in listed)
    assert len({column.name.lower() for column in listed}) == len(listed)


def test_the_reference_lists_every_column_once_in_its_table() -> None:
    parts = re.split(r"^### ", format_document(), flags=re.MULTILINE)[1:]
    by_heading = {part.partition("\n")[0]: part for part in parts}
    assert list(by_heading) == [chapter.heading for chapter in chapters()]
    for chapter in chapters():
        keys = re.findall(r"^\| `([^`]+)` \|", by_heading[chapter.heading], flags=re.MULTILINE)
        expected = [column.name for column in columns_of(chapter.record)]
        assert [key for key in keys if key in expected] == expected, chapter.heading


def test_every_row_of_the_reference_has_four_cells() -> None:
    rows = [line for line in format_document().splitlines() if line.startswith("|")]
    assert len(rows) > 100
    assert {len(re.findall(r"(?<!\\)\|", row)) for row in rows} == {5}
