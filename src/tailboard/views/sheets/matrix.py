"""Who hears whom on paper: a row a listener, a column a source; in a large show only what hearing.csv speaks of."""

from __future__ import annotations

from math import ceil

from tailboard.answers.ask import Ask
from tailboard.answers.comms import HearingTable, ListenerRow, entry_of, hearing_table
from tailboard.answers.mixing import bits
from tailboard.views.matrix import cell_view
from tailboard.views.sheets.records import Column, Row, Sheet, Table, Words

SOURCES_MAX = 14  # columns of the matrix on one page; own choice: they stay readable on A4 across
CELLS_MAX = 60_000  # about 150 pages: more nobody reads on paper; own choice
SIGNS = (
    "A always, K on key, C on cue, x never, by hearing.csv; blank: no way leads there; [ ] not as wished;"
    " lost: a way that does not work"
)


def matrix_sheets(ask: Ask) -> list[Sheet]:
    """Return who hears whom, as many pages across as it needs; nothing where nobody hears anything."""
    found = ask(hearing_table)
    rows, columns = shown(found)
    if not rows or not columns:
        return []
    left_out = left_out_words(found, rows, columns)
    if len(rows) * len(columns) > CELLS_MAX:
        return [page(1, "Who hears whom", (), words=(Words("", (too_large(found),)),))]
    wide = ceil(len(columns) / ceil(len(columns) / SOURCES_MAX))
    parts = [columns[begin : begin + wide] for begin in range(0, len(columns), wide)]
    sheets = []
    for number, part in enumerate(parts, 1):
        heads = (Column("listener", share=9), *(Column(found.sources[index], share=3) for index in part))
        table = Table("who hears whom", "", heads, tuple(row_of(found, row, part) for row in rows), SIGNS)
        title = "Who hears whom" + (f", {number} of {len(parts)}" if len(parts) > 1 else "")
        sheets.append(page(number, title, (table,), words=left_out if number == 1 else ()))
    return sheets


def page(number: int, title: str, tables: tuple[Table, ...], words: tuple[Words, ...]) -> Sheet:
    """Return one page of the matrix."""
    return Sheet(
        f"who hears whom {number}", "who hears whom", title, department="comms", wide=True, words=words, tables=tables
    )


def shown(found: HearingTable) -> tuple[list[ListenerRow], list[int]]:
    """Return the rows and the columns to print: all of them, or what hearing.csv speaks of where all are too many.

    A source that nobody hears and of which nobody says anything has an empty column and is left out.
    """
    rows = list(found.rows)
    if len(rows) * len(found.sources) > CELLS_MAX:
        rows = [row for row in rows if row.stated]
    spoken = 0
    for row in rows:
        for mask in (*row.heard.values(), *row.wishes.values()):
            spoken |= mask
    return rows, list(bits(spoken))


def left_out_words(found: HearingTable, rows: list[ListenerRow], columns: list[int]) -> tuple[Words, ...]:
    """Return what is not printed, in sentences."""
    said = []
    if len(rows) < len(found.rows):
        said.append(
            f"Only the {len(rows)} listeners of hearing.csv, of {len(found.rows)}: 'hears' answers for any other."
        )
    known = set(columns)
    silent = [name for index, name in enumerate(found.sources) if index not in known]
    if silent:
        said.append(f"Heard by nobody here, and not spoken of in hearing.csv: {', '.join(silent)}.")
    return (Words("", tuple(said)),) if said else ()


def too_large(found: HearingTable) -> str:
    """Return why there is no table."""
    return (
        f"{len(found.rows)} listeners and {len(found.sources)} sources are more than paper holds."
        " 'hears LISTENER' says what one of them hears, and 'check' holds hearing.csv against all of it."
    )


def row_of(found: HearingTable, row: ListenerRow, part: list[int]) -> Row:
    """Return one listener with its cells of one page."""
    signs = (cell_view(entry_of(row, found.sources[index], 1 << index))["sign"] for index in part)
    return Row((row.listener, *signs), f"listener {row.listener}")
