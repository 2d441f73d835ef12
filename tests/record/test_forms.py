"""The record as JSON, as a table, and as the text of waiting ticks: what goes out comes back, what was mistyped is seen."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
import zlib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.operations import any_operation, tick
from tailboard.record.exporting import operation_of, record_csv, record_json
from tailboard.record.operations import Kept, Operation, fault_of
from tailboard.record.waitingtext import typed, waiting_text

OUTBOX = Path(__file__).parents[2] / "src" / "tailboard" / "web" / "static" / "outbox.js"


@given(st.lists(any_operation(), max_size=5, unique_by=lambda one: one.id))
def test_json_comes_back(operations: list[Operation]) -> None:
    kept = [Kept(number, 7, one) for number, one in enumerate(operations, 1)]
    photos = {one.id: one.photo for one in operations if one.photo}
    told = json.loads(json.dumps(record_json(kept, photos.get, "show")))
    assert [operation_of(one) for one in told["operations"]] == operations


@given(st.lists(any_operation(), max_size=5, unique_by=lambda one: one.id))
def test_the_table_has_every_operation_and_no_formula(operations: list[Operation]) -> None:
    kept = [Kept(number, 7, one) for number, one in enumerate(operations, 1)]
    rows = list(csv.DictReader(io.StringIO(record_csv(kept, frozenset()), newline="")))
    assert [row["id"] for row in rows] == [one.id for one in operations]
    for row, one in zip(rows, operations, strict=True):
        assert row["words"].removeprefix("'") == one.words.removeprefix("'")
        assert not row["subject"].startswith(("=", "@"))


def test_a_reading_keeps_its_sign_in_the_table() -> None:
    kept = [
        Kept(
            1,
            7,
            tick(subject="light X", sort="measured", verdict="read", value="-8.4 dBm", words="-2+cmd|' /C calc'!A0"),
        )
    ]
    (row,) = csv.DictReader(io.StringIO(record_csv(kept, frozenset())))
    assert row["value"] == "-8.4 dBm"
    assert row["words"].startswith("'")


def bare(one: Operation) -> tuple[object, ...]:
    texts = (one.subject.strip(), one.value.strip(), one.words.strip(), one.by.strip())
    return (one.id, one.sort, one.verdict, one.at_ms, one.plan_version, one.plan_sum, *texts)


@given(
    st.lists(
        any_operation().filter(lambda one: bool(one.subject.strip())),
        min_size=1,
        max_size=4,
        unique_by=lambda one: one.id,
    )
)
def test_waiting_ticks_come_back_from_their_text(operations: list[Operation]) -> None:
    found = typed("".join(waiting_text([one]) for one in operations))
    assert found.faults == ()
    assert [bare(one) for one in found.operations] == [bare(one) for one in operations]
    assert all(one.source == "typed" and fault_of(one) == "" for one in found.operations)


@settings(max_examples=200)
@given(st.data())
def test_a_mistyped_sign_is_seen(data: st.DataObject) -> None:
    """CRC-32 finds every single wrong sign; its last 16 bits miss one in 65,536 at most, by their number."""
    text = waiting_text([tick(count=count, words="no signal") for count in (1, 2)])
    at = data.draw(st.integers(0, len(text) - 2))
    sign = data.draw(st.sampled_from("abcdefgh0123456789|#- "))
    wrong = text[:at] + sign + text[at + 1 :]
    found = typed(wrong)
    if [line.split() for line in wrong.lower().split("\n")] != [line.split() for line in text.split("\n")]:
        assert found.faults or [bare(one) for one in found.operations] == [bare(one) for one in typed(text).operations]


@given(st.text(max_size=300))
def test_any_text_is_answered_in_words(text: str) -> None:
    found = typed(text)
    assert found.faults or found.operations


def test_the_sum_is_that_of_the_published_check_value() -> None:
    """CRC-32 of '123456789' is cbf43926: the check value of the catalogue of parametrised CRC algorithms (CRC-32/ISO-HDLC)."""
    assert f"{zlib.crc32(b'123456789'):08x}" == "cbf43926"
    head = "ticks 1 k7f3m9qx 3/8f3a21c0 Ann Other"
    text = waiting_text(
        [tick("k7f3m9qx", 12, by="Ann Other", plan_version="3", plan_sum="8f3a21c0", at_ms=1795632845000)]
    )
    assert text.startswith(f"{head} #{zlib.crc32(head.encode()) & 0xFFFF:04x}\n12 tick line 7|pass|1795632845000|| #")


@pytest.mark.skipif(shutil.which("node") is None, reason="the page's own code needs node to run outside a browser")
def test_a_phone_writes_the_same_text() -> None:
    operations = [
        tick(count=1, plan_version="3 b", plan_sum="8f3a21c0"),
        tick(
            count=2,
            verdict="fault",
            words="kein Ton: 100 % | Stecker #4 \u00e4\u20ac\U0001f50a",
            plan_version="3 b",
            plan_sum="8f3a21c0",
        ),
        tick(count=3, subject="light SW-B/S1", sort="measured", verdict="read", value="-8,4 dBm"),
    ]
    told = json.dumps([{name: getattr(one, name) for name in ("device", "count", "sort", "subject", "verdict", "value", "words",
                                                              "by", "at_ms", "plan_version", "plan_sum")} for one in operations])  # fmt: skip
    script = f"require({json.dumps(str(OUTBOX))}); process.stdout.write(waitingText({told}));"
    done = subprocess.run(
        ["node", "-e", script], capture_output=True, check=True, timeout=20, text=True, encoding="utf-8"
    )
    assert done.stdout == waiting_text(operations[:2]) + waiting_text(operations[2:])
    assert typed(done.stdout).faults == ()
    assert re.fullmatch(r"[ -~\n]*", done.stdout)
