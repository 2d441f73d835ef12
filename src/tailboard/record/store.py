"""The record on disk: SQLite beside the show. What it acknowledges is on the disk; nothing in it is ever changed."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event, select
from sqlalchemy.exc import DatabaseError

from tailboard.record.operations import Kept, Operation, fault_of
from tailboard.record.tables import OPERATIONS, PHOTOS, VERSION, migrate, version_of

NAME = "record.sqlite"
WAIT_S = 1.0  # how long to wait for another program that has the file locked
BEGIN = b"SQLite format 3\0"  # of every such file: the format's own document, section 1.3
BUSY = ("locked", "readonly", "unable to open", "full", "Permission")  # the file may be sound: leave it its name
TRIES = 1000  # names tried for a new record beside one that cannot be used


class NoRecordError(Exception):
    """The record cannot be kept; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Added:
    """What became of operations that were sent.

    kept     those that are new, in the order of the server.
    known    ids that are in the record now, new or from before: the sender may forget them.
    refused  id: why it was not kept.
    """

    kept: tuple[Kept, ...] = ()
    known: tuple[str, ...] = ()
    refused: dict[str, str] = field(default_factory=dict)


class Record:
    """The record of one show. Raises NoRecordError where it cannot be opened or written.

    path   the file; said: what the user should know about it, such as that a damaged one was left beside; else empty.
    """

    def __init__(self, folder: Path) -> None:
        self._lock = threading.Lock()
        self.path, self.said, self._engine, self._link = opened(folder)
        self._kept = [kept_of(row) for row in self._link.execute(select(OPERATIONS).order_by(OPERATIONS.c.number))]
        self._photos = set(self._link.execute(select(PHOTOS.c.id)).scalars())
        self._known = {kept.operation.id: kept for kept in self._kept}
        self._link.rollback()

    @property
    def cursor(self) -> int:
        """The number of the last operation; 0 before the first."""
        return self._kept[-1].number if self._kept else 0

    @property
    def photos(self) -> frozenset[str]:
        """The ids of the operations that have a picture."""
        return frozenset(self._photos)

    def add(self, operations: Iterable[Operation], received_ms: int) -> Added:
        """Keep operations that are not kept yet; when this returns they are on the disk. Raises NoRecordError."""
        with self._lock:
            refused: dict[str, str] = {}
            known: dict[str, None] = {}
            fresh: dict[str, Operation] = {}
            for one in operations:
                before = self._known.get(one.id)
                earlier = fresh.get(one.id) or (before.operation if before is not None else None)
                why = fault_of(one) or (
                    "its id was used for something else" if earlier and differs(earlier, one) else ""
                )
                if why:
                    refused[one.id] = why
                    continue
                known[one.id] = None
                if earlier is None:
                    fresh[one.id] = one
            kept = self._write(fresh.values(), received_ms) if fresh else ()
            return Added(kept, tuple(known), refused)

    def _write(self, fresh: Iterable[Operation], received_ms: int) -> tuple[Kept, ...]:
        """Write operations in one transaction."""
        listed = list(fresh)
        try:
            with self._link.begin():
                numbers = [self._insert(one, received_ms) for one in listed]
        except (DatabaseError, OSError) as problem:
            raise NoRecordError(f"{self.path.name} cannot be written: {reason(problem)}") from None
        kept = tuple(Kept(number, received_ms, without_photo(one)) for number, one in zip(numbers, listed, strict=True))
        self._kept += kept
        self._known |= {one.operation.id: one for one in kept}
        self._photos |= {one.id for one in listed if one.photo}
        return kept

    def _insert(self, one: Operation, received_ms: int) -> int:
        """Write one operation and return its number."""
        made = self._link.execute(OPERATIONS.insert().values(row_of(one, received_ms)))
        if one.photo:
            self._link.execute(PHOTOS.insert().values(id=one.id, data=one.photo))
        key = made.inserted_primary_key
        return int(key[0]) if key is not None else 0

    def since(self, number: int) -> list[Kept]:
        """Return the operations after a number, in the order of the server, without their pictures."""
        kept = self._kept
        low, high = 0, len(kept)
        while low < high:
            middle = (low + high) // 2
            low, high = (middle + 1, high) if kept[middle].number <= number else (low, middle)
        return kept[low:]

    def photo(self, name: str) -> bytes | None:
        """Return the picture of an operation."""
        if name not in self._photos:
            return None
        with self._lock, self._link.begin():
            data = self._link.execute(select(PHOTOS.c.data).where(PHOTOS.c.id == name)).scalar()
        return data if isinstance(data, bytes) else None

    def close(self) -> None:
        """Close the file."""
        with self._lock:
            self._link.close()
            self._engine.dispose()


