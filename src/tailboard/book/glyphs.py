"""Signs that no font of the book has: each with the cell of the user's file in which it stands."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

from tailboard.book.type import clusters
from tailboard.draw.measure import UNSEEN, clean
from tailboard.findings import Finding
from tailboard.model.show import Model
from tailboard.rules.printed import GLYPH_MISSING
from tailboard.text.fields import Record, columns_of


def glyph_findings(model: Model, missing: set[str]) -> Iterator[Finding]:
    """Yield one finding for each value of the plan that holds signs which cannot be printed."""
    if not missing:
        return
    tables: list[Mapping[str, Record]] = [
        table
        for table in vars(model).values()
        if isinstance(table, dict) and all(isinstance(one, Record) for one in table.values())
    ]
    records = [model.heading, *(record for table in tables for record in table.values())]
    for record in records:
        if any(sign in record.id for sign in missing):
            yield finding(record, "", record.id, missing)
        for column in columns_of(type(record)):
            text = " ".join(texts_of(getattr(record, column.attribute)))
            if not text.isascii() and any(sign in text for sign in missing):
                yield finding(record, column.attribute, text, missing)


def texts_of(value: Any) -> Iterator[str]:
    """Yield the texts of a value, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from texts_of(key)
            yield from texts_of(inner)
    elif isinstance(value, tuple):
        for inner in value:
            yield from texts_of(inner)


def finding(record: Record, attribute: str, text: str, missing: set[str]) -> Finding:
    """Return the finding for one value."""
    lost = [sign for sign in dict.fromkeys(clusters(clean(text))) if sign in missing]
    said = ", ".join(f"'{sign}' ({name_of(sign)})" for sign in lost[:4])
    more = f" and {len(lost) - 4} more" if len(lost) > 4 else ""
    names = [column.name for column in columns_of(type(record)) if column.attribute == attribute]
    return GLYPH_MISSING.finding(
        (record.id, *names),
        record.at.spot(attribute),
        f"no font of the book has {said}{more}; in '{names[0] if names else 'name'}' of {record.id} it is printed as {UNSEEN}",
        "write it in other signs, or install the font package of that script (fontpkg-noto-sans-...)",
    )


def name_of(sign: str) -> str:
    """Return the number and the name of a sign: 'U+1F3A4 MICROPHONE'."""
    return f"U+{ord(sign[0]):04X} {unicodedata.name(sign[0], 'without a name')}"
