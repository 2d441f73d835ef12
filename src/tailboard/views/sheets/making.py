"""How sheets are made: columns from short words, rows from records, the order of places."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tailboard.model.show import Model
from tailboard.views.sheets.records import Column, Row, Table

TICK = Column("ok", share=2, pencil=True)
INITIALS = Column("by", share=3, pencil=True)
NOTE = Column("remark", share=8, pencil=True)


def columns(words: str) -> tuple[Column, ...]:
    """Return columns from one text: names parted by commas, each with a mark before it.

    `*hole` the number to plug by, `=address` typed exactly, `_seen` left for the pencil, `source:8` wider than usual (4).
    """
    return tuple(map(one_column, words.split(",")))


def one_column(word: str) -> Column:
    """Return one column."""
    name, _, share = word.strip().partition(":")
    mark, key = (name[0], name[1:]) if name[0] in "*=_" else ("", name)
    return Column(key, share=int(share) if share else 4, big=mark == "*", exact=mark == "=", pencil=mark == "_")


def table(
    key: str, title: str, words: str, rows: Iterable[Sequence[str] | Row], note: str = "", blank: int = 0
) -> Table:
    """Return a table; a row shorter than its columns is filled up, as where the last ones are left for the pencil."""
    heads = columns(words)
    return Table(key, title, heads, tuple(filled(row, len(heads)) for row in rows), note, blank)


def filled(row: Sequence[str] | Row, width: int) -> Row:
    """Return a row with as many cells as there are columns."""
    made = row if isinstance(row, Row) else Row(tuple(row))
    cells = tuple(" ".join(cell.split()) for cell in made.cells)
    return Row((*cells, *("" for _ in range(width - len(cells)))), made.about, made.spare, made.changed)


def places_in_order(model: Model) -> list[str]:
    """Return the places in walking order, those that nobody walks to last, in the order of the plan."""
    order = {name: (record.visit is None, record.visit or 0) for name, record in model.places.items()}
    return sorted(model.places, key=lambda name: order[name])


def place_words(model: Model, place: str) -> str:
    """Return a place by name and in words."""
    record = model.places.get(place)
    return f"{place}, {record.name}" if record is not None and record.name and record.name != place else place