def opened(folder: Path) -> tuple[Path, str, Engine, Connection]:
    """Return the record of a show ready for use; one that is damaged or foreign stays as it is, a new one begins beside."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise NoRecordError(f"the folder '{folder.name}' cannot be made: {problem.strerror or problem}") from None
    said = ""
    for number in range(1, TRIES):
        path = folder / (NAME if number == 1 else f"record-{number}.sqlite")
        try:
            engine, link = opened_file(path)
        except NotOursError as problem:
            left = f"{path.name} {problem}; it is left as it is"
            said = f"{said}; {left}" if said else left
            continue
        return path, f"{said}; a new record begins in {path.name}" if said else "", engine, link
    raise NoRecordError(f"no record can be begun in '{folder.name}'")


class NotOursError(Exception):
    """A file is damaged, foreign, or of a newer version."""


def opened_file(path: Path) -> tuple[Engine, Connection]:
    """Return one file as a record of today. Raises NotOursError, NoRecordError."""
    try:
        version = looked_at(path)
        engine, link = begun(path)
    except (DatabaseError, OSError) as problem:
        if any(word in str(problem) for word in BUSY):
            raise NoRecordError(
                f"{path.name} cannot be opened: {reason(problem)}; does another tailboard serve this show?"
            ) from None
        raise NotOursError("is damaged") from None
    try:
        with link.begin():
            migrate(link, version)
    except (DatabaseError, OSError) as problem:
        link.close()
        engine.dispose()
        raise NoRecordError(f"{path.name} cannot be written: {reason(problem)}") from None
    return engine, link


def looked_at(path: Path) -> int:
    """Return the version of the record in a file, 0 for none; nothing is written. Raises NotOursError, DatabaseError, OSError."""
    try:
        with path.open("rb") as file:
            begin = file.read(len(BEGIN))
    except FileNotFoundError:
        return 0
    if begin and begin != BEGIN:
        raise NotOursError("is no record of this program")
    engine = create_engine(
        f"sqlite:///file:{quote(str(path.resolve()))}?mode=ro&uri=true", connect_args={"timeout": WAIT_S}
    )
    try:
        with engine.connect() as link:
            version = version_of(link)
            fit = link.exec_driver_sql("PRAGMA quick_check").scalar()
    finally:
        engine.dispose()
    if version is None:
        raise NotOursError("is no record of this program")
    if version > VERSION:
        raise NotOursError(f"was written by a newer tailboard (version {version})")
    if fit != "ok":
        raise NotOursError("is damaged")
    return version


def begun(path: Path) -> tuple[Engine, Connection]:
    """Return a file opened for writing, for this program alone. Raises DatabaseError."""
    engine = create_engine(f"sqlite:///{path}", connect_args={"check_same_thread": False, "timeout": WAIT_S})
    event.listen(engine, "connect", set_up)
    event.listen(engine, "begin", begin_to_write)
    try:
        return engine, engine.connect()
    except DatabaseError:
        engine.dispose()
        raise


def set_up(link: Any, _record: Any) -> None:
    """Set up a new connection: a log that is written ahead, on the disk before it is acknowledged."""
    link.isolation_level = None  # transactions begin where we say so
    link.execute("PRAGMA locking_mode=EXCLUSIVE")  # one server a show: a second one would number the same ticks anew
    link.execute("PRAGMA journal_mode=WAL")
    link.execute("PRAGMA synchronous=FULL")


def begin_to_write(link: Connection) -> None:
    """Begin a transaction that may write."""
    link.exec_driver_sql("BEGIN IMMEDIATE")


def reason(problem: BaseException) -> str:
    """Return why in a few words."""
    inner = getattr(problem, "orig", None) or problem
    return str(getattr(inner, "strerror", None) or inner)


def differs(one: Operation, other: Operation) -> bool:
    """Return whether two operations of one id say different things; a picture and the way it came apart."""
    return said_of(one) != said_of(other)


def said_of(one: Operation) -> tuple[object, ...]:
    """Return what an operation says."""
    return (one.sort, one.subject, one.verdict, one.value, one.words, one.by)


def without_photo(one: Operation) -> Operation:
    """Return an operation without its picture, as it is kept in memory."""
    return one if not one.photo else Operation(**{**fields_of(one), "photo": b""})


def fields_of(one: Operation) -> dict[str, Any]:
    """Return the fields of an operation."""
    return {name: getattr(one, name) for name in Operation.__slots__}


def row_of(one: Operation, received_ms: int) -> dict[str, Any]:
    """Return an operation as a row."""
    row = {
        **fields_of(one),
        "id": one.id,
        "by_whom": one.by,
        "received_ms": received_ms,
        "replaces": " ".join(one.replaces),
    }
    columns = [column.name for column in OPERATIONS.columns]
    return {name: row[name] for name in columns if name != "number"}


def kept_of(row: Any) -> Kept:
    """Return a row as an operation."""
    device, _, count = row.id.partition("-")
    return Kept(
        row.number,
        row.received_ms,
        Operation(
            device=device, count=int(count), sort=row.sort, subject=row.subject, verdict=row.verdict, value=row.value,
            words=row.words, by=row.by_whom, at_ms=row.at_ms, plan_version=row.plan_version, plan_sum=row.plan_sum,
            row_sum=row.row_sum, replaces=tuple(row.replaces.split()), source=row.source,
        ),
    )  # fmt: skip
