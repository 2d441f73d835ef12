"""The record on disk: nothing acknowledged is lost, nothing is kept twice, nothing foreign is overwritten."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import create_engine
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from support.operations import DEVICES, any_operation, tick
from tailboard.record.operations import PHOTO_MAX_BYTES, Operation, fault_of
from tailboard.record.store import NoRecordError, Record
from tailboard.record.tables import MARK, STEPS, TABLES, VERSION, migrate

PICTURE = b"\xff\xd8\xff" + bytes(range(256))
SOURCE = Path(__file__).parents[2] / "src"


def test_sending_twice_adds_nothing(tmp_path: Path) -> None:
    record = Record(tmp_path)
    first = record.add([tick(count=1), tick(count=2)], 10)
    again = record.add([tick(count=2), tick(count=1), tick(count=1)], 20)
    assert [one.number for one in first.kept] == [1, 2]
    assert again.kept == ()
    assert set(again.known) == {f"{DEVICES[0]}-1", f"{DEVICES[0]}-2"}
    assert [one.received_ms for one in record.since(0)] == [10, 10]
    record.close()


def test_an_id_used_for_something_else_is_refused(tmp_path: Path) -> None:
    record = Record(tmp_path)
    record.add([tick(count=1, verdict="pass")], 10)
    added = record.add([tick(count=1, verdict="fault"), tick(count=2)], 20)
    assert list(added.refused) == [f"{DEVICES[0]}-1"]
    assert [one.operation.verdict for one in record.since(0)] == ["pass", "pass"]
    record.close()


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(any_operation(), max_size=6, unique_by=lambda one: one.id))
def test_what_was_kept_is_there_after_opening_again(
    tmp_path_factory: pytest.TempPathFactory, operations: list[Operation]
) -> None:
    folder = tmp_path_factory.mktemp("log")
    record = Record(folder)
    added = record.add(operations, 5)
    assert not added.refused
    record.close()
    record = Record(folder)
    assert record.add(operations, 6).kept == ()
    got = {one.operation.id: one.operation for one in record.since(0)}
    for one in operations:
        kept = got[one.id]
        assert (kept.subject, kept.words, kept.value, kept.by, kept.at_ms) == (
            one.subject,
            one.words,
            one.value,
            one.by,
            one.at_ms,
        )
        assert (kept.replaces, kept.source, kept.row_sum) == (one.replaces, one.source, one.row_sum)
        assert record.photo(one.id) == (one.photo or None)
    record.close()


def test_since_gives_what_came_after(tmp_path: Path) -> None:
    record = Record(tmp_path)
    record.add([tick(count=count) for count in range(1, 8)], 1)
    for number in range(9):
        assert [one.number for one in record.since(number)] == list(range(number + 1, 8))
    record.close()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"verdict": "safe enough"}, "is none of"),
        ({"sort": "grid"}, "there is no sort"),
        ({"by": "  "}, "who you are"),
        ({"words": "a\0b"}, "cannot be shown"),
        ({"words": "\ud800"}, "cannot be shown"),
        ({"words": "x" * 501}, "500 characters"),
        ({"device": "'; DROP"}, "id of the page"),
        ({"count": 0}, "running number"),
        ({"photo": b"GIF89a"}, "neither JPEG nor PNG"),
        ({"photo": b"\xff\xd8\xff" + b"x" * PHOTO_MAX_BYTES}, "kB at most"),
        ({"replaces": ("x",)}, "no id"),
        ({"replaces": tuple(f"{DEVICES[0]}-{n}" for n in range(1, 22))}, "more than 20"),
        ({"plan_sum": "XYZ"}, "check sum"),
        ({"sort": "measured", "verdict": "read", "value": " "}, "empty"),
        ({"source": "hearsay"}, "is none of"),
    ],
)
def test_what_cannot_be_kept_is_refused_in_words(change: dict[str, object], says: str) -> None:
    told = {name: getattr(tick(), name) for name in Operation.__slots__}
    assert says in fault_of(Operation(**{**told, **change}))
    assert fault_of(tick()) == ""


@pytest.mark.parametrize("start", range(len(STEPS) + 1))
def test_every_older_version_is_taken_along(tmp_path: Path, start: int) -> None:
    """Version 1 as it was written then, and each one after it."""
    path = tmp_path / "record.sqlite"
    engine = create_engine(f"sqlite:///{path}")
    with engine.begin() as link:
        migrate(link, 0, start)
        if start:
            link.exec_driver_sql(
                "INSERT INTO operations (id, sort, subject, verdict, value, words, by_whom, at_ms, received_ms, plan_version,"
                " plan_sum, row_sum, replaces) VALUES ('ann2ann2an-1', 'tick', 'line 7', 'fault', '', 'hum', 'Ann', 3, 4, '1',"
                " '', '', '')"
            )
    engine.dispose()
    record = Record(tmp_path)
    assert record.said == ""
    added = record.add([tick(count=2, photo=PICTURE, source="paper")], 9)
    assert [one.operation.words for one in record.since(0)] == (["hum", ""] if start else [""])
    assert record.since(0)[-1].operation.source == "paper"
    assert record.photo(added.known[0]) == PICTURE
    record.close()
    with sqlite3.connect(path) as link_:
        assert dict(link_.execute("SELECT name, value FROM about")) == {"mark": MARK, "version": str(VERSION)}


def columns(path: Path) -> dict[str, list[tuple[object, ...]]]:
    with sqlite3.connect(path) as link:
        names = [
            name
            for (name,) in link.execute("SELECT name FROM sqlite_master WHERE type='table' AND name NOT LIKE 'sqlite%'")
        ]
        return {name: [row[1:] for row in link.execute(f"PRAGMA table_info({name})")] for name in sorted(names)}


def test_the_steps_lead_to_the_tables_that_the_program_uses(tmp_path: Path) -> None:
    Record(tmp_path).close()
    engine = create_engine(f"sqlite:///{tmp_path / 'fresh.sqlite'}")
    TABLES.create_all(engine)
    engine.dispose()
    by_steps, by_tables = columns(tmp_path / "record.sqlite"), columns(tmp_path / "fresh.sqlite")
    assert {name: sorted(map(repr, rows)) for name, rows in by_steps.items()} == {
        name: sorted(map(repr, rows)) for name, rows in by_tables.items()
    }


def test_the_database_that_a_fleet_would_share_can_hold_the_tables() -> None:
    """As SQLAlchemy writes the tables for PostgreSQL; types by its documentation, chapter 8: BIGSERIAL, BYTEA, VARCHAR(n)."""
    other: Any = postgresql.dialect  # its types are not written
    told = " ".join(str(CreateTable(table).compile(dialect=other())) for table in TABLES.sorted_tables)
    assert "number BIGSERIAL NOT NULL" in told
    assert "data BYTEA NOT NULL" in told
    assert "\0" not in tick().words  # a text column there holds no NUL: refused above


@pytest.mark.parametrize(
    "content", [b"hello", b"SQLite format 3\0" + b"\xff" * 4000, b"x" * 100_000], ids=["text", "damaged", "large"]
)
def test_a_damaged_file_is_left_and_a_new_record_begins_beside(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "record.sqlite"
    path.write_bytes(content)
    record = Record(tmp_path)
    record.add([tick()], 1)
    assert "record.sqlite" in record.said
    assert "a new record begins in record-2.sqlite" in record.said
    record.close()
    assert path.read_bytes() == content
    record = Record(tmp_path)
    assert record.cursor == 1
    record.close()


def test_a_database_of_another_program_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "record.sqlite"
    with sqlite3.connect(path) as link:
        link.execute("CREATE TABLE about (name TEXT, value TEXT)")
        link.execute("CREATE TABLE addresses (name TEXT)")
    before = path.read_bytes()
    record = Record(tmp_path)
    assert "is no record of this program" in record.said
    record.close()
    assert path.read_bytes() == before


def test_a_record_of_a_newer_program_is_left_as_it_is(tmp_path: Path) -> None:
    Record(tmp_path).close()
    with sqlite3.connect(tmp_path / "record.sqlite") as link:
        link.execute("UPDATE about SET value = '99' WHERE name = 'version'")
    record = Record(tmp_path)
    assert "newer tailboard (version 99)" in record.said
    record.close()


def test_a_record_cut_off_in_the_middle_is_left(tmp_path: Path) -> None:
    record = Record(tmp_path)
    record.add([tick(count=count, words="w" * 400) for count in range(1, 200)], 1)
    record.close()
    path = tmp_path / "record.sqlite"
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    record = Record(tmp_path)
    assert "is damaged" in record.said
    record.close()


def test_one_record_has_one_server(tmp_path: Path) -> None:
    record = Record(tmp_path)
    with pytest.raises(NoRecordError, match="another tailboard"):
        Record(tmp_path)
    record.close()


def test_a_full_disk_is_said_and_nothing_is_half_kept(tmp_path: Path) -> None:
    record = Record(tmp_path)
    record.add([tick(count=1)], 1)
    pages = record._link.exec_driver_sql("PRAGMA page_count").scalar()
    record._link.exec_driver_sql(f"PRAGMA max_page_count={pages}")
    record._link.rollback()
    large = [tick(count=count, photo=PICTURE * 400) for count in (2, 3)]
    with pytest.raises(NoRecordError, match="full"):
        record.add(large, 2)
    assert record.cursor == 1
    assert record.photo(large[0].id) is None
    record._link.exec_driver_sql("PRAGMA max_page_count=100000")
    record._link.rollback()
    assert len(record.add(large, 3).kept) == 2
    record.close()
    record = Record(tmp_path)
    assert [one.operation.count for one in record.since(0)] == [1, 2, 3]
    record.close()


WRITER = """
import sys
from pathlib import Path
from tailboard.record.operations import Operation
from tailboard.record.store import Record
record = Record(Path(sys.argv[1]))
count = int(sys.argv[2])
while True:
    count += 1
    record.add([Operation(device="ann2ann2an", count=count, sort="tick", subject=f"line {count}", verdict="pass", by="Ann",
                          at_ms=count, words="w" * 300)], count)
    print(count, flush=True)
"""


def test_killed_in_the_middle_of_writing_it_keeps_what_it_acknowledged(tmp_path: Path) -> None:
    told = 0
    for _ in range(5):
        program = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(tmp_path), str(told)],
            stdout=subprocess.PIPE, env={**os.environ, "PYTHONPATH": str(SOURCE)},
        )  # fmt: skip
        assert program.stdout is not None
        for _line in range(20):
            last = program.stdout.readline()
        time.sleep(0.01)
        program.send_signal(signal.SIGKILL)
        rest = program.stdout.read().split(b"\n")
        program.stdout.close()
        program.wait(10)
        whole = [line for line in rest[:-1] if line]
        told = int((whole or [last])[-1])
        record = Record(tmp_path)
        counts = [one.operation.count for one in record.since(0)]
        record.close()
        assert record.said == ""
        assert counts == list(range(1, len(counts) + 1))
        assert len(counts) in {told, told + 1}  # one more may be on the disk that was not acknowledged yet
        told = len(counts)
