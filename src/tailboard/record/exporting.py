"""The record as JSON and as a table, for other programs and for the next show."""

from __future__ import annotations

import base64
import csv
import io
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime
from typing import Any

from tailboard.record.operations import Kept, Operation

SCHEMA = "tailboard/record/1"
COLUMNS = (
    "number", "id", "sort", "subject", "verdict", "value", "words", "by", "at", "received", "plan version", "plan sum",
    "row sum", "replaces", "source", "photo",
)  # fmt: skip
READING = re.compile(r"[+-]?\d+([.,]\d+)? ?[A-Za-z/]{0,6}")
FORMULA = ("=", "+", "-", "@", "\t", "\r")  # how a cell begins that a spreadsheet would work out


def operation_json(kept: Kept, photo: bool) -> dict[str, Any]:
    """Return an operation as JSON; `photo` says whether it has a picture."""
    one = kept.operation
    return {
        "number": kept.number, "received_ms": kept.received_ms, "id": one.id, "device": one.device, "count": one.count,
        "sort": one.sort, "subject": one.subject, "verdict": one.verdict, "value": one.value, "words": one.words,
        "by": one.by, "at_ms": one.at_ms, "plan_version": one.plan_version, "plan_sum": one.plan_sum,
        "row_sum": one.row_sum, "replaces": list(one.replaces), "source": one.source, "photo": photo,
    }  # fmt: skip


def record_json(kept: Iterable[Kept], photo_of: Callable[[str], bytes | None], show: str) -> dict[str, Any]:
    """Return the whole record as JSON, its pictures in base64."""
    operations = []
    for one in kept:
        data = photo_of(one.operation.id)
        told = operation_json(one, data is not None)
        operations.append({**told, "photo": base64.b64encode(data).decode() if data is not None else ""})
    return {"schema": SCHEMA, "show": show, "operations": operations}


def operation_of(told: Mapping[str, Any]) -> Operation:
    """Return an operation from its JSON. Raises KeyError, TypeError, ValueError for what is none."""
    return Operation(
        device=str(told["device"]), count=int(told["count"]), sort=str(told["sort"]), subject=str(told["subject"]),
        verdict=str(told["verdict"]), value=str(told["value"]), words=str(told["words"]), by=str(told["by"]),
        at_ms=int(told["at_ms"]), plan_version=str(told["plan_version"]), plan_sum=str(told["plan_sum"]),
        row_sum=str(told["row_sum"]), replaces=tuple(str(one) for one in told["replaces"]), source=str(told["source"]),
        photo=base64.b64decode(told["photo"], validate=True) if isinstance(told["photo"], str) else b"",
    )  # fmt: skip


def record_csv(kept: Iterable[Kept], photos: frozenset[str]) -> str:
    """Return the record as a table; a text that a spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(COLUMNS)
    for row in kept:
        one = row.operation
        cells = (
            row.number, one.id, one.sort, one.subject, one.verdict, one.value, one.words, one.by, moment(one.at_ms),
            moment(row.received_ms), one.plan_version, one.plan_sum, one.row_sum, " ".join(one.replaces), one.source,
            "yes" if one.id in photos else "",
        )  # fmt: skip
        table.writerow([plain_cell(cell) for cell in cells])
    return out.getvalue()


def plain_cell(cell: object) -> object:
    """Return a cell that no spreadsheet works out; a number with its sign stays one."""
    if not isinstance(cell, str) or not cell.startswith(FORMULA) or READING.fullmatch(cell):
        return cell
    return f"'{cell}"


def moment(time_ms: int) -> str:
    """Return a time as ISO 8601, in UTC."""
    try:
        return datetime.fromtimestamp(time_ms / 1000, UTC).isoformat(timespec="milliseconds")
    except (OverflowError, OSError, ValueError):
        return str(time_ms)
