"""The tables of the record and the steps by which an older record becomes one of today."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import (
    BigInteger,
    Column,
    Connection,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    inspect,
    text,
)  # fmt: skip
from sqlalchemy.schema import CreateTable

MARK = "tailboard record"  # stands in every record, so that a foreign file is told apart

TABLES = MetaData()
ABOUT = Table(
    "about",
    TABLES,
    Column("name", String(40), primary_key=True),
    Column("value", String(200), nullable=False),
)
OPERATIONS = Table(
    "operations",
    TABLES,
    Column("number", BigInteger().with_variant(Integer, "sqlite"), primary_key=True, autoincrement=True),
    Column("id", String(40), nullable=False, unique=True),
    Column("sort", String(20), nullable=False),
    Column("subject", String(200), nullable=False),
    Column("verdict", String(20), nullable=False),
    Column("value", String(60), nullable=False),
    Column("words", String(500), nullable=False),
    Column("by_whom", String(60), nullable=False),
    Column("at_ms", BigInteger, nullable=False),
    Column("received_ms", BigInteger, nullable=False),
    Column("plan_version", String(60), nullable=False),
    Column("plan_sum", String(8), nullable=False),
    Column("row_sum", String(8), nullable=False),
    Column("replaces", String(1000), nullable=False),
    Column("source", String(10), nullable=False, server_default="page"),
    sqlite_autoincrement=True,  # a number that was given once is never given again
)
PHOTOS = Table(
    "photos",
    TABLES,
    Column("id", String(40), primary_key=True),
    Column("data", LargeBinary, nullable=False),
)


def first(link: Connection) -> None:
    """Version 1: operations, without pictures and without where they were noted."""
    link.execute(CreateTable(ABOUT))
    link.execute(
        text(
            "CREATE TABLE operations (number INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, id VARCHAR(40) NOT NULL UNIQUE,"
            " sort VARCHAR(20) NOT NULL, subject VARCHAR(200) NOT NULL, verdict VARCHAR(20) NOT NULL,"
            " value VARCHAR(60) NOT NULL, words VARCHAR(500) NOT NULL, by_whom VARCHAR(60) NOT NULL,"
            " at_ms BIGINT NOT NULL, received_ms BIGINT NOT NULL, plan_version VARCHAR(60) NOT NULL,"
            " plan_sum VARCHAR(8) NOT NULL, row_sum VARCHAR(8) NOT NULL, replaces VARCHAR(1000) NOT NULL)"
        )
    )


def second(link: Connection) -> None:
    """Version 2: pictures have a table of their own, so that reading the operations does not read them."""
    link.execute(CreateTable(PHOTOS))


def third(link: Connection) -> None:
    """Version 3: where an operation was noted; all before it came from a page."""
    link.execute(text("ALTER TABLE operations ADD COLUMN source VARCHAR(10) NOT NULL DEFAULT 'page'"))


STEPS: tuple[Callable[[Connection], None], ...] = (first, second, third)
VERSION = len(STEPS)


def version_of(link: Connection) -> int | None:
    """Return the version of a record, 0 for an empty file, None for a file that is no record of ours."""
    names = set(inspect(link).get_table_names())
    if not names:
        return 0
    if ABOUT.name not in names:
        return None
    about = {row.name: row.value for row in link.execute(ABOUT.select())}
    number = about.get("version", "")
    return int(number) if about.get("mark") == MARK and number.isdecimal() else None


def migrate(link: Connection, start: int, end: int = VERSION) -> None:
    """Take a record from version `start` to version `end`, inside the caller's transaction."""
    if start == end:
        return
    for step in STEPS[start:end]:
        step(link)
    link.execute(ABOUT.delete())
    link.execute(ABOUT.insert(), [{"name": "mark", "value": MARK}, {"name": "version", "value": str(end)}])
